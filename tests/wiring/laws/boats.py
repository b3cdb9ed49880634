"""One made-up boat that keeps every law, and ways to change it: each case names only what differs."""

from __future__ import annotations

import copy
from typing import TYPE_CHECKING, Any

import yaml

import layout
from tests.wiring.stages import stages_of, system_of

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from layout.wiring.system.graph import System
    from tests.wiring.stages import Stages

BOAT = """
spile: 2
project: {name: made up, example: true}
boat: {hull: grp, fuel: diesel}
locations: {locker: {}, engine: {}, cabin: {}}
supplies:
  bank:
    {name: Bank, kind: battery, voltage: 12 V, lowest_voltage: 11 V, highest_voltage: 14.4 V, location: locker,
     chemistry: lead, capacity: 200 Ah}
  start: {name: Start battery, kind: battery, voltage: 12 V, location: locker, chemistry: lead, capacity: 80 Ah}
  alternator: {name: Alternator, kind: alternator, voltage: 12 V, location: engine, current: 60 A, self_limiting: true}
  charger:
    {name: Charger, kind: charger, voltage: 12 V, location: locker, current: 20 A, self_limiting: true,
     efficiency: 90 %, fed_from: ac/1}
  shore:
    {name: Shore, kind: shore, voltage: 230 V, location: locker, current: 16 A, polarized: false, neutral_bond: true}
battery_switches:
  main: {name: Main switch, kind: isolator, voltage: 12 V, rating: 200 A, location: locker}
  start_main: {name: Start switch, kind: isolator, voltage: 12 V, rating: 200 A, location: locker}
  parallel:
    {name: Parallel switch, kind: parallel, voltage: 12 V, rating: 200 A, location: locker,
     positions: {"off": [], "on": [[in, out]]}}
switch_states:
  normal: {main: "on", start_main: "on", parallel: "off"}
  emergency: {main: "on", start_main: "on", parallel: "on"}
bus_bars:
  plus: {name: Plus bar, pole: "+", voltage: 12 V, rating: 200 A, location: locker}
  minus: {name: Minus bar, pole: "-", voltage: 12 V, rating: 200 A, location: locker}
feeders:
  lead:
    {name: Bank lead, from: bank/+, to: main/in,
     protection: {kind: link fuse, rating: 100 A, from_source: 100 mm}}
  to_bar: {name: Switch to bar, from: main/out, to: plus}
  home: {name: Bank return, from: minus, to: bank/-, poles: "-"}
  start_lead: {name: Start lead, from: start/+, to: start_main/in, cranking: true}
  starter: {name: Starter lead, from: start_main/out, to: starter/+, cranking: true}
  starter_home: {name: Starter return, from: starter/-, to: start/-, poles: "-", cranking: true}
  link: {name: Negative link, from: start/-, to: bank/-, poles: "-"}
  par_a: {name: Parallel lead house, from: main/out, to: parallel/in}
  par_b:
    {name: Parallel lead start, from: parallel/out, to: start_main/out,
     protection_to: {kind: link fuse, rating: 100 A, from_source: 100 mm}}
  alt:
    {name: Alternator lead, from: alternator/+, to: bank/+,
     protection_to: {kind: link fuse, rating: 80 A, from_source: 100 mm}}
  alt_home: {name: Alternator return, from: alternator/-, to: minus, poles: "-"}
  charge:
    {name: Charger lead, from: charger/+, to: bank/+,
     protection_to: {kind: link fuse, rating: 30 A, from_source: 100 mm}}
  charge_home: {name: Charger return, from: charger/-, to: minus, poles: "-"}
  feed:
    {name: Panel feed, from: plus, to: dc/in, protection: {kind: link fuse, rating: 50 A, from_source: 100 mm}}
  feed_home: {name: Panel return, from: dc/-, to: minus, poles: "-"}
  inlet:
    {name: Shore inlet, from: shore, to: ac, poles: [L, N, PE],
     protection: {kind: miniature breaker, rating: 16 A, poles: 2, residual: 30 mA}}
breaker_panels:
  dc:
    {name: DC panel, voltage: 12 V, location: locker,
     ways: {1: {rating: 10 A}, 2: {rating: 10 A}, 3: {rating: 5 A}, 4: {rating: 5 A}}}
  ac:
    {name: AC panel, voltage: 230 V, ac: true, location: locker,
     ways: {1: {rating: 10 A, poles: 2}, 2: {rating: 10 A, poles: 2}}}
devices:
  starter:
    {name: Starter, location: engine, starting: {current: 200 A, start_voltage: 7 V},
     terminals: {"+": {pole: "+"}, "-": {pole: "-"}}}
  lamp: {name: Lamp, location: cabin, terminals: {"+": {pole: "+"}, "-": {pole: "-"}}}
  lamp2: {name: Second lamp, location: cabin, terminals: {"+": {pole: "+"}, "-": {pole: "-"}}}
  radio: {name: Radio, location: cabin, terminals: {"+": {pole: "+"}, "-": {pole: "-"}}}
  alarm: {name: Gas alarm, location: cabin, terminals: {"+": {pole: "+"}, "-": {pole: "-"}}}
  socket: {name: Socket, location: cabin, terminals: {L: {pole: L}, N: {pole: N}, PE: {pole: PE}}}
circuits:
  lamp: {name: Cabin lights, from: dc/1, to: lamp, purpose: cabin lights, load: {current: 4 A}}
  radio: {name: Radio, from: dc/2, to: radio, purpose: radio, load: {current: 5 A}}
  alarm:
    name: Gas alarm
    from: bank
    to: alarm
    purpose: gas alarm
    always_live: true
    load: {current: 0.2 A}
    protection: {kind: blade fuse, rating: 3 A, from_source: 60 mm}
    legs: {out: {from: bank/+, to: alarm/+, always_live: true}, back: {from: alarm/-, to: bank/-, pole: "-"}}
  socket: {name: Socket, from: ac/2, to: socket, purpose: socket, load: {power: 1000 W}}
  charger_ac: {name: Charger, from: ac/1, to: charger, purpose: charger}
"""


