"""Whole files against the laws on faults, starts, spaces, terminals and the owner's word: wrong, and just legal."""

from __future__ import annotations

import copy
from typing import TYPE_CHECKING, Any

import pytest
import yaml

import layout
from layout.wiring.wire import wire
from tests.wiring.laws.boats import changed

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from layout.findings import Finding

FUSE = {"kind": "link fuse", "from_source": "100 mm", "breaking_capacity": "5 kA", "trips_at": 6, "voltage": "58 V"}
WAY = {"breaking_capacity": "3 kA", "trips_at": 8}
FACTS: dict[str, Any] = {
    "supplies.bank.resistance": "5 mohm",
    "supplies.bank.cold_cranking": "1100 A",
    "supplies.start.resistance": "6 mohm",
    "supplies.start.cold_cranking": "900 A",
    "supplies.shore.fault_current": "3 kA",
    "supplies.shore.isolation": "galvanic isolator",
    "battery_switches.main.ignition_protected": True,
    **{f"feeders.{key}.length": "1 m" for key in ("lead", "to_bar", "home", "feed", "feed_home", "inlet", "link")},
    "feeders.lead.protection": {**FUSE, "rating": "100 A"},
    "feeders.alt.protection_to": {**FUSE, "rating": "80 A"},
    "feeders.charge.protection_to": {**FUSE, "rating": "30 A"},
    "feeders.feed.protection": {**FUSE, "rating": "50 A"},
    "feeders.par_b.protection_to": {**FUSE, "rating": "100 A"},
    "circuits.alarm.protection": {**FUSE, "kind": "cartridge fuse", "rating": "3 A"},
    "feeders.inlet.protection": {
        "kind": "miniature breaker", "rating": "16 A", "poles": 2, "residual": "30 mA", "breaking_capacity": "6 kA",
        "trips_at": 10, "voltage": "230 V", "from_source": "100 mm", "enclosed": True,
    },
    **{f"breaker_panels.dc.ways.{n}": {"rating": f"{a} A", **WAY} for n, a in ((1, 10), (2, 10), (3, 5), (4, 5))},
    **{f"breaker_panels.ac.ways.{n}": {"rating": "10 A", "poles": 2, **WAY, "trips_at": 10} for n in (1, 2)},
    **{f"circuits.{key}.length": "4 m" for key in ("lamp", "radio", "socket", "charger_ac")},
    "bus_bars.minus.studs": ["M8", "M8", "M8"],
    "bus_bars.plus.studs": ["M8", "M8"],
}  # fmt: skip
PUMP = {
    "name": "Bilge pump", "from": "dc/3", "to": "lamp2", "purpose": "bilge pump", "length": "4 m",
    "load": {"current": "3 A", "motor": True, "inrush": "14 A", "locked_rotor": "12 A", "start_voltage": "8 V",
             "largest_protection": "5 A"},
}  # fmt: skip


def pump(**load: Any) -> dict[str, Any]:
    """Return the bilge pump with other motor facts."""
    return {**PUMP, "load": {**PUMP["load"], **load}}


def wires(count: int, *, start: str = "bank/-", stop: str = "minus") -> dict[str, Any]:
    """Return so many more returns from one terminal."""
    return {f"feeders.extra{n}": {"from": start, "to": stop, "poles": "-", "length": "1 m"} for n in range(count)}


WEAK_WAYS = {f"breaker_panels.dc.ways.{n}.breaking_capacity": "1 kA" for n in (1, 2, 3, 4)}
SEALED = {"feeders.lead.protection.ignition_protected": True, "feeders.alt.protection_to.ignition_protected": True,
          "feeders.charge.protection_to.ignition_protected": True,
          "circuits.alarm.protection.ignition_protected": True}  # fmt: skip
BOX = {"locations.box": {"name": "Battery box", "gas": "battery gas"}, "supplies.bank.location": "box"}
SPACED = {
    "locations.a": {}, "locations.b": {},
    "wireways.tray": {"name": "Cable tray", "from": "locker", "to": "cabin", "kind": "tray", "length": "3 m",
                      "bundled": False},
}  # fmt: skip
MANY = {
    f"circuits.many{n}": {
        "name": f"Lamp {n}", "from": "plus",
        "protection": {**FUSE, "rating": "5 A"}, "to": "lamp2", "purpose": "cabin lights", "load": {"current": "0.1 A"},
        "wireways": ["tray"], "size": "2.5 mm2",
    }
    for n in range(17)
}  # fmt: skip


