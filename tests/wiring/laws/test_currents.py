"""Currents add up: wrong boats with their words, just-legal twins, and Kirchhoff's equations solved beside them."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

import layout
from layout.wiring.laws.currents import currents
from layout.wiring.laws.dead_when_off import dead_when_off
from layout.wiring.laws.residual import residual
from layout.wiring.system.bridges import cuts, edges_of
from layout.wiring.system.carried import carried, carried_together
from layout.wiring.system.graph import Conductor, Consumer, System
from layout.wiring.system.nets import merged, nets
from tests.conftest import SOUND
from tests.wiring.laws.boats import bow, case, system
from tests.wiring.laws.chance_boats import chance_boat
from tests.wiring.stages import stages_of, system_of

if TYPE_CHECKING:
    from pathlib import Path

    from layout.wiring.system.graph import PowerSource, SwitchState

AC_TERMINALS = {"L": {"pole": "L"}, "N": {"pole": "N"}, "PE": {"pole": "PE"}}


def chain(load: str = "9 A", **said: str) -> dict[str, Any]:
    """Return two lamps in a chain on one way, with the currents that are said for legs."""
    legs: dict[str, dict[str, str]] = {
        "a": {"from": "dc/1", "to": "lamp/+"}, "b": {"from": "lamp/+", "to": "lamp2/+"},
        "c": {"from": "lamp2/-", "to": "lamp/-", "pole": "-"}, "d": {"from": "lamp/-", "to": "dc/-", "pole": "-"},
    }  # fmt: skip
    for key, amps in said.items():
        legs[key]["current"] = amps
    return {"circuits.lamp.legs": legs, "circuits.lamp.load.current": load}


def socket(neutral: str) -> dict[str, Any]:
    """Return the boat's socket with its neutral on some terminal."""
    return {"circuits.socket.legs": {
        "l": {"from": "ac/2", "to": "socket/L", "pole": "L"}, "n": {"from": neutral, "to": "socket/N", "pole": "N"},
        "e": {"from": "ac", "to": "socket/PE", "pole": "PE"},
    }}  # fmt: skip


PUMP = {
    "devices.pump": {"location": "cabin", "terminals": {"hand": {"pole": "+"}, "float": {"pole": "+"},
                                                       "-": {"pole": "-"}}},
    "breaker_panels.dc.ways.3.poles": 2,
}  # fmt: skip


def pump(home: str) -> dict[str, Any]:
    """Return a bilge pump with a hand feed from a way of two poles, a float feed from the bank, and one return."""
    return {**PUMP, "circuits.pump": {
        "name": "Bilge pump", "from": "dc/3", "to": "pump", "purpose": "bilge pump", "load": {"current": "3 A"},
        "legs": {
            "hand": {"from": "dc/3", "to": "pump/hand"},
            "float": {"from": "bank/+", "to": "pump/float", "always_live": True,
                      "protection": {"kind": "blade fuse", "rating": "5 A", "from_source": "60 mm"}},
            "home": {"from": home, "to": "pump/-", "pole": "-"},
        },
    }}  # fmt: skip


HULL = {
    "bus_bars.earth": {"name": "Main earth", "pole": "PE", "location": "locker"},
    "feeders.bond": {"name": "Negative bond", "from": "minus", "to": "earth", "poles": "bond"},
}
NEUTRAL = {"feeders.tie": {"name": "Neutral tie", "from": "ac/N", "to": "ac/PE", "poles": "bond"}}

