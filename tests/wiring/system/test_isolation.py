"""What stays live and what an opening leaves dead, held against every simple path of systems by chance."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import pytest

from layout.wiring.system.graph import Consumer, Guard, Node, System
from layout.wiring.system.isolation import isolation
from tests.conftest import FULL
from tests.wiring.laws.boats import system as boat_of
from tests.wiring.laws.chance_boats import chance_boat
from tests.wiring.laws.fault_systems import battery, one_panel
from tests.wiring.laws.second_way import Trial
from tests.wiring.laws.test_topology import two_outputs

if TYPE_CHECKING:
    from pathlib import Path

    from layout.wiring.system.graph import SwitchState

SEEDS = range(60 if FULL else 20)
boat = cache(chance_boat)


def reached(trial: Trial, by_themselves: set[str], node: str | None, opened: str = "") -> set[str]:
    """Return the sources that reach a node by some path; one with an input is live if something reaches that."""
    system = trial.system
    live = set(by_themselves)
    for _ in system.sources:
        live |= {
            load.feeds
            for load in system.consumers
            for source in system.sources
            if load.feeds and source.key in live and trial.joined(source.live, load.live, opened=opened)
        }
    return {s.key for s in system.sources if s.key in live and trial.joined(s.live, node, opened=opened)}


def used(system: System) -> SwitchState:
    """Return the first state of use."""
    return system.states[0]


@pytest.mark.parametrize("seed", SEEDS)
def test_what_stays_live_is_what_some_path_reaches(seed: int) -> None:
    """With all switches open: each owner that no way's device stands before, and its sources but itself."""
    system = boat(seed)
    trial = Trial(system, system.states[-1])
    alone = {source.key for source in system.sources if source.kind in ("battery", "solar")}
    ways = frozenset(guard.key for guard in system.guards if ".ways." in guard.entry)
    wanted: dict[str, set[str]] = {}
    for node in system.nodes:
        sources = reached(trial, alone, node.key)
        started = [source for source in system.sources if reached(trial, alone, source.live) & {source.key}]
        before = any(trial.joined(source.live, node.key, out=ways) for source in started)
        others = {source.key for source in system.sources if source.key in sources and source.live != node.key}
        if node.kind != "inner" and others and before:
            wanted[node.owner] = wanted.get(node.owner, set()) | others
    assert {entry.owner: set(entry.sources) for entry in isolation(system).live} == wanted


@pytest.mark.parametrize("seed", SEEDS)
def test_what_an_opening_leaves_dead_no_path_reaches(seed: int) -> None:
    """Each device and switch by itself, with all sources running that have no input."""
    system = boat(seed)
    trial = Trial(system, used(system))
    running = {s.key for s in system.sources} - {load.feeds for load in system.consumers}
    was = {load.key for load in system.consumers if reached(trial, running, load.live)}
    far = {guard.entry: (guard.device, guard.b) for guard in reversed(system.guards) if guard.pole in ("+", "L")}
    for contact in system.closed(used(system)):
        if contact.pole in ("+", "L"):
            far[f"battery_switches.{contact.switch}"] = (contact.switch, contact.b)
    told = {opening.entry: opening for opening in isolation(system).openings}
    assert set(far) <= set(told)
    for entry, (opened, behind) in far.items():
        now = {load.key for load in system.consumers if reached(trial, running, load.live, opened=opened)}
        kept = {load.entry for load in system.consumers if load.key in now}
        dead = {load.entry for load in system.consumers if load.key in was} - kept
        assert set(told[entry].dead) == dead
        assert set(told[entry].behind) == reached(trial, running, behind, opened=opened)


def test_a_load_of_two_feeds_is_not_dead_by_one() -> None:
    """Two things of one entry on two ways: opening one way leaves the entry live, opening the lead leaves it dead."""
    plain = one_panel()
    node = Node(key="panel/2", owner="panel", section="", name="panel/2", kind="way", pole="+")
    second = Guard(
        key="2 +", device="2", entry="breaker_panels.panel/2", name="way 2", a="panel/bar", b="panel/2", pole="+",
        kind="breaker", rating_a=10.0,
    )  # fmt: skip
    again = Consumer(key="again", entry="circuits.lamp", name="Lamp", live="panel/2", back="lamp/-", draw_a=2.0)
    system = System(
        nodes=(*plain.nodes, node), conductors=plain.conductors, guards=(*plain.guards, second),
        consumers=(*plain.consumers, again), sources=plain.sources,
    )  # fmt: skip
    dead = [dict(opening.dead) for opening in isolation(system).openings]
    assert dead == [{"circuits.lamp": "Lamp"}, {}, {}]
    assert [dict(opening.dead) for opening in isolation(plain).openings] == [{"circuits.lamp": "Lamp"}] * 2