def changed(changes: Mapping[str, Any], base: str = BOAT) -> dict[str, Any]:
    """Return the boat with entries put in by dotted key; None takes one out."""
    tree: dict[str, Any] = copy.deepcopy(yaml.safe_load(base))
    for key, value in changes.items():
        *above, last = (int(name) if name.isdigit() else name for name in key.split("."))
        here: Any = tree
        for name in above:
            here = here.setdefault(name, {})
        if value is None:
            del here[last]
        else:
            here[last] = copy.deepcopy(value)
    for section, length in (("feeders", "1 m"), ("circuits", "3 m")):
        for entry in tree.get(section, {}).values():
            entry.setdefault("length", length)  # so that every conductor has a size
    return tree


def bow() -> dict[str, Any]:
    """Return a bow battery with a charger of 20 A from the house bank, and a winch of 90 A on it."""
    fuse = {"kind": "link fuse", "rating": "30 A", "from_source": "100 mm"}
    return {
        "supplies.bowbat": {"name": "Bow battery", "kind": "battery", "voltage": "12 V", "location": "cabin",
                            "chemistry": "lead", "capacity": "100 Ah"},
        "supplies.bow": {"name": "Bow charger", "kind": "converter", "voltage": "12 V", "location": "cabin",
                         "current": "20 A", "self_limiting": True, "efficiency": "90 %", "fed_from": "plus"},
        "battery_switches.bow_main": {"kind": "isolator", "voltage": "12 V", "rating": "200 A", "location": "cabin"},
        "feeders.bow_in": {"name": "Bow feed", "from": "plus", "to": "bow/in", "protection": fuse},
        "feeders.bow_out": {"name": "Bow lead", "from": "bow/+", "to": "bowbat/+", "protection_to": fuse},
        "feeders.bow_home": {"name": "Bow return", "from": "bow/-", "to": "bowbat/-", "poles": "-"},
        "feeders.bow_link": {"name": "Bow link", "from": "bowbat/-", "to": "minus", "poles": "-"},
        "feeders.bow_main": {"from": "bowbat/+", "to": "bow_main/in", "protection": {**fuse, "rating": "150 A"}},
        "devices.winch": {"location": "cabin", "terminals": {"+": {"pole": "+"}, "-": {"pole": "-"}}},
        "circuits.winch": {
            "name": "Winch", "from": "bow_main/out", "to": "winch", "purpose": "motor", "load": {"current": "90 A"},
            "legs": {"a": {"from": "bow_main/out", "to": "winch/+"},
                     "b": {"from": "winch/-", "to": "bowbat/-", "pole": "-"}},
        },
    }  # fmt: skip


def case(folder: Path, changes: Mapping[str, Any]) -> Stages:
    """Return the boat with some changes, sized.

    Raises
    ------
    AssertionError
        If the changed file can't be read.
    """
    path = folder / "boat.yaml"
    path.write_text(yaml.safe_dump(changed(changes), sort_keys=False), encoding="utf-8")
    reading = layout.read(path)
    assert reading.project is not None, [str(finding) for finding in reading.findings]
    return stages_of(reading.project)


def system(folder: Path, changes: Mapping[str, Any]) -> System:
    """Return the graph of the boat with some changes."""
    return system_of(case(folder, changes))
