"""Ratings, kinds and places of devices: just over each limit there is a finding with its figures, at the twin none."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from layout.findings import Severity
from layout.project.model.circuits import Leg, Load
from layout.project.model.device import Device, Terminal
from layout.project.model.supplies import Way
from layout.wiring.wire import wire
from tests.wiring.builders import FUSE, boat, lamp, way
from tests.wiring.circuits.test_holders import laid
from tests.wiring.faulty import ac, add, charger, part, plain
from tests.wiring.laws.test_boats import FUSE as FACTS_FUSE

if TYPE_CHECKING:
    from pathlib import Path

    from layout.findings import Finding
    from layout.project.model.project import Project


def told(project: Project, rule: str) -> list[Finding]:
    """Return the findings of one rule."""
    return [finding for finding in wire(project, None).findings if finding.rule == rule]


def loaded(amps: float | None, rating: float | None = 10.0, **more: object) -> Project:
    """Return a boat with one lamp of a current on a way of a rating."""
    load = None if amps is None else Load(**{"current": amps, "continuous": True, **more})
    return boat({"c1": lamp(1, load=load)}, ways={"1": way(10.0) if rating == 10.0 else Way(rating=rating)})


@pytest.mark.parametrize(("amps", "says"), [(8.0, False), (8.01, True), (10.0, True), (10.01, False)])
def test_load_for_hours(amps: float, says: bool) -> None:
    """Over 80 % of 10 A for hours is told; over 10 A at all it is another finding's."""
    here = told(loaded(amps), "fuse 5")
    assert [(f.measured, f.limit, f.unit) for f in here] == ([(amps, 8.0, "A")] if says else [])
    assert all(f.subjects == ("circuits.c1",) or "circuits.c1" in f.subjects for f in here)
    assert not told(loaded(amps, continuous=False), "fuse 5")


@pytest.mark.parametrize(("most", "says"), [(10.0, False), (9.99, True)])
def test_largest_protection_by_the_maker(most: float, says: bool) -> None:
    """A device of 10 A before a load that allows 10 A is right, before one that allows 9.99 A not."""
    here = told(loaded(3.0, largest_protection=most), "fuse 17")
    assert [(f.measured, f.limit, f.unit) for f in here] == ([(10.0, most, "A")] if says else [])
    assert all("circuits.c1" in f.subjects for f in here)


@pytest.mark.parametrize(("amps", "says"), [(80.0, False), (80.1, True)])
def test_no_rating_is_so_high(amps: float, says: bool) -> None:
    """A panel breaker ends at 100 A, that is 80 A for hours; a load that is not known is no such case."""
    assert bool(told(loaded(amps, rating=None), "fuse 21")) == says
    assert not told(loaded(None, rating=None), "fuse 21")


@pytest.mark.parametrize(
    ("kind", "rating", "says"),
    [("link fuse", 100.0, False), ("link fuse", 100.1, True), ("built-in", 100.1, False), ("link fuse", None, False)],
)
def test_standard_ratings(kind: str, rating: float | None, says: bool) -> None:
    """100 A is a link fuse, 100.1 A is none; what is built in has no range."""
    made = part(plain(), "feeders", "lead", protection=replace(FUSE, kind=kind, rating=rating))
    here = told(made, "fuse 19")
    assert bool(here) == says
    assert all("feeders.lead" in finding.subjects for finding in here)


@pytest.mark.parametrize(
    ("practice", "enclosed", "distance", "limit", "weight"),
    [
        ("abyc", False, 177.9, 177.8, Severity.STOP),
        ("abyc", None, 177.9, 177.8, Severity.STOP),
        ("abyc", True, 1016.1, 1016.0, Severity.WATCH),  # 72 in by ABYC at a battery, 40 in by 33 CFR 183.455(b)
        ("abyc", True, 1828.8, 1016.0, Severity.WATCH),
        ("abyc", True, 1828.9, 1016.0, Severity.STOP),
        ("abyc", True, 1016.0, None, None),
        ("iso", True, 9000.0, None, None),
        ("iso", False, 200.0, None, None),
    ],
)
def test_distance_by_enclosure(
    practice: str, enclosed: bool | None, distance: float, limit: float | None, weight: Severity | None
) -> None:
    """How far from the battery: bare 7 in, enclosed 40 in, and from there to 72 in only ABYC allows it."""
    made = part(plain(), "feeders", "lead", protection=replace(FUSE, from_source=distance, enclosed=enclosed))
    here = told(replace(made, wiring=replace(made.wiring, practice=practice)), "fuse 6")
    assert [(f.limit, f.weight, f.measured, f.unit) for f in here] == (
        [] if limit is None else [(limit, weight, distance, "mm")]
    )
    assert all("feeders.lead" in f.subjects for f in here)
    assert all(("allows it" in f.message) == (weight is Severity.WATCH) for f in here)
    assert all(("enclosed all the way" in f.message) == bool(enclosed) for f in here)