def shore_switch(rating: str) -> dict[str, Any]:
    """Return a switch of two poles behind the shore's breaker of 16 A."""
    return {
        "battery_switches.ac_switch": {
            "name": "Shore switch", "kind": "isolator", "voltage": "230 V", "rating": rating, "poles": 2,
            "location": "locker",
        },
        "feeders.inlet.to": "ac_switch/in",
        "feeders.ac_on": {"name": "Switch to panel", "from": "ac_switch/out", "to": "ac", "poles": ["L", "N", "PE"]},
    }  # fmt: skip


WRONG: dict[str, tuple[dict[str, Any], str, str]] = {
    "a main switch of less than the fuse before it": (
        {"battery_switches.main.rating": "99 A"}, "fuse 122",
        "Main switch: what stands before it lets 100 A flow in state 'normal', it is rated for 99 A",
    ),
    "a shore switch of less than the breaker before it": (
        shore_switch("15 A"), "fuse 122", "Shore switch: what stands before it lets 16 A flow",
    ),
    "ways that can't break what two banks and the charger drive": (
        WEAK_WAYS, "fuse 8", "way 1 of DC panel, way 2 of DC panel: the breaker breaks 1000 A",
    ),
    "a bank of which nothing is known": (
        {"supplies.bank.resistance": None, "supplies.bank.cold_cranking": None},
        "fuse 10", "Bank: its fault current is not known, so what a device must break is open at",
    ),
    "a lithium bank without a figure": (
        {"supplies.bank.chemistry": "lithium", "supplies.bank.resistance": None},
        "fuse 10", "so the 20 kA class stands for it",
    ),
    "an AC breaker below the declared fault current": (
        {"supplies.shore.fault_current": "10 kA", "feeders.inlet.length": "0.2 m"},
        "fuse 8", "the miniature breaker breaks 6000 A, 10000 A are asked",
    ),
    "an AC breaker of unknown breaking capacity": (
        {"breaker_panels.ac.ways.2.breaking_capacity": None},
        "fuse 9", "way 2 of AC panel: what the breaker can break is not known; 3000 A are asked",
    ),
    "a shore supply of unknown fault current": (
        {"supplies.shore.fault_current": None}, "fuse 37", "Shore: its fault current is not known",
    ),
    "facts of a battery that can't both be right": (
        {"supplies.bank.resistance": "0.5 mohm"}, "fuse 100", "Bank: its facts don't agree on its fault current",
    ),
    "a way's breaker for less than the bank's voltage": (
        {"breaker_panels.dc.ways.1.voltage": "10 V"}, "fuse 16", "way 1 of DC panel: a device for 10 V on 12 V DC",
    ),
    "a main device that nobody looked at": (
        {"breaker_panels.dc.main": {"kind": "breaker", "rating": "40 A", "breaking_capacity": "500 A"}},
        "fuse 8", "main device of DC panel: the breaker breaks 500 A",
    ),
    "a bilge pump whose inrush opens its breaker": (
        {"circuits.pump": pump(inrush="45 A")},
        "fuse 102", "Bilge pump: its inrush of 45 A opens way 3 of DC panel, 5 A, which opens at once from 40 A",
    ),
    "a bilge pump that does not start": (
        {"circuits.pump": pump(start_voltage="10.9 V")}, "wire 27", "V reach the motor, it starts from 10.9 V",
    ),
    "a pump whose start resets the radio": (
        {"circuits.pump": pump(inrush="39 A"), "breaker_panels.dc.ways.3.trips_at": 20,
         "circuits.radio.load.lowest_voltage": "10.5 V"},
        "fuse 103", "at Radio (bears 10.5 V)",
    ),
    "a fuse in a battery's gas": (
        {**BOX, **{key: value for key, value in SEALED.items() if key != "feeders.lead.protection.ignition_protected"}},
        "wire 30", "device of Bank lead: a link fuse in Battery box (battery gas), and not said to be",
    ),
    "a radio that is taken away, and its circuit is not": (
        {"devices.radio.aboard": "remove"}, "wire 80", "Radio: it ends on Radio, which is taken away",
    ),
    "a radio that says way 2 and is wired to way 1": (
        {"circuits.radio.legs": {"a": {"from": "dc/1", "to": "radio/+"},
                                 "b": {"from": "radio/-", "to": "dc/-", "pole": "-"}}},
        "wire 81", "Radio: from: says way 2 of DC panel, its legs are on way 1",
    ),
    "a radio whose legs lead to the lamp": (
        {"circuits.radio.legs": {"a": {"from": "dc/2", "to": "lamp/+"},
                                 "b": {"from": "lamp/-", "to": "dc/-", "pole": "-"}}},
        "wire 81", "Radio: to: says Radio, and none of its legs is on that",
    ),
    "a lead of half a millimetre": (
        {"feeders.lead.length": "0.5 mm"}, "wire 82", "Bank lead: it is 0.5 mm long, and its device stands 100 mm",
    ),
    "petrol in the engine space": (
        {"boat.fuel": "petrol", "locations.engine": {"name": "Engine space", "zone": "hot space"}},
        "wire 30", "Starter: it stands in Engine space (petrol) and is not said to be ignition-protected",
    ),
    "petrol and no blower": (
        {"boat.fuel": "petrol", "locations.engine": {"name": "Engine space", "zone": "hot space"}},
        "fuse 109", "Engine space: a petrol engine's space, and no circuit is for a bilge blower",
    ),
    "nine lugs on one battery post": (
        wires(6), "fuse 105", "Bank, -: 9 conductors end on it",
    ),
    "sixteen returns on one M8 stud": (
        {"bus_bars.minus.studs": ["M8"], **wires(9)}, "wire 40", "for one stud with at most 4 lugs on each",
    ),
    "a bar without studs": (
        {"bus_bars.minus.studs": None, **wires(1)}, "fuse 107", "conductors end on it (Bank return",
    ),
    "a thick lead on a small terminal": (
        {"devices.radio.terminals.+.largest": "4 mm2", "circuits.radio.size": "10 mm2"},
        "fuse 106", "Radio, +: it takes up to 4 mm²",
    ),
    "a drop that the owner allows": (
        {"circuits.radio.drop_limit": "8 %"},
        "fuse 110", "Radio: a drop of 8 % by the owner's word; 3 % would hold.",
    ),
    "cool copper": (
        {"wiring.working_temperature": "30 °C"}, "fuse 110", "Drops at 30 °C by the owner's word",
    ),
    "34 conductors that lie apart": (
        {**SPACED, **MANY}, "fuse 111", "cables with their own width between them take",
    ),
    "shore earth straight to the hull": (
        {"supplies.shore.isolation": "none"}, "fuse 110", "Shore: nothing between the shore's earth and the hull",
    ),
    "a critical circuit that is none": (
        {"circuits.radio.critical": False}, "fuse 110", "Radio: not critical by the owner's word",
    ),
    "half the loads at once": (
        {"breaker_panels.dc.diversity": "50 %"}, "fuse 110", "DC panel: 50 % of its loads at once by the owner's word",
    ),
}  # fmt: skip

