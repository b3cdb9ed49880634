"""The list "still to find out": gaps of the model and of the findings, grouped, each once."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.findings import Finding, Place
from layout.handover.lists.open_questions.still_to_find_out import find_out_story, find_out_table, open_findings
from layout.handover.lists.open_questions.unknowns import ORDER, counted, unknowns
from layout.project.model.circuits import Circuit, Leg, Load
from layout.project.model.device import Device, Fixing
from layout.project.model.keys import End
from layout.project.model.panel import SizeFrom
from layout.project.model.project import Boat, Project, TitleBlock
from layout.project.model.shape import Shape
from layout.project.model.supplies import BreakerPanel, Feeder, Protection, Supply, Way
from layout.project.model.wireways import Wireway
from tests.handover.pages import everything, on_pages

A, B = End("a"), End("b")


def _asked(project: Project) -> dict[str, str]:
    return {one.key: one.question for one in unknowns(project)}


def test_the_model_s_gaps_are_found(project):
    """Guessed sizes, unknown depth, tolerance, entry, load, fault current, diameters: each has its question."""
    keys = _asked(project)
    for key in (
        "devices.radio.size_from", "devices.radio.cutout_tolerance", "devices.radio.behind.0.depth",
        "devices.radio.plug_room.depth", "panels.dash.cable_exit", "circuits.spot.load", "supplies.house.resistance",
        "circuits.pump.load.locked_rotor", "circuits.pump.load.inrush", "circuits.pump.protection.from_source",
        "feeders.feed.protection.breaking_capacity", "feeders.feed.protection.trips_at", "cables.boat.sizes",
        "breaker_panels.dc.ways.1.breaking_capacity",
    ):  # fmt: skip
        assert key in keys, key


def test_what_is_said_is_not_asked(project):
    """A distance that is given, a spare way and a measured length raise no question, a lamp elsewhere only its ends."""
    keys = _asked(project)
    assert "feeders.feed.protection.from_source" not in keys
    assert "way 3" not in " ".join(keys.values())
    assert [key for key in keys if key.startswith("devices.lamp")] == ["devices.lamp.terminals"]
    assert "wireways.main.bends" not in keys


@pytest.mark.parametrize(
    ("depth", "more", "asked"),
    [
        (None, {}, True),
        (8.0, {}, False),
        (None, {"work_state": "cut"}, False),
    ],
    ids=["depth not said", "depth said", "drilled already"],
)
def test_the_depth_of_pilot_holes_is_asked_where_the_hole_table_says_it_is_not_known(depth, more, asked):
    """A pilot hole that is still to be drilled and whose depth is not said is a question about its device."""
    fixing = Fixing(at=(0.0, 0.0), drill=3.2, kind="pilot", depth=depth)
    lamp = Device(id="lamp", panel=("dash",), mount="surface", face=Shape(circle=40.0), fixings=(fixing,), **more)
    assert ("devices.lamp.fixings" in _asked(_boat(devices={"lamp": lamp}))) is asked


def _boat(**parts: object) -> Project:
    base = Project(spile=1, project=TitleBlock(name="x", date="2026-01-01"), boat=Boat(hull="grp", fuel="diesel"))
    return replace(base, **parts)


def _supply(**more: object) -> Project:
    return _boat(supplies={"s": Supply(id="s", location="x", **more)})


@pytest.mark.parametrize(
    ("project", "keys"),
    [
        (_supply(kind="battery", voltage=12, chemistry="lithium"), {"supplies.s.fault_current"}),
        (_supply(kind="battery", voltage=12, cold_cranking=800), {"supplies.s.chemistry"}),
        (_supply(kind="battery", voltage=12, chemistry="lead", resistance=0.006), {"supplies.s.cold_cranking"}),
        (
            _supply(kind="shore", voltage=230, current=16),
            {"supplies.s.fault_current", "supplies.s.neutral_bond", "supplies.s.isolation", "bus_bars"},
        ),
        (_supply(kind="charger", voltage=12), {"supplies.s.self_limiting", "supplies.s.current"}),
        (
            _supply(
                kind="solar", voltage=12, current=10, self_limiting=True, open_circuit_voltage=22, highest_input=50
            ),
            set(),
        ),
        (_boat(boat=Boat()), {"boat.hull", "boat.fuel"}),
        (_boat(project=TitleBlock(name="x")), {"project.date"}),
        (
            _boat(wireways={"w": Wireway(id="w", from_="a", to="b", kind="conduit", length=1.0)}),
            {"wireways.w.bore", "wireways.w.bends"},
        ),
        (_boat(wireways={"w": Wireway(id="w", from_="a", to="b", kind="trunk", length=1.0)}), {"wireways.w.inner"}),
        (_boat(feeders={"f": Feeder(id="f", from_=A, to=B, aboard="keep")}), {"feeders.f.size"}),
        (_boat(feeders={"f": Feeder(id="f", from_=A, to=B, aboard="remove")}), set()),
        (_boat(circuits={"c": Circuit(id="c", from_=A, to=B, purpose="x", aboard="remove")}), set()),
        (
            _boat(
                circuits={
                    "c": Circuit(
                        id="c", from_=A, to=B, purpose="x", legs={"l": Leg(id="l", from_=A, to=B, current=2.0)}
                    )
                }
            ),
            set(),
        ),
        (
            _boat(
                circuits={
                    "c": Circuit(
                        id="c", from_=A, to=B, purpose="x",
                        load=Load(
                            current=3, motor=True, inrush=9, locked_rotor=12, largest_protection=10, start_voltage=9
                        ),
                        protection=Protection(
                            kind="blade fuse", location="l", from_source=1.0, breaking_capacity=1000, trips_at=6
                        ),
                    )
                }
            ),
            set(),
        ),
        (
            _boat(breaker_panels={"d": BreakerPanel(id="d", voltage=12, ways={"1": Way(id="1", free=True)})}),
            set(),
        ),
    ],
    ids=[
        "lithium without fault current", "bank of unknown kind", "bank with resistance", "bare shore", "bare charger",
        "full solar", "boat not described", "no date", "bare conduit", "bare trunk", "existing wire of unknown size",
        "feeder taken out", "circuit taken out", "legs that say their current", "complete motor", "only spares",
    ],
)  # fmt: skip
def test_one_gap_at_a_time(project, keys):
    """Each kind of gap gives exactly its own questions."""
    assert set(_asked(project)) == keys


def test_gaps_are_grouped_by_what_they_hold_up(project):
    """Cutting comes first, handing over last, and the counts add up."""
    found = unknowns(project)
    places = [ORDER.index(one.holds) for one in found]
    assert places == sorted(places)
    assert sum(counted(found).values()) == len(found)


def test_a_size_from_the_catalogue_is_asked_for_too(project):
    """A standard's size is not this device's."""
    radio = replace(project.devices["radio"], size_from=SizeFrom.CATALOGUE)
    asked = _asked(replace(project, devices={"radio": radio}))
    assert "a standard's" in asked["devices.radio.size_from"]


def test_findings_that_speak_of_something_unknown_are_taken_up(project):
    """A finding of unknown depth is listed; a misspelt name, though called unknown-name, is not."""
    found = [
        Finding(rule=code, message=name)
        for code, name in (
            ("file 61", "depth"),
            ("file 50", "misspelt"),
            ("bus 20", "LEN"),
            ("paper 5", "longer"),
            ("panel 1", "near"),
        )
    ]
    assert {finding.rule for finding in open_findings(found)} == {"file 61", "bus 20"}
    assert "LEN" in [row["question"] for row in find_out_table(project, found).rows]


def test_a_finding_stands_in_place_of_the_model_s_own_question(project):
    """An entry is asked about once, in the finding's words."""
    finding = Finding(
        rule="file 61",
        message="Radio: depth behind the sheet is not known",
        at=Place("a.yaml", 3, 1, "devices.radio.behind.0.depth"),
    )
    rows = [row for row in find_out_table(project, [finding]).rows if row["at"] == "devices.radio.behind.0.depth"]
    assert [row["question"] for row in rows] == ["Radio: depth behind the sheet is not known"]
    assert rows[0]["about"] == "Radio"


def test_the_same_question_about_many_is_asked_once(project):
    """Three devices with the same gap share a row that names them."""
    found = [
        Finding(rule="bus 20", message=f"{n} has no LEN", remedy="look at its paper", subjects=(f"circuits.{n}",))
        for n in ("light", "radio", "pump")
    ]
    (row,) = [row for row in find_out_table(project, found).rows if row["where"] == "look at its paper"]
    assert row["about"] == "Masthead light, Bilge pump, Radio"
    assert "3 times" in str(row["question"])


def test_the_printed_list_counts_its_questions(project):
    """The paper says how many are open, and groups them."""
    words = everything(on_pages(project, lambda wide: find_out_story(project, (), wide)))
    assert f"{len(find_out_table(project).rows)} questions are open." in words
    assert "Holds up cutting" in words
    assert "Nothing is open." in everything(on_pages(_boat(), lambda wide: find_out_story(_boat(), (), wide)))
