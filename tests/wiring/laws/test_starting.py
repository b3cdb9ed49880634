"""Law 8: inrush against devices, against the motor's own start voltage, and against what others bear."""

from __future__ import annotations

import subprocess
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

import layout
from layout.findings import Severity
from layout.wiring.laws.starting import starting
from layout.wiring.system.fault_network import Branch, FaultNetwork, Infeed
from layout.wiring.system.graph import Consumer, System
from layout.wiring.wire import wire as layout_wire
from tests.conftest import EXAMPLES, needs_program
from tests.wiring.laws.boats import case, system
from tests.wiring.laws.fault_systems import battery, chance_system, guard, node, one_panel, wire

if TYPE_CHECKING:
    from pathlib import Path

FACTS = {"ohm": 0.005, "chemistry": "lithium"}
PUMP = {"inrush_a": 30.0, "locked_rotor_a": 25.0, "start_v": 6.0, "largest_device_a": 10.0, "motor": True}


def boat(*, plotter: dict[str, Any] | None = None, way: dict[str, Any] | None = None, **pump: Any) -> System:
    """Return a bank, a panel, a pump behind 40 mΩ out and back, and a plotter on the next way behind 20 mΩ."""
    system = one_panel(way, **FACTS)
    motor = Consumer(
        key="lamp/+",
        entry="circuits.pump",
        name="Bilge pump",
        live="lamp/+",
        back="lamp/-",
        draw_a=5.0,
        nominal_v=12.0,
        **{**PUMP, **pump},
    )
    other = Consumer(
        key="plotter/+",
        entry="circuits.plotter",
        name="Plotter",
        live="plotter/+",
        back="plotter/-",
        draw_a=1.0,
        nominal_v=12.0,
        **(plotter or {}),
    )
    return replace(
        system,
        nodes=(
            *system.nodes,
            node("panel/2", "+", "way"),
            node("plotter/+", "+", "device"),
            node("plotter/-", "-", "device"),
        ),
        conductors=(
            *system.conductors,
            wire("panel/2", "plotter/+", "+", 0.02),
            wire("plotter/-", "panel/-", "-", 0.02),
        ),
        guards=(*system.guards, guard("panel/bar", "panel/2", "+", rating_a=5.0, trips_at=8.0)),
        consumers=(motor, other),
    )


def rules(system: System) -> list[str]:
    """Return the codes of a system."""
    return [breach.rule for breach in starting(system)]


def test_a_pump_that_starts_is_silent() -> None:
    """30 A against 80 A at once, 7.7 V against 6 V: nothing."""
    assert rules(boat()) == []


@pytest.mark.parametrize(("trips_at", "expected"), [(3.0, ["fuse 102"]), (3.3, ["fuse 102"]), (3.4, [])])
def test_inrush_against_what_opens_at_once(trips_at: float, expected: list[str]) -> None:
    """30 A at a 10 A device: it opens at 3 times, may open at 3.3 times, and holds at 3.4 times."""
    found = list(starting(boat(way={"trips_at": trips_at})))
    assert [breach.rule for breach in found] == expected
    if expected:
        assert ("opens" if trips_at == 3.0 else "may open") in found[0].message
        assert found[0].message.startswith("Bilge pump: its inrush of 30 A")


def test_an_unknown_inrush_is_asked() -> None:
    """A motor without figures is a question, not a pass."""
    found = list(starting(boat(inrush_a=None, start_v=None)))
    assert [(breach.rule, breach.entry) for breach in found] == [("wire 28", "circuits.pump.load")]
    assert "inrush, start_voltage" in found[0].message


@pytest.mark.parametrize(("start_v", "expected"), [(7.8, []), (7.9, ["wire 27"])])
def test_own_start_voltage(start_v: float, expected: list[str]) -> None:
    """10.8 V less 30 A over 5 mΩ and 84.5 mΩ of warm copper leave 7.816 V."""
    left = 10.8 - 30 * (0.005 + 1.118 * 0.0845)
    assert left == pytest.approx(7.816, abs=1e-3)
    assert rules(boat(start_v=start_v)) == expected