LEGAL: dict[str, tuple[dict[str, Any], tuple[str, ...]]] = {
    "legs that begin and end where their circuit says": (
        {"circuits.radio.legs": {"a": {"from": "dc/2", "to": "radio/+"},
                                 "b": {"from": "radio/-", "to": "dc/-", "pole": "-"}}},
        ("wire 81",),
    ),
    "a lead as long as its device stands away": ({"feeders.lead.length": "100 mm"}, ("wire 82",)),
    "a radio that is taken away with its circuit": (
        {"devices.radio.aboard": "remove", "circuits.radio.aboard": "remove"}, ("wire 80",),
    ),
    "a main switch of the fuse before it": ({"battery_switches.main.rating": "100 A"}, ("fuse 122",)),
    "a shore switch of the breaker before it": (shore_switch("16 A"), ("fuse 122",)),
    "nothing changed": ({}, ("fuse 8", "fuse 9", "fuse 10", "fuse 100", "fuse 110", "wire 30", "wire 40", "fuse 105")),
    "ways that break it": ({f"breaker_panels.dc.ways.{n}.breaking_capacity": "3 kA" for n in (1, 2)}, ("fuse 8",)),
    "one fact of the bank": ({"supplies.bank.cold_cranking": None}, ("fuse 10",)),
    "lithium with a figure": (
        {"supplies.bank.chemistry": "lithium", "supplies.bank.fault_current": "2.5 kA"}, ("fuse 8", "fuse 10"),
    ),
    "an AC breaker at the declared fault current": (
        {"supplies.shore.fault_current": "6 kA", "breaker_panels.ac.ways.1.breaking_capacity": "6 kA",
         "breaker_panels.ac.ways.2.breaking_capacity": "6 kA"},
        ("fuse 8", "fuse 9"),
    ),
    "a pump that its breaker bears": ({"circuits.pump": pump(inrush="35 A")}, ("fuse 102", "fuse 103", "wire 28")),
    "a pump that starts": ({"circuits.pump": pump(start_voltage="9 V")}, ("wire 27",)),
    "a radio that bears it": (
        {"circuits.pump": pump(inrush="35 A"), "circuits.radio.load.lowest_voltage": "10.0 V"}, ("fuse 103",),
    ),
    "sealed fuses in the box": ({**BOX, **SEALED}, ("wire 30", "fuse 108")),
    "fuses outside the box": (
        {**BOX, **{key.replace("ignition_protected", "location"): "locker" for key in SEALED}}, ("wire 30",),
    ),
    "diesel in the engine space": (
        {"locations.engine": {"name": "Engine space", "zone": "hot space"}}, ("wire 30", "fuse 109"),
    ),
    "four lugs on the post": ({}, ("fuse 105",)),
    "sixteen returns on four studs": ({"bus_bars.minus.studs": ["M8"] * 4, **wires(9, start="dc/-")}, ("wire 40",)),
    "a terminal for the lead": (
        {"devices.radio.terminals.+.largest": "10 mm2", "circuits.radio.size": "10 mm2"}, ("fuse 106",),
    ),
    "a way's breaker for the bank's voltage": ({"breaker_panels.dc.ways.1.voltage": "12 V"}, ("fuse 16",)),
    "a stricter drop": ({"circuits.lamp.drop_limit": "2 %"}, ("fuse 110",)),
    "warm copper": ({"wiring.working_temperature": "60 °C"}, ("fuse 110",)),
    "a few cables that lie apart": ({**SPACED, "circuits.lamp.wireways": ["tray"]}, ("fuse 111",)),
    "an isolator": ({"supplies.shore.isolation": "isolating transformer"}, ("fuse 110",)),
}  # fmt: skip

