"""The graph of a project: every conductor and device in it once, ends as they are written, loads with their draw."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

import layout
from layout.wiring.system.nets import nets
from tests.conftest import SOUND
from tests.wiring.stages import stages_of, system_of

if TYPE_CHECKING:
    from layout.wiring.system.graph import System


BOAT = """
spile: 2
project: {name: made up, example: true}
boat: {hull: grp, fuel: diesel}
locations: {locker: {}, mast: {}}
supplies:
  bank: {kind: battery, voltage: 12 V, location: locker, chemistry: lead, capacity: 100 Ah}
  shore: {kind: shore, voltage: 230 V, location: locker, current: 16 A}
  charger: {kind: charger, voltage: 12 V, location: locker, current: 20 A, self_limiting: true,
            efficiency: 90 %, fed_from: ac/1}
battery_switches:
  main: {kind: isolator, voltage: 12 V, location: locker}
bus_bars:
  minus: {pole: "-", voltage: 12 V, location: locker}
feeders:
  lead: {from: bank/+, to: main/in, protection: {kind: link fuse, rating: 100 A, from_source: 100 mm}}
  feed: {from: main/out, to: dc/in}
  home: {from: dc/-, to: minus, poles: "-"}
  back: {from: minus, to: bank/-, poles: "-"}
  charge: {from: charger/+, to: main/in, protection_to: {kind: link fuse, rating: 30 A}}
  charge_back: {from: charger/-, to: minus, poles: "-"}
  inlet: {from: shore, to: ac, poles: [L, N, PE]}
breaker_panels:
  dc: {voltage: 12 V, location: locker, ways: {1: {rating: 10 A}, 2: {rating: 5 A}, 3: {rating: 5 A}}}
  ac:
    voltage: 230 V
    ac: true
    location: locker
    main: {kind: miniature breaker, rating: 16 A, poles: 2, residual: 30 mA}
    ways: {1: {rating: 10 A, poles: 2}}
devices:
  lamp: {location: mast, terminals: {"+": {pole: "+"}, "-": {pole: "-"}}}
  far_lamp: {location: mast}
  pump: {location: mast, terminals: {hand: {pole: switched}, float: {pole: "+"}, "-": {pole: "-"}}}
  switch: {location: locker, terminals: {in: {pole: "+"}, out: {pole: switched}}}
circuits:
  lamps:
    from: dc/1
    to: lamp
    purpose: cabin lights
    load: {current: 9 A}
    legs:
      a: {from: dc/1, to: lamp/+}
      b: {from: lamp/+, to: far_lamp/+, current: 1 A}
      c: {from: far_lamp/-, to: lamp/-, pole: "-"}
      d: {from: lamp/-, to: dc/-, pole: "-"}
  pump:
    from: dc/2
    to: pump
    purpose: bilge pump
    load: {current: 4 A}
    legs:
      a: {from: dc/2, to: switch/in}
      b: {from: switch/out, to: pump/hand, pole: switched}
      c: {from: bank/+, to: pump/float, protection: {kind: blade fuse, rating: 5 A}}
      d: {from: pump/-, to: minus, pole: "-"}
  wrong: {from: dc/3, to: switch, purpose: cabin lights, load: {current: 1 A}}
  charger_ac: {from: ac/1, to: charger, purpose: charger}
