"""Law 10: number, size and lugs of what lands on each terminal; a just-legal twin beside each."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from layout.wiring.laws.terminals import terminals
from layout.wiring.system.graph import Conductor, System
from tests.wiring.laws.fault_systems import node, wire


def on_one(count: int, *, kind: str = "source", pole: str = "-", size: float | None = 2.5, **more: Any) -> System:
    """Return so many conductors on one terminal, each from a lamp of its own."""
    lamps = [f"lamp{n}/-" for n in range(count)]
    return System(
        nodes=(
            replace(node("bank/-", pole, kind, **more), section="supplies"),
            *(node(lamp, pole, "device") for lamp in lamps),
        ),
        conductors=tuple(wire(lamp, "bank/-", pole, size_mm2=size) for lamp in lamps),
    )


def told(system: System) -> list[tuple[str, float | None]]:
    """Return code and limit of each breach."""
    return [(breach.rule, breach.limit) for breach in terminals(system)]


@pytest.mark.parametrize(("count", "expected"), [(4, []), (5, [("fuse 105", 4)]), (9, [("fuse 105", 4)])])
def test_lugs_on_a_battery_post(count: int, expected: list) -> None:
    """Four lugs go on a post, a fifth does not, nine least of all."""
    assert told(on_one(count)) == expected
    assert told(on_one(count, stud="M8")) == expected


def test_the_finding_says_how_many_and_which() -> None:
    """Number, names and the remedy stand in the words."""
    breach = next(terminals(on_one(9)))
    assert breach.message.startswith("bank/-: 9 conductors end on it (lamp0/->bank/-")
    assert "5 more" in breach.message
    assert "at most 4 lugs go on one terminal" in breach.message
    assert "bus bar" in breach.remedy
    assert breach.entry == "supplies.bank"


@pytest.mark.parametrize(("studs", "expected"), [(4, []), (1, [("wire 40", 4)]), (3, [("wire 40", 12)])])
def test_sixteen_returns_on_a_bar(studs: int, expected: list) -> None:
    """Sixteen returns need four studs; on one M8 stud four have room."""
    assert told(on_one(16, kind="bar", studs=("M8",) * studs)) == expected


@pytest.mark.parametrize(("count", "expected"), [(4, []), (5, [("fuse 107", None)])])
def test_a_bar_without_studs_is_asked(count: int, expected: list) -> None:
    """A bar of which no stud is known is a question as soon as one stud would not do."""
    assert told(on_one(count, kind="bar")) == expected


@pytest.mark.parametrize(
    ("count", "facts", "expected"),
    [
        (3, {}, []),  # two ways and the feed
        (4, {}, [("fuse 107", 3)]),
        (4, {"positions": 4}, []),
        (5, {"positions": 4}, [("fuse 105", 4)]),
        (4, {"stud": "M8"}, []),
        (16, {"stud": "M8"}, [("fuse 105", 4)]),
    ],
)
def test_returns_of_a_panel(count: int, facts: dict, expected: list) -> None:
    """A panel's return bar has a position for each way and its feed, as many as it is said to have, or one stud."""
    system = on_one(count, kind="panel", **facts)
    ways = (node("bank/1", "+", "way"), node("bank/2", "+", "way"))
    assert told(replace(system, nodes=system.nodes + ways)) == expected


@pytest.mark.parametrize(("size", "expected"), [(16.0, []), (25.0, [("fuse 106", 16.0)]), (None, [])])
def test_the_largest_conductor_of_a_terminal(size: float | None, expected: list) -> None:
    """25 mm² on a terminal for 16 mm² is a stop."""
    assert told(on_one(1, largest_mm2=16.0, size=size)) == expected


@pytest.mark.parametrize(
    ("size", "terminal", "expected"),
    [
        (70.0, {"stud": "M8"}, []),
        (70.0, {"stud": "M5"}, [("wire 41", None)]),
        (150.0, {"studs": ("M8", "M10"), "kind": "bar"}, []),
        (150.0, {"studs": ("M8", "M8"), "kind": "bar"}, [("wire 41", None)]),
        (6.0, {"takes": "ferrule"}, []),
        (70.0, {"takes": "ferrule"}, [("wire 41", None)]),
        (70.0, {"takes": "plug"}, []),
    ],
)
def test_a_lug_is_made_for_size_and_stud(size: float, terminal: dict, expected: list) -> None:
    """Tube lugs of 70 mm² are made for M8 and not for M5, and ferrules end at 50 mm² (tables, from memory)."""
    assert told(on_one(1, size=size, **terminal)) == expected


def test_both_ends_are_looked_at() -> None:
    """A conductor that fits at one end and not at the other is told at the other."""
    system = System(
        nodes=(node("a/+", "+", "switch", stud="M8"), node("b/+", "+", "device", stud="M5")),
        conductors=(wire("a/+", "b/+", "+", size_mm2=70.0),),
    )
    assert [breach.way[-1] for breach in terminals(system)] == ["b/+"]


def test_a_tail_and_what_lies_behind_its_device_are_one_lug() -> None:
    """A post sees the tail only; points inside a conductor are no terminals."""
    tail = Conductor(
        key="x tail", segment="x", entry="feeders.x", name="x, up to its device", start="a/+", end="x", pole="+",
        is_tail=True,
    )  # fmt: skip
    inner = [node("x", "+", "inner"), *(node(f"d{n}/+", "+", "device") for n in range(6))]
    system = System(
        nodes=(node("a/+", "+", "source"), *inner),
        conductors=(tail, *(wire("x", f"d{n}/+", "+") for n in range(6))),
    )
    assert told(system) == []


@pytest.mark.parametrize(("count", "expected"), [(4, []), (5, [("fuse 107", 4)])])
def test_a_protective_bar_has_room_for_the_bond(count: int, expected: list) -> None:
    """Beside its two ways and the feed a protective bar takes the bond to earth."""
    system = on_one(count, kind="panel", pole="PE")
    ways = (node("bank/1", "L", "way"), node("bank/2", "L", "way"))
    assert told(replace(system, nodes=system.nodes + ways)) == expected


def cores(count: int, **more: Any) -> System:
    """Return so many cores of signal cables on one terminal of a gauge."""
    plain = on_one(count, kind="device", pole="data", size=0.75, **more)
    return replace(plain, conductors=(), signals=plain.conductors)


@pytest.mark.parametrize(
    ("system", "expected"),
    [
        (cores(4), []), (cores(5), [("fuse 105", 4)]), (cores(2, takes="blade"), []),
        (cores(3, takes="blade"), [("fuse 105", 2)]), (cores(1, takes="plug"), []),
        (cores(2, takes="plug"), [("fuse 105", 1)]), (cores(1, largest_mm2=0.75), []),
        (cores(1, largest_mm2=0.5), [("fuse 106", 0.5)]),
    ],
)  # fmt: skip
def test_cores_of_signal_cables_count_too(system: System, expected: list) -> None:
    """A sensor's terminal takes no more cores than a lamp's takes wires, and a plug of a bus or antenna one cable."""
    assert told(system) == expected


@pytest.mark.parametrize(("count", "expected"), [(1, []), (2, [("fuse 105", 1)])])
def test_one_antenna_lead_in_a_plug(count: int, expected: list) -> None:
    """Two leads end in one socket of a radio nowhere."""
    assert told(on_one(count, kind="device", pole="antenna", takes="plug", size=None)) == expected