@pytest.mark.parametrize(
    ("lowest_v", "inrush_a", "expected"),
    [(10.0, 30.0, []), (10.5, 30.0, [("fuse 103", None)]), (10.5, 320.0, [("fuse 103", Severity.STOP)])],
)
def test_what_others_bear(lowest_v: float, inrush_a: float, expected: list) -> None:
    """The pump shares 5 mΩ and 4.5 mΩ of warm copper with the plotter: 30 A take 0.30 V, 320 A take 3.2 V."""
    found = starting(boat(plotter={"lowest_v": lowest_v}, inrush_a=inrush_a, start_v=None, way={"trips_at": 50.0}))
    told = [breach for breach in found if breach.rule == "fuse 103"]
    assert [(breach.rule, breach.severity) for breach in told] == expected
    if told:
        left = 10.8 - 1.0 * (0.005 + 1.118 * 0.0445) - inrush_a * (0.005 + 1.118 * 0.0045)
        assert told[0].measured == pytest.approx(left, abs=2e-3)
        assert "at Plotter (bears 10.5 V)" in told[0].message


def test_what_others_bear_is_asked_where_nothing_is_said() -> None:
    """Where a start leaves less than 9 V of 12 V and nothing is said, it is asked; a small start asks nothing."""
    found = list(starting(boat(inrush_a=300.0, start_v=None, way={"trips_at": 50.0})))
    assert [(b.rule, b.severity) for b in found] == [("wire 28", None), ("fuse 112", None)]
    assert "whether that is borne is not known" in found[1].message
    assert rules(boat(start_v=None, inrush_a=100.0, way={"trips_at": 50.0})) == ["wire 28"]


def test_a_second_battery_in_another_net_is_not_starved() -> None:
    """A plotter on a bank of its own keeps its voltage."""
    system = boat(plotter={"lowest_v": 10.5}, inrush_a=300.0, start_v=None, way={"trips_at": 50.0})
    own = battery("own", **FACTS)
    moved = tuple(replace(c, start="own/+") if c.key == "panel/2>plotter/+" else c for c in system.conductors)
    system = replace(
        system,
        nodes=(*system.nodes, node("own/+", "+", "source"), node("own/-", "-", "source")),
        conductors=(*moved, wire("own/-", "panel/-", "-", 0.001)),
        sources=(*system.sources, own),
    )
    assert "fuse 103" not in rules(system)


@pytest.mark.parametrize(("limit", "expected"), [(20.0, ["fuse 104"]), (40.0, [])])
def test_a_start_beyond_a_converters_limit(limit: float, expected: list[str]) -> None:
    """A converter of 20 A does not give 30 A; one of 40 A does."""
    system = boat()
    converter = replace(system.sources[0], kind="converter", limit_a=limit, ohm=None, chemistry=None)
    assert rules(replace(system, sources=(converter,))) == expected


@pytest.mark.parametrize(("rating", "expected"), [(20.0, []), (25.0, ["fuse 22"])])
def test_a_stall_that_its_device_never_notices(rating: float, expected: list[str]) -> None:
    """Stalled at 25 A, a device of 25 A carries it for ever."""
    assert rules(boat(way={"rating_a": rating})) == expected