"""


def system(path: Path) -> System:
    """Return the graph of a project file."""
    project = layout.read(path).project
    assert project is not None
    return system_of(stages_of(project))


@pytest.fixture(scope="module")
def boat(tmp_path_factory: pytest.TempPathFactory) -> System:
    """Return the graph of the made-up boat above."""
    path = tmp_path_factory.mktemp("boat") / "boat.yaml"
    path.write_text(BOAT, encoding="utf-8")
    return system(path)


def test_devices_stand_in_their_conductors(boat: System) -> None:
    """A device splits its conductor into tail and rest; each pole is there."""
    by_key = {guard.key: guard for guard in boat.guards}
    # three DC ways, a two-pole main and a two-pole way on AC, and three fuses at conductors: 3 + 2 + 2 + 3 poles
    assert len(boat.guards) == 10
    assert len(boat.poles_of["breaker_panels.ac.main"]) == 2
    lead = by_key["feeders.lead.protection +"]
    tail = next(c for c in boat.conductors if c.end == lead.a)
    rest = next(c for c in boat.conductors if c.start == lead.b)
    assert (tail.start, tail.is_tail, tail.tail_mm) == ("bank/+", True, 100.0)
    assert (rest.end, rest.is_tail) == ("main/in", False)
    charge = by_key["feeders.charge.protection_to +"]
    assert next(c for c in boat.conductors if c.end == charge.b).start == "charger/+"
    assert next(c for c in boat.conductors if c.start == charge.a).end == "main/in"


def test_what_takes_current(boat: System) -> None:
    """A chain gives each lamp its own share; a pump with two feeds is one thing that runs once."""
    draws = {c.key: (c.draw_a, c.draw_said) for c in boat.consumers}
    # 9 A to the first lamp of which 1 A goes on to the far one
    assert draws["lamp/+"] == (8.0, True)
    assert draws["far_lamp/+"] == (1.0, True)
    pump = [c for c in boat.consumers if c.circuit == "pump"]
    assert {c.live for c in pump} == {"pump/hand", "pump/float"}
    assert {c.back for c in pump} == {"pump/-"}
    assert {c.never_with for c in pump} == {"pump by two feeds"}
    charger = next(c for c in boat.consumers if c.feeds == "charger")
    assert (charger.live, charger.back, charger.earth) == ("charger/L", "charger/N", "charger/PE")


def test_a_wrong_terminal_stays_as_it_is_written(boat: System) -> None:
    """Nothing is moved to the terminal that was probably meant."""
    wrong = {c.pole: c for c in boat.conductors if c.segment == "circuits.wrong"}
    assert wrong["+"].end == "switch/in"
    assert boat.node[wrong["-"].end].missing  # the switch has no terminal for a return


def test_ways_of_two_poles_have_their_own_return(boat: System) -> None:
    """Neutral goes over the second pole of its way."""
    neutral = next(c for c in boat.conductors if c.segment == "circuits.charger_ac" and c.pole == "N")
    assert neutral.start == "ac/1:N"
    device = {guard.pole: guard for guard in boat.poles_of["breaker_panels.ac.ways.1"]}
    assert (device["N"].a, device["N"].b) == ("ac/N:bar", "ac/1:N")


def test_states_end_with_all_open(boat: System) -> None:
    """Nets follow contacts and devices, and never run through a load."""
    on, opened = boat.states
    assert nets(boat, on).joined("bank/+", "lamp/+")
    assert not nets(boat, opened).joined("bank/+", "lamp/+")
    assert nets(boat, opened).joined("bank/+", "pump/float")
    assert not nets(boat, on, without=["circuits.pump.legs.c.protection"]).joined("bank/+", "charger/N")


@pytest.mark.parametrize("name", SOUND)
def test_each_conductor_of_an_example_is_in_it_once(name: str) -> None:
    """Every lead of every segment is one conductor, and all its ends are known."""
    project = layout.read(Path("examples") / name).project
    assert project is not None
    case = stages_of(project)
    graph = system_of(case)
    expected = [
        (key, lead.pole)
        for key, segment in case.declared.segments.items()
        if segment.owner_kind not in ("serial", "signal")
        for lead in segment.leads
    ]
    up_to_holders = {key for key, segment in case.declared.segments.items() if segment.tail_of}
    laid = [c for c in graph.conductors if not c.implied and (not c.is_tail or c.segment in up_to_holders)]
    assert len(laid) == len(expected)
    assert {c.segment for c in laid} == {key for key, _ in expected}
    assert len({c.key for c in graph.conductors}) == len(graph.conductors)
    assert len({g.key for g in graph.guards}) == len(graph.guards)
    for edge in (*graph.conductors,):
        assert {edge.start, edge.end} <= graph.node.keys()
    for guard in graph.guards:
        assert {guard.a, guard.b} <= graph.node.keys()
    assert not [node.key for node in graph.nodes if node.missing]


def test_each_core_of_a_signal_cable_has_its_two_terminals() -> None:
    """The launch's speaker, senders and serial pair: two cores each, from terminal to terminal as the file says."""
    project = layout.read(Path("examples/launch/launch.yaml")).project
    assert project is not None
    signals = system_of(stages_of(project)).signals
    assert {core.entry for core in signals} == {
        *(f"signals.{key}" for key in project.signals), *(f"serial.{key}" for key in project.serial),
    }  # fmt: skip
    ends = {(core.start, core.end) for core in signals}
    assert {("radio/speaker +", "speaker/+"), ("sounder/A", "plotter/A"), ("battery_monitor/A", "shunt/A")} <= ends
    assert all(core.size_mm2 is not None for core in signals)