def test_distance_that_is_not_said() -> None:
    """A fuse of unknown distance is asked for, with the limit; one that is built in stands where it is."""
    made = part(plain(), "feeders", "lead", protection=replace(FUSE, from_source=None))
    (here,) = told(made, "fuse 7")
    assert (here.unit, here.limit is not None, "feeders.lead" in here.subjects) == ("mm", True, True)
    assert not told(plain(), "fuse 7")
    inside = replace(FUSE, from_source=None, kind="built-in")
    assert not told(part(plain(), "feeders", "lead", protection=inside), "fuse 7")


@pytest.mark.parametrize(("distance", "says"), [(3048.0, False), (3048.1, True)])
def test_shore_inlet_has_a_distance_of_its_own(distance: float, says: bool) -> None:
    """10 ft of conductor from the inlet to the main breaker (ABYC E-11, from memory); 500 mm by ISO."""
    main = replace(ac().feeders["sf"].protection, from_source=distance)
    made = part(ac(), "feeders", "sf", protection=main)
    abyc = told(replace(made, wiring=replace(made.wiring, practice="abyc")), "fuse 6")
    assert [f.limit for f in abyc] == ([3048.0] if says else [])
    iso = told(replace(made, wiring=replace(made.wiring, practice="iso")), "fuse 6")
    assert [f.limit for f in iso] == [500.0]


def test_both_ends_of_a_feeder_are_judged() -> None:
    """A fuse of 100.1 A at either end is told; a return has no device to judge."""
    odd = replace(FUSE, rating=100.1)
    assert told(charger(fuse=odd), "fuse 19")
    assert not told(charger(), "fuse 19")
    assert told(part(charger(), "feeders", "af", protection=odd), "fuse 19")
    assert not told(part(plain(), "feeders", "home", protection=odd), "fuse 19")


def test_cranking_conductor_is_named() -> None:
    """An engine starting conductor is exempt, and that is said, once for each live one."""
    made = part(plain(), "feeders", "lead", cranking=True)
    assert len(told(made, "fuse 20")) == 1
    assert not told(plain(), "fuse 20")
    assert not told(part(plain(), "feeders", "home", cranking=True), "fuse 20")


def test_device_of_a_circuit_has_a_distance_and_a_way_none() -> None:
    """A lamp on the battery's post behind a fuse of unknown distance is asked for it; on a way it is not."""
    fuse = replace(FUSE, rating=5.0, kind="blade fuse", from_source=None)
    made = boat({"c1": replace(lamp(1), from_="bank", protection=fuse)})
    assert [f.subjects[0] for f in told(made, "fuse 7")] == ["circuits.c1"]
    assert not told(plain(), "fuse 7")


def test_holder_takes_one_device() -> None:
    """Two fuses that are said to stand in one holder are told; each in its own is right."""
    posts = {key: Terminal(id=key, pole="+") for key in ("in", "out")}
    holders = {key: Device(id=key, location="locker", terminals=posts) for key in ("h1", "h2")}

    def held(first: str, second: str) -> list[Finding]:
        fuses = {
            f"c{n}": replace(
                lamp(n), from_="bank", protection=replace(FUSE, rating=5.0, kind="blade fuse", device=holder)
            )
            for n, holder in ((1, first), (2, second))
        }
        return told(add(boat(fuses), devices=holders), "fuse 121")

    assert not held("h1", "h2")
    (here,) = held("h1", "h1")
    assert "2 protective devices" in here.message


def legs() -> Project:
    """Return a boat with a circuit of two feeds from the battery's post, the second behind a fuse of 100.1 A."""
    odd = replace(FUSE, rating=100.1)
    made = {
        "one": Leg(id="one", from_="bank", to="lamp1@0/+"),
        "on": Leg(id="on", from_="lamp1@0/+", to="lamp2@0/+"),
        "two": Leg(id="two", from_="bank", to="lamp3@0/+", protection=odd),
        **{f"back{n}": Leg(id=f"back{n}", from_=f"lamp{n}@0/-", to="negbar", pole="-") for n in (1, 2, 3)},
    }
    return boat({"c1": lamp(1, legs=made, from_="bank")})


def test_every_feed_of_a_circuit_is_judged() -> None:
    """A feed without a device, or one to two lamps, does not hide what is wrong with the feed behind it."""
    (here,) = told(legs(), "fuse 19")
    assert "circuits.c1" in here.subjects
    guarded = legs().circuits["c1"]
    first = replace(guarded.legs["one"], protection=replace(FUSE, rating=60.0))
    both = replace(guarded, legs={**guarded.legs, "one": first})
    assert len(told(boat({"c1": both}), "fuse 19")) == 1
    second = replace(guarded.legs["two"], protection=first.protection)
    assert not told(boat({"c1": replace(both, legs={**both.legs, "two": second})}), "fuse 19")


@pytest.mark.parametrize(("said", "says"), [("160.05 mm", False), ("159.95 mm", True)])
def test_conductor_that_lies_longer_than_the_file_says(tmp_path: Path, said: str, says: bool) -> None:
    """170 mm of conductor lie up to the holder; 10 mm over what the file says are let pass, and no more."""
    fuse = {**FACTS_FUSE, "rating": "50 A", "device": "holder", "from_source": said}
    findings = laid(tmp_path, {"feeders.feed.protection": fuse}, apart_mm=160.0).findings
    assert bool([finding for finding in findings if finding.rule == "fuse 120"]) == says