@needs_program("ngspice")
@pytest.mark.parametrize("seed", range(6))
def test_sag_equals_a_circuit_simulator(seed: int, tmp_path: Path) -> None:
    """What 100 A drawn at one panel takes from another is what a circuit simulator finds."""
    system = chance_system(seed)
    branches = [Branch(key=c.key, a=c.start, b=c.end) for c in system.conductors]
    branches += [Branch(key=g.key, a=g.a, b=g.b) for g in system.guards]
    network = FaultNetwork(
        branches, ((c.a, c.b) for c in system.closed(system.states[0])), ((s.live, s.back) for s in system.sources)
    )
    batteries = [s for s in system.sources if s.ohm]
    infeeds = [Infeed(source=s.key, live=s.live, back=s.back, volts=12.0, ohm=s.ohm or 0.0) for s in batteries]
    ohm = [c.ohm or 0.0 for c in system.conductors] + [0.0] * len(system.guards)
    shorts = network.with_sources(ohm, infeeds)
    bars = [n.key for n in system.nodes if n.key.endswith("/+") and n.kind == "bar"]
    drawn, seen = ("panel0/bar", "panel0/-"), (bars[-1], bars[-1].replace("+", "-"))
    lines = ["* sag", ".options rshunt=1e9"]
    names: dict[str, str] = {seen[1]: "0"}

    def name(key: str) -> str:
        return names.setdefault(key, f"n{len(names)}")

    parts = [(c.start, c.end, c.ohm) for c in system.conductors]
    parts += [(g.a, g.b, 1e-7) for g in system.guards]
    parts += [(c.a, c.b, 1e-7) for c in system.closed(system.states[0])]
    lines += [f"r{at} {name(a)} {name(b)} {value:.12g}" for at, (a, b, value) in enumerate(parts)]
    for source in batteries:
        lines += [f"v{source.key} e{source.key} {name(source.back)} 12"]
        lines += [f"r{source.key} e{source.key} {name(source.live)} {source.ohm:.12g}"]
    lines += [f"iload {name(drawn[0])} {name(drawn[1])} 100"]
    lines += [".control", "set numdgt=9", "op", f"print v({name(seen[0])})", ".endc", ".end"]
    file = tmp_path / "sag.cir"
    file.write_text("\n".join(lines) + "\n", encoding="utf-8")
    out = subprocess.run(["ngspice", "-b", str(file)], capture_output=True, text=True, check=False, timeout=60)
    line = next(line for line in out.stdout.splitlines() if line.startswith("v(") and "=" in line)
    sag, open_v = shorts.sag_v(100.0, drawn, seen), shorts.open_v(*seen)
    assert sag is not None
    assert open_v is not None
    assert open_v - sag == pytest.approx(float(line.partition("=")[2]), abs=2e-3)


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        ({"inrush_a": None, "circuit": "starter"}, ["wire 28"]),
        ({"inrush_a": 60.0, "start_v": None, "circuit": "starter"}, ["wire 28"]),
        ({"inrush_a": 60.0, "circuit": "starter"}, ["wire 27"]),
        ({"inrush_a": None, "circuit": ""}, ["wire 28"]),
        ({"inrush_a": 10.0, "turning_a": 10.0, "circuit": ""}, []),
    ],
)
def test_a_starter_says_its_start_where_it_can(facts: dict[str, Any], expected: list[str]) -> None:
    """A starter gives current and voltage of its start, on a circuit or at a feeder; its device is exempt."""
    system = boat(starter=True, locked_rotor_a=None, largest_device_a=None, way={"trips_at": 50.0}, **facts)
    assert rules(system) == expected


def test_a_starting_conductor_is_printed_with_no_device() -> None:
    """On the launch the parallel switch's fuse guards the lead from it and no starting conductor that it meets."""
    project = layout.read(EXAMPLES / "launch" / "launch.yaml").project
    assert project is not None
    runs = layout_wire(project, None).runs
    assert {run.guard for run in runs if run.cranking} == {None}
    assert next(run for run in runs if run.key == "feeders.parallel_b").guard is not None


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({}, []),
        ({"battery_switches.start_main.rating": "199 A"}, [("fuse 114", "battery_switches.start_main")]),
        ({"battery_switches.start_main.rating": "1 A", "battery_switches.start_main.starting_rating": "200 A"}, []),
        ({"battery_switches.start_main.starting_rating": "199 A"}, [("fuse 113", "battery_switches.start_main")]),
        ({"battery_switches.parallel.rating": None}, [("fuse 114", "battery_switches.parallel")]),
        ({"battery_switches.main.starting_rating": "199 A"}, [("fuse 113", "battery_switches.main")]),
    ],
)
def test_each_switch_on_a_starters_way_bears_it(
    changes: dict[str, Any], expected: list[tuple[str, str]], tmp_path: Path
) -> None:
    """200 A to turn the engine against the start switch, and against both others when the house bank starts it."""
    said = list(
        starting(
            system(tmp_path, {"devices.starter.starting": {"current": "200 A", "start_voltage": "7 V"}, **changes})
        )
    )
    assert [(breach.rule, breach.entry) for breach in said if breach.rule in ("fuse 113", "fuse 114")] == expected


def test_what_a_starter_draws_is_asked(tmp_path: Path) -> None:
    """A starter at the end of a feeder of which nothing is said is a question, not a pass."""
    said = [(breach.rule, breach.entry) for breach in starting(system(tmp_path, {"devices.starter.starting": None}))]
    assert ("wire 28", "feeders.starter") in said


def test_starting_conductors_carry_what_the_starter_draws(tmp_path: Path) -> None:
    """The schedule prints 200 A on each of them, and nothing where no starter says what it draws."""
    amps = {}
    for said in (True, False):
        boat_case = case(tmp_path, {} if said else {"devices.starter.starting": None})
        runs = layout_wire(boat_case.declared.project, None).runs
        amps[said] = {run.key: run.current_a for run in runs if run.cranking}
    assert amps[True] == dict.fromkeys(("feeders.start_lead", "feeders.starter", "feeders.starter_home"), 200.0)
    assert amps[False]["feeders.starter"] is None
