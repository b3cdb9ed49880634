"""One made-up boat for every finding on wiring and protection: what is wrong with it is what its row says."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.project.model.circuits import CableKind, Leg, Load
from layout.project.model.device import Device, Terminal
from layout.project.model.found import FoundWire
from layout.project.model.keys import End
from layout.project.model.panel import CableExit, Panel
from layout.project.model.project import Boat
from layout.project.model.shape import Shape
from layout.project.model.supplies import BatterySwitch, BreakerPanel, BusBar, Feeder, Protection, Supply
from layout.project.model.wireways import Wireway
from layout.project.model.workshop import WiringRules
from layout.quantity import WireSize
from tests.wiring.builders import FUSE, SIZES, boat, lamp, way

if TYPE_CHECKING:
    from collections.abc import Callable

    from layout.project.model.project import Project

SINGLE = CableKind(sizes=SIZES, insulation=90.0, carries=("dc",))
GAUGES = {"14 AWG": 3.2, "10 AWG": 4.6, "6 AWG": 7.7, "2 AWG": 11.7, "2/0 AWG": 16.3}
MOTOR = Load(current=4.0, motor=True, inrush=12.0, locked_rotor=20.0, start_voltage=8.0, largest_protection=10.0)


def plain(**more: object) -> Project:
    """Return a boat with one lamp and nothing wrong but what ``more`` brings."""
    return boat({"c1": lamp(1, **more)})


def part(project: Project, section: str, key: str, **more: object) -> Project:
    """Return a project with one entry changed."""
    entries = getattr(project, section)
    return replace(project, **{section: {**entries, key: replace(entries[key], **more)}})


def add(project: Project, **sections: dict[str, object]) -> Project:
    """Return a project with entries added."""
    return replace(project, **{name: {**getattr(project, name), **more} for name, more in sections.items()})


def as_read(project: Project) -> Project:
    """Return a project with its ends as the reader makes them."""
    feeders = {
        key: replace(one, from_=End.read(one.from_), to=End.read(one.to)) for key, one in project.feeders.items()
    }
    circuits = {
        key: replace(one, from_=End.read(one.from_), to=End.read(one.to)) for key, one in project.circuits.items()
    }
    return replace(project, feeders=feeders, circuits=circuits)


def device(**more: object) -> Project:
    """Return a boat whose lamp has some of its facts changed."""
    return part(plain(), "devices", "lamp1@0", **more)


def many(count: int, **more: object) -> Project:
    """Return a boat with some lamps of 8 A in one conduit."""
    return boat({f"c{n}": lamp(n, amps=8.0) for n in range(1, count + 1)}, **more)


def plugs() -> Project:
    """Return a boat whose cables carry plugs that can't be taken off."""
    kind = replace(SINGLE, plug=30.0, plug_removable=False)
    return many(2, cables={"single": kind}, wireway={"bore": 32.0, "bends": 90.0})


def on_panel(**more: object) -> Project:
    """Return a boat whose lamp hangs on a panel."""
    panel = Panel(
        **{
            "outline": Shape(rect=(400.0, 300.0)),
            "thickness": 9.0,
            "material": "plywood",
            "cable_exit": CableExit(at=(200.0, 0.0), location="p0"),
            **more,
        }
    )
    face = Shape(rect=(60.0, 60.0))
    mounted = Device(id="lamp1@0", panel=("wall",), face=face, mount="surface")
    return add(plain(), panels={"wall": panel}, devices={"lamp1@0": mounted})


def ac(**shore: object) -> Project:
    """Return a boat with shore supply, AC panel and a heater, right but for what is said."""
    base = {
        "id": "shore",
        "kind": "shore",
        "voltage": 230.0,
        "location": "locker",
        "polarized": True,
        "neutral_bond": True,
        "isolation": "galvanic isolator",
        "fault_current": 1500.0,
    }
    main = Protection(
        kind="miniature breaker",
        rating=16.0,
        poles=2,
        residual=0.03,
        from_source=100.0,
        breaking_capacity=6000.0,
        trips_at=10.0,
    )
    cable = CableKind(cores=3, sizes={"2.5 mm2": 10.0}, insulation=90.0, sheathed=True, carries=("ac",))
    heater = replace(lamp(2), id="heat", from_="ac/1", to="heater@0", purpose="heater", load=Load(current=5.0))
    return add(
        plain(),
        supplies={"shore": Supply(**{**base, **shore})},
        cables={"ac3": cable},
        feeders={"sf": Feeder(id="sf", from_="shore", to="ac", poles=("L", "N", "PE"), length=1000.0, protection=main)},
        breaker_panels={
            "ac": BreakerPanel(
                id="ac",
                voltage=230.0,
                ac=True,
                location="locker",
                ways={"1": replace(way(10.0), kind="miniature breaker", poles=2)},
            )
        },
        devices={"heater@0": Device(id="heater@0", location="p0")},
        circuits={"heat": heater},
        wireways={
            "wa": Wireway(id="wa", from_="locker", to="p0", kind="conduit", length=3000.0, bore=40.0, carries=("ac",))
        },
    )