def test_an_inverter_before_the_main_switch_keeps_its_socket_live(tmp_path: Path) -> None:
    """The bank reaches its input, and it the socket; behind the main switch both are dead with that."""
    inverter = {
        "supplies.inverter": {
            "kind": "inverter", "voltage": "230 V", "location": "locker", "power": "1 kW", "self_limiting": True,
            "efficiency": "90 %", "fed_from": "bank", "polarized": True, "neutral_bond": True,
        },
        "feeders.inverter_in": {"from": "bank/+", "to": "inverter/in"},
        "feeders.inverter_home": {"from": "inverter/-", "to": "bank/-", "poles": "-"},
        "devices.spare": {"location": "cabin", "terminals": {"L": {"pole": "L"}, "N": {"pole": "N"}}},
        "circuits.spare": {"from": "inverter", "to": "spare", "purpose": "socket", "load": {"power": "100 W"}},
    }  # fmt: skip
    before = isolation(boat_of(tmp_path, inverter))
    live = {entry.owner: entry.sources for entry in before.live}
    assert live["inverter"] == ("bank",)
    assert live["spare"] == ("inverter",)
    behind = isolation(
        boat_of(tmp_path, {**inverter, "feeders.inverter_in": {"from": "main/out", "to": "inverter/in"}})
    )
    assert {"spare", "inverter"}.isdisjoint(entry.owner for entry in behind.live)
    main = next(opening for opening in behind.openings if opening.entry == "battery_switches.main")
    assert {"supplies.inverter", "circuits.spare", "circuits.radio"} <= set(main.dead)
    assert "circuits.alarm" not in main.dead


def test_each_output_of_a_charger_is_dead_without_its_input(tmp_path: Path) -> None:
    """Shore is its input: with the device at the inlet open, neither output is live behind its own fuse."""
    told = isolation(boat_of(tmp_path, two_outputs()))
    assert not any("charger" in source for entry in told.live for source in entry.sources)
    by_entry = {opening.entry: opening for opening in told.openings}
    assert by_entry["feeders.charge.protection_to"].behind == ("charger",)
    assert by_entry["feeders.charge2.protection_to"].behind == ("charger/+2",)
    shore_dead = by_entry["feeders.inlet.protection"]
    assert "supplies.charger" in shore_dead.dead


def test_nothing_is_said_without_a_state_of_all_open() -> None:
    """A system without states has its openings, and no list of what stays live."""
    assert isolation(System(sources=(battery("bank"),))).live == ()


SOLAR = {
    "supplies.sun": {"name": "Solar", "kind": "solar", "voltage": "12 V", "device": "controller", "current": "10 A",
                     "self_limiting": True},
    "devices.controller": {"name": "Controller", "location": "locker", "terminals": {
        "+": {"pole": "+"}, "-": {"pole": "-"}, "in": {"pole": "+"}, "in-": {"pole": "-"}}},
    "devices.modules": {"name": "Modules", "location": "cabin", "terminals": {"+": {"pole": "+"}, "-": {"pole": "-"}}},
    "feeders.sun_out": {"name": "Solar lead", "from": "sun/+", "to": "plus"},
    "feeders.sun_home": {"name": "Solar return", "from": "sun/-", "to": "minus", "poles": "-"},
    "feeders.array": {"name": "Array lead", "from": "modules/+", "to": "sun/in"},
    "feeders.array_back": {"name": "Array return", "from": "modules/-", "to": "sun/in-", "poles": "-"},
}  # fmt: skip
ISOLATOR = {
    "battery_switches.sunny": {"name": "Array switch", "kind": "isolator", "voltage": "36 V", "rating": "20 A",
                               "location": "locker"},
    "feeders.array": {"name": "Array lead", "from": "modules/+", "to": "sunny/in"},
    "feeders.array_on": {"name": "Array lead, on", "from": "sunny/out", "to": "sun/in"},
}  # fmt: skip


@pytest.mark.parametrize(
    ("changes", "live"),
    [(SOLAR, {"modules": "feeders.array", "sun": "feeders.array"}),
     ({**SOLAR, **ISOLATOR}, {"modules": "feeders.array", "sunny": "feeders.array"})],
)  # fmt: skip
def test_the_wires_of_solar_modules_are_live_in_daylight(changes: dict, live: dict[str, str], tmp_path: Path) -> None:
    """Up to the controller, or with an isolator that is open up to that; what lies behind it is dead."""
    told = {owner.owner: owner for owner in isolation(boat_of(tmp_path, changes)).live}
    for owner, conductor in live.items():
        assert "sun" in told[owner].sources
        assert conductor in {segment for segment, _ in told[owner].conductors}
    on = {segment for owner in told.values() for segment, _ in owner.conductors}
    assert "feeders.array_on" not in on