CASES: dict[str, tuple[dict[str, Any], list[tuple[str, str]]]] = {
    # changes, and code with words of each finding
    "as it is": ({}, []),
    "a chain whose shares are said": (chain(b="1 A"), []),
    "a chain whose shares are not said": (
        chain(), [("fuse 95", "Cabin lights: what Lamp, Second lamp each draw is not said, so each part is taken to")],
    ),
    "legs that carry more than the load": (
        chain(load="5 A", a="9 A", b="1 A"),
        [("fuse 94", "Cabin lights: by its legs its things draw 9 A together, its load is 5 A")],
    ),
    "legs that carry less than the load": (
        chain(a="7 A", b="1 A"), [("fuse 94", "its things draw 7 A together, its load is 9 A")],
    ),
    "a return that is said to carry less than comes home": (
        chain(b="1 A", d="1 A"), [("fuse 94", "Cabin lights: the file says return of Lamp 1 A, where 9 A flow")],
    ),
    "a return that is said to carry what comes home": (chain(b="1 A", c="1 A", d="9 A"), []),
    "figures that are rounded": (chain(load="9.1 A", a="9 A", b="1 A"), []),
    "a neutral on the next way": (
        socket("ac/1"),
        [("fuse 97", "Socket: it is fed through way 2 of AC panel, and comes home through way 1 of AC panel")],
    ),
    "a neutral on its own way": (socket("ac/2"), []),
    "a float switch whose return the hand feed's way opens": (
        pump("dc/3"), [("fuse 97", "Bilge pump: it comes home through way 3 of DC panel, and is not fed through it")],
    ),
    "a float switch with its return at the bank": (pump("bank/-"), []),
    "earth joined to the negative at two places": (
        {**HULL, "feeders.bond_2": {"name": "Engine bond", "from": "start/-", "to": "earth", "poles": "bond"}},
        [("fuse 96", "Negative bond > Engine bond: both its ends are on one return, so load current flows in it")],
    ),
    "earth joined to it at one place": (HULL, []),
    "a bond beside the link of the negatives": (
        {"feeders.strap": {"name": "Strap", "from": "start/-", "to": "bank/-", "poles": "bond"}},
        [("fuse 96", "Strap: both its ends are on one return")],
    ),
    "neutral joined to earth aboard, and ashore": (
        NEUTRAL, [("fuse 96", "Neutral tie > Shore inlet, PE: both its ends are on one return")],
    ),
    "neutral joined to earth aboard alone": ({**NEUTRAL, "supplies.shore.neutral_bond": False}, []),
    "two sources with a bond in each, which fuse 31 counts": (
        {"supplies.generator": {"name": "Generator", "kind": "generator", "voltage": "230 V", "location": "engine",
                                "current": "10 A", "neutral_bond": True},
         "feeders.gen": {"from": "generator", "to": "ac", "poles": ["L", "N", "PE"]}},
        [],
    ),
    "a bar that passes more than it is rated for": (
        {"bus_bars.plus.rating": "8 A"}, [("wire 45", "Plus bar: 9.0 A at once is more than its 8 A")],
    ),
    "a bar of which nobody knows the rating": (
        {"bus_bars.plus.rating": None}, [("wire 65", "Plus bar: its rating is not known")],
    ),
    "a main switch of which nobody knows the rating": (
        {"battery_switches.main.rating": None}, [("wire 65", "Main switch: its rating is not known")],
    ),
    "a bar that passes what it is rated for": ({"bus_bars.plus.rating": "9 A"}, []),
    "a return bar in the charger's way": (
        {"bus_bars.minus.rating": "79 A"}, [("wire 45", "Minus bar: 80.0 A at once is more than its 79 A")],
    ),
    "a return bar that bears it": ({"bus_bars.minus.rating": "80 A"}, []),
    "a panel of less than its ways draw": (
        {"breaker_panels.dc.rating": "8 A"}, [("wire 45", "DC panel: 9.0 A at once is more than its 8 A")],
    ),
    "the same with two thirds at once": (
        {"breaker_panels.dc.rating": "8 A", "breaker_panels.dc.diversity": "66 %"}, [],
    ),
    "a main switch of less than the boat draws": (
        {"battery_switches.main.rating": "8 A"}, [("wire 45", "Main switch: 9.0 A at once is more than its 8 A")],
    ),
    "a panel's main device that opens in use": (
        {"breaker_panels.dc.main": {"kind": "breaker", "rating": "8 A"}},
        [("fuse 4", "main device of DC panel: 9 A at once, it is rated for 8 A, in state 'normal'")],
    ),
    "a panel's main device that bears it": ({"breaker_panels.dc.main": {"kind": "breaker", "rating": "9 A"}}, []),
    "a way of less than its circuit draws": (
        {"breaker_panels.dc.ways.1.rating": "3 A"},
        [("fuse 3", "way 1 of DC panel (Cabin lights): 4 A at once, it is rated for 3 A")],
    ),
    "a way of what its circuit draws": ({"breaker_panels.dc.ways.1.rating": "4 A"}, []),
    "a charger behind a fuse of less than its output": (
        {"feeders.charge.protection_to.rating": "15 A"},
        [("fuse 4", "device of Charger lead: 20 A at once, it is rated for 15 A")],
    ),
    "loads of which one runs at a time": (
        {"bus_bars.plus.rating": "5 A", "circuits.lamp.never_with": "galley", "circuits.radio.never_with": "galley"},
        [],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_what_is_said(name: str, tmp_path: Path) -> None:
    """Each wrong boat is told once, at its root; its just-legal twin is not."""
    changes, expected = CASES[name]
    found = list(currents(system(tmp_path, changes)))
    assert [breach.rule for breach in found] == [code for code, _ in expected], [breach.message for breach in found]
    for breach, (_, words) in zip(found, expected, strict=True):
        assert words in breach.message
        assert breach.remedy


@pytest.mark.parametrize("name", SOUND)
def test_what_is_printed_is_what_flows(name: str) -> None:
    """Each run of an example is sized for the most that flows in its conductors, or for what its owner gives."""
    case = stages_of(layout.read(f"examples/{name}").project)
    flowing: dict[str, float | None] = {}
    made = system_of(case)
    amps = carried(made)
    for conductor in [c for c in made.conductors if not c.implied]:
        here = amps[conductor.key].amps if conductor.key in amps else 0.0
        known = flowing.get(conductor.segment, 0.0)
        flowing[conductor.segment] = None if here is None or known is None else max(here, known)
    starting = {c.segment for c in made.conductors if c.cranking}
    both = {key: (case.settled.sized[key].current, flowing[key]) for key in flowing if key not in starting}
    assert both
    for key, (design, most) in both.items():
        joins_banks = not most and any(state.short_time for state in made.states)  # carries for minutes only
        if "held" not in design.text and not joins_banks:
            given = design.text.endswith("given")
            assert design.current_a == (
                pytest.approx(most) if not given else max(design.current_a or 0.0, most or 0.0)
            ), key


# --- a second way -----------------------------------------------------------------------------------------------------


Edges = list[tuple[str, str, str]]


def solved(
    made: System, state: SwitchState, source: PowerSource, ohm: dict[str, float], earth: Edges
) -> dict[str, float]:
    """Return the current of each edge with one source alone: the nodal equations of both its nets, earth beside."""
    net = nets(made, state)
    others = [c for c in made.consumers if c.feeds != source.key]  # nothing feeds its own input
    fed = [c for c in others if net.joined(source.live, c.live) and net.joined(source.back, c.back)]
    edges = [*edges_of(made, state), *earth]
    whole = merged((a, b) for _, a, b in edges)
    found: dict[str, float] = {}
    for post, ends in ((source.live, [c.live for c in fed]), (source.back, [c.back for c in fed])):
        mine = [(k, a, b) for k, a, b in edges if a != b and whole.joined(post, a)]
        keys = sorted({node for _, a, b in mine for node in (a, b)} | {post})
        at = {key: number for number, key in enumerate(keys)}
        matrix, into = np.zeros((len(keys), len(keys))), np.zeros(len(keys))
        for key, a, b in mine:
            for first, second in ((a, b), (b, a)):
                matrix[at[first], at[first]] += 1 / ohm[key]
                matrix[at[first], at[second]] -= 1 / ohm[key]
        for consumer, end in zip(fed, ends, strict=True):
            into[at[end or ""]] -= consumer.draw_a or 0.0
        matrix[at[post]] = 0.0
        matrix[at[post], at[post]] = 1.0
        into[at[post]] = 0.0
        volts = np.linalg.solve(matrix, into)
        for key, a, b in mine:
            found[key] = max(found.get(key, 0.0), abs(volts[at[a]] - volts[at[b]]) / ohm[key])
    return found


def drawing(seed: int, chance: random.Random) -> System:
    """Return a system by chance whose loads draw something, with a few bonds more, one of them inside a source."""
    made = chance_boat(seed)
    loads = tuple(replace(c, draw_a=float(chance.randint(1, 20)), circuit=c.key, circuit_a=None, never_with="",
                          starter=False) for c in made.consumers if c.live and c.back)  # fmt: skip
    bonded = next((s.key for s in made.sources if s.ac and chance.random() < 0.7), "")
    sources = tuple(replace(s, output_a=None, neutral_bond=s.key == bonded or None) for s in made.sources)
    returns = [node.key for node in made.nodes if node.pole in ("-", "N", "PE")]
    bonds = tuple(
        Conductor(key=f"bond{n}", segment="", entry="", name=f"bond{n}", start=a, end=b, pole="bond")
        for n in range(chance.choice((0, 1, 1, 2)))
        for a, b in (chance.sample(returns, 2),)
    )
    return replace(made, consumers=loads, sources=sources, conductors=made.conductors + bonds)


def in_earth(seed: int) -> tuple[bool, bool] | None:
    """Return whether the nodal equations put current into earth, and whether that is told; None for a short."""
    chance = random.Random(seed)
    made = drawing(seed, chance)
    earth = [(c.key, c.start, c.end) for c in made.conductors if c.pole in ("PE", "bond")]
    earth += [(f"{s.key} bond", s.earth, s.back) for s in made.sources if s.neutral_bond and s.earth]
    states = [state for state in made.states if not state.all_open]
    edges = {state.name: [*edges_of(made, state), *earth] for state in states}
    whole = [merged([(a, b) for _, a, b in mine]) for mine in edges.values()]
    if any(net.joined(s.live, s.back) for net in whole for s in made.sources):
        return None  # a stray end that shorts a source, or earths its live post
    most: dict[str, float] = {}
    for state in states:
        ohm = {key: chance.uniform(0.1, 2.0) for key, _, _ in edges[state.name]}
        for source in made.sources:
            for key, amps in solved(made, state, source, ohm, earth).items():
                most[key] = max(most.get(key, 0.0), amps)
    told = any(breach.rule == "fuse 96" for breach in currents(made))
    return any(most.get(key, 0.0) > 1e-6 for key, _, _ in earth), told


def test_no_load_current_in_earth() -> None:
    """Told wherever the nodal equations, bonds among them, put current into earth; beside a dead return as well."""
    found = [verdict for seed in range(150) if (verdict := in_earth(seed)) is not None]
    assert (True, False) not in found
    assert found.count((True, True)) > 50
    assert found.count((False, False)) > 50
    assert found.count((False, True)) <= 4  # the return that it lies beside carries nothing: its load is not fed


def past_a_device(seed: int) -> list[tuple[bool, bool, bool]]:
    """Return for each AC load whether a device's poles differ with it alone, whether that is told, and what else is.

    In half of the systems two loads have each other's return.
    """
    chance = random.Random(seed)
    made = drawing(seed, chance)
    alternating = [c for c in made.consumers if c.ac]
    if len(alternating) > 1 and seed % 2:
        first, second = alternating[:2]
        swapped = {first.key: second.back, second.key: first.back}
        loads = tuple(replace(c, back=swapped.get(c.key, c.back)) for c in made.consumers)
        made = replace(made, consumers=loads)
    states = [state for state in made.states if not state.all_open]
    if any(nets(made, state).joined(s.live, s.back) for state in states for s in made.sources):
        return []
    devices = [poles for poles in made.poles_of.values() if {"L", "N"} <= {guard.pole for guard in poles}]
    told = {breach.entry for breach in currents(made) if breach.rule == "fuse 97"}
    others = {breach.entry for law in (residual, dead_when_off) for breach in law(made)}
    found = []
    for consumer in made.consumers:
        if consumer.ac:
            alone, differs = replace(made, consumers=(consumer,)), False
            for state in states:
                ohm = {key: chance.uniform(0.1, 2.0) for key, _, _ in edges_of(made, state)}
                for source in made.sources:
                    amps = solved(alone, state, source, ohm, [])
                    sums = [[amps.get(guard.key, 0.0) for guard in poles] for poles in devices]
                    differs |= any(abs(out - home) > 1e-6 for out, home in sums)
            beside = consumer.entry in others or any(poles[0].entry in others for poles in devices)
            found.append((differs, consumer.entry in told, beside))
    return found


def test_currents_of_a_devices_poles_are_equal() -> None:
    """Told wherever they differ by the nodal equations; where a jumper leads past one pole, that is told instead."""
    found = [verdict for seed in range(150) for verdict in past_a_device(seed)]
    assert not [verdict for verdict in found if verdict == (True, False, False)]
    assert not [verdict for verdict in found if verdict[:2] == (False, True)]
    assert len([verdict for verdict in found if verdict[:2] == (True, True)]) > 10


@pytest.mark.parametrize("seed", range(120))
def test_kirchhoff(seed: int) -> None:
    """Whatever the resistances, no edge carries more; an edge that is the only way carries exactly that."""
    chance = random.Random(seed)
    made = drawing(seed, chance)
    amps = carried(made)
    states = [state for state in made.states if not state.all_open and not state.short_time]
    if any(nets(made, state).joined(s.live, s.back) for state in states for s in made.sources):
        return  # a stray end that shorts a source: no load current is left to ask for
    most: dict[str, float] = {}
    only: set[str] = set()
    rings: set[str] = set()
    for state in states:
        edges = list(edges_of(made, state))
        ways = set(cuts(edges, ()))
        only |= ways
        rings |= {key for key, _, _ in edges} - ways
        ohm = {key: chance.uniform(0.1, 2.0) for key, _, _ in edges}
        for source in made.sources:
            if not source.charges:
                for key, here in solved(made, state, source, ohm, []).items():
                    most[key] = max(most.get(key, 0.0), here)
    for key, here in most.items():
        told = (amps[key].amps or 0.0) if key in amps else 0.0
        assert told >= here - 1e-6, (seed, key)
        if key in only - rings:
            assert told == pytest.approx(here, abs=1e-6), (seed, key)


def load(key: str, amps: float | None, **more: Any) -> Consumer:
    """Return a load of its own circuit."""
    return Consumer(key=key, entry=key, name=key, live=f"{key}/+", back=f"{key}/-", draw_a=amps, circuit=key, **more)


def test_what_runs_together() -> None:
    """By hand: 4 and 5 A that exclude each other count as 5, two feeds of one pump of 3 A as 3."""
    shut_out = [load("a", 4.0, never_with="g"), load("b", 5.0, never_with="g")]
    pump_feeds = [replace(load(key, 3.0, circuit_a=3.0), circuit="pump") for key in ("hand", "float")]
    assert carried_together([*shut_out, *pump_feeds, load("c", 2.0)]) == 10.0
    assert carried_together([load("c", 2.0), load("d", None)]) is None
    assert carried_together([]) == 0.0


def test_a_panel_of_many_at_once_is_never_less_than_its_largest(tmp_path: Path) -> None:
    """10 % of 9 A is less than the radio of 5 A alone."""
    made = system(tmp_path, {"breaker_panels.dc.diversity": "10 %"})
    assert carried(made)["feeders.feed +"].amps == 5.0
    assert carried(made)["circuits.lamp +"].amps == 4.0


def test_a_converter_beside_a_bank_gives_what_it_can(tmp_path: Path) -> None:
    """A winch of 90 A behind the bow battery: 20 A come by the charger of 20 A, and 90 A from the battery."""
    amps = carried(system(tmp_path, bow()))
    assert [amps[f"feeders.{key} +"].amps for key in ("bow_out", "bow_main")] == [20.0, 90.0]
    sized = case(tmp_path, bow()).settled.sized
    assert [sized[f"feeders.{key}"].current.current_a for key in ("bow_out", "bow_main")] == [20.0, 90.0]


def test_a_whole_way_carries_one_current(tmp_path: Path) -> None:
    """From the bank to the panel and home: 9 A at each conductor, device and contact."""
    amps = carried(system(tmp_path, {}))
    way = ["feeders.lead + tail", "feeders.lead.protection +", "feeders.lead +", "main in out +", "feeders.to_bar +",
           "feeders.feed + tail", "feeders.feed.protection +", "feeders.feed +", "feeders.feed_home -"]  # fmt: skip
    assert all(amps[near].amps == amps[far].amps == 9.0 for near, far in pairwise(way))