def two_ac(**switch: object) -> Project:
    """Return the AC boat with a generator and, if asked, a changeover switch."""
    generator = Supply(
        id="gen",
        kind="generator",
        voltage=230.0,
        location="locker",
        neutral_bond=True,
        polarized=True,
        fault_current=400.0,
    )
    project = add(ac(), supplies={"gen": generator})
    if not switch:
        return add(project, feeders={"gf": replace(project.feeders["sf"], id="gf", from_="gen")})
    changeover = BatterySwitch(
        **{
            "id": "co",
            "kind": "changeover",
            "voltage": 230.0,
            "rating": 25.0,
            "poles": 2,
            "location": "locker",
            **switch,
        }
    )
    feeders = {
        "sf": replace(project.feeders["sf"], to="co/in1"),
        "gf": replace(project.feeders["sf"], id="gf", from_="gen", to="co/in2"),
        "of": Feeder(id="of", from_="co/out", to="ac", poles=("L", "N", "PE"), length=500.0),
    }
    return add(project, battery_switches={"co": changeover}, feeders=feeders)


def two_lamps() -> Project:
    """Return a boat with two lamps on one panel."""
    return boat({"c1": lamp(1), "c2": lamp(2)})


def charger(**more: object) -> Project:
    """Return a boat with an alternator on the switch's outlet."""
    fuse = more.pop("fuse", FUSE)
    facts = {
        "id": "alt",
        "kind": "alternator",
        "voltage": 12.0,
        "current": 50.0,
        "self_limiting": True,
        "location": "locker",
    }
    return add(
        plain(),
        supplies={"alt": Supply(**{**facts, **more})},
        feeders={
            "af": Feeder(id="af", from_="alt/+", to="main/out", length=1000.0, protection_to=fuse),
            "ar": Feeder(id="ar", from_="alt/-", to="negbar", poles=("-",), length=1000.0),
        },
    )


def socket_pair() -> Project:
    """Return a boat with the same socket on 12 V and on 24 V."""
    project = plain(purpose="socket")
    other = BreakerPanel(id="d24", voltage=24.0, location="locker", ways={"1": way(10.0)})
    second = replace(lamp(2, purpose="socket"), from_="d24/1")
    project = add(project, breaker_panels={"d24": other}, circuits={"c2": second})
    return add(
        project, devices={name: Device(id=name, type="socket", location="p0") for name in ("lamp1@0", "lamp2@0")}
    )


def aged(**more: object) -> Project:
    """Return a boat whose lamp's conductor stays aboard."""
    return plain(aboard="keep", **more)


def mixed() -> Project:
    """Return a boat with AC and DC in one conduit."""
    project = ac()
    return replace(project, wireways={"w0": replace(project.wireways["w0"], carries=("ac", "dc"), bore=60.0)})


BAR = BusBar(
    id="posbar", pole="+", voltage=12.0, rating=200.0, studs=("M8",) * 4, covered=True, marked=True, location="locker"
)
LEGS_BACK = {"feed": Leg(from_="dc/1", to="lamp1@0/+"), "back": Leg(from_="lamp1@0/-", to="p0", pole="-")}
SMALL = replace(FUSE, kind="link fuse", rating=25.0)