REFUSED: dict[str, tuple[dict[str, Any], str]] = {
    "a drop of everything": ({"circuits.lamp.drop_limit": "100 %"}, "drop_limit"),
    "a bus that may lose 5 V": (
        {"networks.bus": {"name": "Bus", "supply": "bank", "allowed_drop": "5 V"}}, "allowed_drop",
    ),
    "copper at 40 below": ({"wiring.working_temperature": "-40 °C"}, "working_temperature"),
    "a lead of nothing": ({"feeders.lead.length": "0 m"}, "length"),
    "a load of nothing": ({"circuits.lamp.load.current": "0 A"}, "current"),
    "a device on the bus that draws nothing": (
        {"networks.bus": {"name": "Bus", "supply": "bank", "nodes": {"radio": {"load_units": 0}}}}, "load_units",
    ),
    "an antenna lead that loses nothing": (
        {"antennas.a": {"radio": "radio", "antenna": "lamp", "cable": "RG-213", "frequency": "156.8 MHz",
                        "attenuation": 0}},
        "attenuation",
    ),
    "apart in a pipe": (
        {"wireways.pipe": {"from": "locker", "to": "cabin", "kind": "conduit", "length": "3 m", "bore": 40,
                           "bundled": False}},
        "count as a bundle",
    ),
    "shore earth on a metal hull": (
        {"boat.hull": "metal", "supplies.shore.isolation": "none"}, "stray current eats the hull",
    ),
    "a cable thinner than its copper": (
        {"cables.thin": {"cores": 1, "sizes": {"16 mm2": 0.5}, "insulation": "90 °C"}}, "its copper alone takes",
    ),
}  # fmt: skip


def findings(folder: Path, changes: Mapping[str, Any]) -> tuple[Finding, ...]:
    """Return everything that reading and wiring find on the boat with its facts and some changes."""
    facts = {key: value for key, value in FACTS.items() if key not in changes or changes[key] is not None}
    tree = changed(copy.deepcopy({**facts, **{k: v for k, v in changes.items() if v is not None or k not in FACTS}}))
    path = folder / "boat.yaml"
    path.write_text(yaml.safe_dump(tree, sort_keys=False), encoding="utf-8")
    reading = layout.read(path)
    wired = wire(reading.project, None).findings if reading.project is not None else ()
    return (*reading.findings, *wired)


@pytest.mark.parametrize("name", WRONG)
def test_a_wrong_boat_is_told(name: str, tmp_path: Path) -> None:
    """The finding comes out with its words, and says what to do."""
    changes, rule, words = WRONG[name]
    told = [f for f in findings(tmp_path, changes) if f.rule == rule]
    assert any(words in f.message for f in told), [f.message for f in told]
    assert all(f.remedy for f in told)


@pytest.mark.parametrize("name", LEGAL)
def test_a_just_legal_boat_is_not_told(name: str, tmp_path: Path) -> None:
    """What is allowed gives none of the findings beside which it stands."""
    changes, rules = LEGAL[name]
    told = [(f.rule, f.message) for f in findings(tmp_path, changes) if f.rule in rules]
    assert told == []


@pytest.mark.parametrize("name", REFUSED)
def test_what_can_not_be_is_refused(name: str, tmp_path: Path) -> None:
    """A value past every sane bound is a stop at its place in the file, with the value to write instead."""
    changes, words = REFUSED[name]
    told = [f for f in findings(tmp_path, changes) if f.weight.value == "stop"]
    assert any(words in f"{f.message} {f.remedy} {f.at.key}" and f.at.line for f in told), [str(f) for f in told]
