"""Earths and bonds: sized by their rule, refused when too thin, and the DC negative joined only where that is said."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.handover.lists.open_questions.unknowns import unknowns
from layout.project.model.device import Device
from layout.project.model.project import Boat
from layout.project.model.supplies import BusBar, Feeder
from layout.quantity import WireSize
from layout.wiring.wire import wire
from tests.wiring.faulty import ac, add, as_read, part


def earthed(**boat: object):
    """Return the AC boat with a main earth: AC earth, DC negative and a tank joined to it."""
    bar = BusBar(id="earth", pole="bond", studs=("M8",) * 6, covered=True, location="locker")
    feeders = {
        "pe": Feeder(id="pe", from_="ac/PE", to="earth", poles=("PE",), length=800.0),
        "neg": Feeder(id="neg", from_="negbar", to="earth", poles=("bond",), length=500.0),
        "tank": Feeder(id="tank", from_="earth", to="tank", poles=("bond",), length=2000.0),
    }
    made = add(ac(), bus_bars={"earth": bar}, feeders=feeders, devices={"tank": Device(id="tank", location="p0")})
    return replace(made, boat=Boat(**{"hull": "grp", "fuel": "diesel", **boat}))


def found(project, code: str) -> list[str]:
    """Return the messages of one rule."""
    return [one.message for one in wire(project, None).findings if one.rule == code]


def test_earths_are_wires_with_a_size_by_their_rule():
    """2.5 mm2 lines ask for 4 mm2 of earth by itself and 10 mm2 of bond, the next above 8 AWG; nothing is found."""
    result = wire(earthed(), None)
    runs = {run.key: run for run in result.runs}
    mine = {key: runs[f"feeders.{key}"] for key in ("pe", "neg", "tank")}
    assert {key: run.size_words for key, run in mine.items()} == {"pe": "4 mm²", "neg": "10 mm²", "tank": "10 mm²"}
    assert {run.wires[0].number for run in mine.values()} == {"006aPE", "007aB", "008aB"}
    assert {run.wires[0].colour for run in mine.values()} == {"green-yellow"}
    assert not {feeder.feeder for feeder in result.feeders} & set(mine)
    assert [one.message for one in result.findings if one.rule in ("wire 1", "wire 21", "wire 70", "wire 71")] == []


@pytest.mark.parametrize(
    ("size", "words"),
    [("6 mm2", ["neg: 6 mm² is too thin for a bonding conductor; at least 8.37 mm²"]), ("10 mm2", [])],
)
def test_a_bond_that_is_too_thin(size, words):
    """A given size below the rule is an error (wire 70), the next above it is not."""
    assert found(part(earthed(), "feeders", "neg", size=WireSize.read(size)), "wire 70") == words


@pytest.mark.parametrize(
    ("boat", "words"),
    [
        ({"dc_negative": "insulated"}, "neg joins the DC negative to earth, but dc_negative is insulated"),
        ({"hull": "metal"}, "neg joins the DC negative to earth, but on a metal hull both DC poles stay insulated"),
        ({"hull": "metal", "dc_negative": "earthed"}, None),
        ({}, None),
    ],
)
def test_negative_that_is_to_be_insulated(boat, words):
    """A bond to it is an error (wire 71) where it is said to be insulated, or the hull is metal and nothing is said."""
    assert found(earthed(**boat), "wire 71") == ([] if words is None else [words])


def asked(project) -> set[str]:
    """Return the questions about earth."""
    return {one.key for one in unknowns(as_read(project))} & {"bus_bars", "boat.dc_negative", "boat.bonded_parts"}


def test_what_is_not_said_about_earth_is_asked():
    """AC without main earth, a negative that nothing joins, a bar without parts; what is said is not asked."""
    whole = earthed()
    without = {key: feeder for key, feeder in whole.feeders.items() if key not in ("neg", "tank")}
    assert asked(whole) == set()
    assert asked(replace(whole, feeders=without)) == {"boat.dc_negative", "boat.bonded_parts"}
    said = replace(whole, feeders=without, boat=Boat(dc_negative="insulated", bonded_parts="none"))
    assert asked(said) == set()
    assert asked(ac()) == {"bus_bars", "boat.dc_negative"}