FAULTY: dict[str, Callable[[], Project]] = {
    "wire 1": lambda: plain(amps=None),
    "wire 2": lambda: replace(plain(), devices={"lamp1@0": Device(id="lamp1@0", location="locker")}),
    "wire 3": lambda: replace(plain(), wireways={}),
    "wire 4": lambda: add(
        plain(wireways=("w0", "w9")),
        wireways={"w9": Wireway(id="w9", from_="p0", to="locker", kind="tray", length=900.0)},
    ),
    "wire 5": lambda: plain(amps=9.0, size=WireSize(area_mm2=0.75)),
    "wire 6": lambda: boat({"c1": lamp(1, amps=9.0)}, cables={"thin": replace(SINGLE, sizes={"1 mm2": 2.6})}),
    "wire 7": lambda: boat({"c1": lamp(1, amps=9.0, purpose="radio")}, lengths_mm=(900_000.0,)),
    "wire 8": lambda: boat({f"c{n}": lamp(n, amps=9.0) for n in range(1, 5)}, lengths_mm=(500.0,)),
    "wire 9": lambda: part(plain(), "feeders", "feed", from_="bank/-"),
    "wire 10": lambda: plain(legs={"feed": Leg(from_="dc/1", to="lamp1@0/+")}),
    "wire 11": lambda: part(plain(), "feeders", "feed", current=1.0),
    "wire 12": lambda: plain(amps=None),
    "wire 13": lambda: add(plain(), feeders={"feed2": replace(plain().feeders["feed"], id="feed2")}),
    "wire 14": lambda: many(6, wireway={"bore": 12.0}),
    "wire 15": lambda: add(
        boat({"c1": lamp(1)}, wireway={"bore": 7.8}),
        circuits={
            "c2": lamp(
                1,
                legs={
                    "feed": Leg(from_="dc/1", to="lamp1@0/+"),
                    "back": Leg(from_="lamp1@0/-", to="dc/-", pole="-", aboard="remove"),
                },
            )
        },
    ),
    "wire 16": lambda: boat({"c1": lamp(1)}, wireway={"bore": None}),
    "wire 17": plugs,
    "wire 18": lambda: boat(
        {"c1": lamp(1)},
        cables={"single": replace(SINGLE, bend_radius=20.0)},
        wireway={"bends": 90.0, "bend_radius": 30.0},
    ),
    "wire 19": lambda: boat({"c1": lamp(1)}, wireway={"bends": 400.0}),
    "wire 20": mixed,
    "wire 21": lambda: add(
        replace(plain(), circuits={"c1": replace(lamp(1), from_="odd", protection=FUSE)}),
        bus_bars={"odd": replace(BAR, id="odd", voltage=None)},
    ),
    "wire 22": aged,
    "wire 23": plain,
    "wire 24": lambda: add(plain(), circuits={"c2": replace(lamp(1), id="c2")}),
    "wire 25": lambda: boat({"c1": replace(lamp(1, amps=9.0), from_="dc")}, ways={"1": way(5.0)}),
    "wire 26": lambda: part(plain(), "breaker_panels", "dc", free_ways=2),
    "wire 27": lambda: plain(load=replace(MOTOR, start_voltage=10.7)),
    "wire 28": lambda: plain(load=replace(MOTOR, inrush=None)),
    "wire 29": lambda: part(plain(), "locations", "p0", zone="exterior"),
    "wire 30": lambda: part(plain(), "locations", "p0", gas="petrol"),
    "wire 31": lambda: part(plain(), "locations", "p0", gas="battery gas"),
    "wire 32": lambda: boat(
        {"c1": lamp(1)}, cables={"poor": replace(SINGLE, insulation=60.0)}, wireway={"zone": "hot space"}
    ),
    "wire 33": lambda: boat({"c1": lamp(1)}, wireway={"temperature": 70.0}),
    "wire 34": lambda: plain(purpose="gas alarm"),
    "wire 35": lambda: plain(colour="green-yellow"),
    "wire 36": lambda: add(
        ac(),
        cables={"single": replace(SINGLE, colours=("red", "black"))},
        circuits={"c1": lamp(1, aboard="keep", size=WireSize(area_mm2=2.5))},
    ),
    "wire 37": lambda: device(classes=("magnet",)),
    "wire 38": lambda: boat(
        {
            "c1": lamp(
                1,
                cable="two",
                legs={
                    "feed": Leg(from_="dc/1", to="lamp1@0/+"),
                    "more": Leg(from_="dc/1", to="lamp1@0/b"),
                    "back": Leg(from_="lamp1@0/-", to="dc/-", pole="-"),
                },
            )
        },
        cables={"two": CableKind(cores=2, sizes={"2.5 mm2": 8.0}, insulation=90.0)},
    ),
    "wire 39": lambda: boat({"c1": lamp(1, cable="data")}, cables={"data": replace(SINGLE, carries=("data",))}),
    "wire 40": lambda: add(
        plain(),
        bus_bars={"negbar": BusBar(id="negbar", pole="-", rating=200.0, studs=("M8",), location="locker")},
        feeders={
            f"x{n}": Feeder(id=f"x{n}", from_="negbar", to="dc/-", poles=("-",), length=900.0 + n) for n in range(4)
        },
    ),
    "wire 41": lambda: device(terminals={"+": Terminal(pole="+", takes="ring", stud="M30")}),
    "wire 42": lambda: add(plain(), bus_bars={"posbar": replace(BAR, covered=None)}),
    "wire 43": lambda: plain(purpose="disco ball"),
    "wire 44": lambda: boat({"c1": lamp(1)}, cables={}),
    "wire 45": lambda: part(plain(), "breaker_panels", "dc", rating=2.0),
    "wire 46": socket_pair,
    "wire 47": lambda: replace(plain(), boat=Boat(hull="metal")),
    "wire 48": lambda: charger(current=None),
    "wire 49": lambda: add(
        plain(),
        supplies={
            "conv": Supply(
                id="conv",
                kind="converter",
                voltage=5.0,
                current=3.0,
                efficiency=0.9,
                fed_from="dc/1",
                location="locker",
            )
        },
    ),
    "wire 50": lambda: boat({"c1": lamp(1)}, rules=WiringRules(working_temperature=95.0)),
    "wire 51": lambda: boat({"c1": lamp(1)}, rules=WiringRules(number_pattern="{circuit}")),
    "wire 52": lambda: add(plain(), breaker_panels={"dc": replace(plain().breaker_panels["dc"], voltage=24.0)}),
    "wire 53": lambda: add(
        ac(),
        circuits={
            "c1": lamp(1, purpose="socket"),
            "heat": replace(ac().circuits["heat"], purpose="socket"),
        },
    ),
    "wire 54": lambda: plain(length=1200.0),
    "wire 55": lambda: replace(plain(old_label="7"), as_found=(FoundWire(label="8"),)),
    "wire 56": lambda: replace(plain(old_label="7"), as_found=(FoundWire(label="8", from_="battery", to="bow"),)),
    "wire 58": lambda: boat({"c1": lamp(1)}, cables={"single": replace(SINGLE, sizes=GAUGES)}),
    "wire 60": lambda: boat({"c1": lamp(1, amps=8.0, purpose="disco ball")}, lengths_mm=(9000.0,)),
    "fuse 1": lambda: part(plain(), "feeders", "lead", protection=None),
    "fuse 2": lambda: boat({"c1": lamp(1, size=WireSize(area_mm2=0.75))}, ways={"1": way(15.0)}),
    "fuse 3": lambda: plain(amps=12.0),
    "fuse 4": lambda: boat({f"c{n}": lamp(n, amps=9.0) for n in range(1, 13)}),
    "fuse 5": lambda: plain(load=Load(current=9.0, continuous=True)),
    "fuse 6": lambda: part(plain(), "feeders", "lead", protection=replace(FUSE, from_source=900.0)),
    "fuse 7": lambda: part(plain(), "feeders", "lead", protection=replace(FUSE, from_source=None)),
    "fuse 8": lambda: part(plain(), "feeders", "lead", protection=replace(FUSE, breaking_capacity=500.0)),
    "fuse 9": lambda: part(plain(), "feeders", "lead", protection=replace(FUSE, breaking_capacity=None)),
    "fuse 10": lambda: part(plain(), "supplies", "bank", resistance=None, cold_cranking=None),
    "fuse 11": lambda: boat({"c1": lamp(1)}, lengths_mm=(12_000.0,), ways={"1": replace(way(10.0), trips_at=20.0)}),
    "fuse 12": lambda: part(plain(), "feeders", "lead", protection=replace(FUSE, trips_at=None)),
    "fuse 13": lambda: part(two_lamps(), "feeders", "lead", protection=replace(FUSE, rating=10.0)),
    "fuse 14": lambda: part(two_lamps(), "feeders", "lead", protection=replace(FUSE, rating=15.0)),
    "fuse 15": lambda: charger(self_limiting=None),
    "fuse 16": lambda: part(plain(), "feeders", "lead", protection=replace(FUSE, voltage=10.0)),
    "fuse 17": lambda: plain(load=replace(MOTOR, largest_protection=5.0)),
    "fuse 18": lambda: plain(load=replace(MOTOR, largest_protection=None)),
    "fuse 19": lambda: part(plain(), "feeders", "lead", protection=replace(FUSE, rating=97.0)),
    "fuse 20": lambda: part(plain(), "feeders", "lead", cranking=True),
    "fuse 21": lambda: boat({"c1": lamp(1, amps=300.0)}, ways={"1": replace(way(10.0), rating=None)}),
    "fuse 22": lambda: plain(load=replace(MOTOR, locked_rotor=9.0)),
    "fuse 23": lambda: boat({"c1": lamp(1, size=WireSize(area_mm2=1.0))}, lengths_mm=(30_000.0,)),
    "fuse 30": lambda: two_ac(break_before_make=None),
    "fuse 31": lambda: ac(neutral_bond=False),
    "fuse 32": lambda: part(ac(), "feeders", "sf", protection=replace(ac().feeders["sf"].protection, residual=None)),
    "fuse 33": lambda: ac(isolation=None),
    "fuse 34": lambda: part(
        ac(polarized=False), "breaker_panels", "ac", ways={"1": replace(way(10.0), kind="miniature breaker")}
    ),
    "fuse 35": lambda: ac(polarized=None),
    "fuse 36": lambda: add(
        ac(),
        circuits={
            "heat": replace(
                ac().circuits["heat"],
                legs={
                    "l": Leg(from_="ac/1", to="heater@0/L", pole="L"),
                    "n": Leg(from_="heater@0/N", to="ac/N", pole="N"),
                },
            )
        },
    ),
    "fuse 37": lambda: ac(fault_current=None),
    "fuse 38": lambda: part(plain(), "supplies", "bank", cold_cranking=None),
}
"""Boat by code."""
