"""Which device stands before a conductor, and with which rating: hand-worked cases, each beside its just-legal twin.

A breaker or fuse carries a load that runs for hours at no more than 80 % of its rating (common practice, no single
source; ABYC E-11 says so of circuit breakers, from memory).
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.project.model.circuits import Load
from layout.project.model.device import Device
from layout.project.model.supplies import Feeder, Protection, Way
from layout.wiring.protection.protective_device import of_protection, of_way, way_rating_a
from layout.wiring.wire import wire
from tests.wiring.builders import boat, lamp, way
from tests.wiring.faulty import add, part, plain

RATINGS = (15.0, 5.0, 10.0)


@pytest.mark.parametrize(
    ("amps", "continuous", "rating"),
    [
        (8.0, True, 10.0),  # 8 / 0.8 = 10, just
        (8.01, True, 15.0),  # 10.01: the next one
        (10.0, False, 10.0),
        (10.01, False, 15.0),
        (12.0, True, 15.0),
        (12.02, True, None),  # 15.03: none so high
    ],
)
def test_lowest_of_the_ratings_a_way_can_have(amps: float, continuous: bool, rating: float | None) -> None:
    """Of the ratings that fit a way the lowest that carries the load is taken; for hours, at 80 % of it."""
    assert way_rating_a(Way(ratings=RATINGS), amps, continuous=continuous) == rating
    assert of_way("k", "w", Way(ratings=RATINGS), current_a=amps, continuous=continuous).rating_a == rating


@pytest.mark.parametrize(("most", "rating"), [(15.0, 15.0), (14.9, None)])
def test_no_more_than_a_way_takes(most: float, rating: float | None) -> None:
    """A way's highest rating bars what would be needed."""
    assert way_rating_a(Way(ratings=RATINGS, most=most), 11.0, continuous=False) == rating


@pytest.mark.parametrize(("amps", "continuous", "rating"), [(8.0, True, 10.0), (8.01, True, 15.0), (8.01, False, 10.0)])
def test_breaker_that_is_chosen_carries_the_load_for_hours(amps: float, continuous: bool, rating: float) -> None:
    """A breaker with no rating of its own comes from the standard range: 10 A at 8 A for hours, 15 A above."""
    assert of_way("k", "w", Way(), current_a=amps, continuous=continuous).rating_a == rating
    device = Protection(kind="breaker")
    assert of_protection("k", "w", device, current_a=amps, continuous=continuous).rating_a == rating


@pytest.mark.parametrize(("amps", "rating"), [(8.0, 10.0), (8.01, 15.0)])
def test_circuit_whose_load_runs_for_hours(amps: float, rating: float) -> None:
    """The same through a whole project: the way without a rating gets it from the load."""
    free = replace(way(10.0), rating=None)
    made = boat({"c1": lamp(1, load=Load(current=amps, continuous=True))}, ways={"1": free})
    (use,) = [use for use in wire(made, None).ways if use.way == "1"]
    assert use.rating_a == rating


@pytest.mark.parametrize(("amps", "rating"), [(80.0, 100.0), (80.1, 125.0)])
def test_feeder_is_taken_to_run_for_hours(amps: float, rating: float) -> None:
    """A feeder's fuse without a rating is chosen for its load at 80 %: 100 A for 80 A, the next size above."""
    made = plain(amps=3.0)
    fuse = replace(made.feeders["lead"].protection, rating=None)
    wired = wire(part(made, "feeders", "lead", protection=fuse, current=amps), None)
    ratings = {one.rating_a for one in wired.protectors if one.where == "bank/+"}
    assert ratings == {rating}


def test_conductor_bears_the_greater_of_two_sources_fuses() -> None:
    """Two banks on one bar behind 60 A and 100 A: the feeder behind the bar bears 100 A."""
    made = plain(amps=3.0)
    small = replace(made.feeders["lead"].protection, rating=60.0)
    second = replace(made.supplies["bank"], id="second")
    both = add(
        made,
        supplies={"second": second},
        feeders={
            "lead2": Feeder(id="lead2", from_="second/+", to="main/in", poles=("+",), length=1000.0, protection=small),
            "home2": Feeder(id="home2", from_="negbar", to="second/-", poles=("-",), length=1000.0),
        },
    )
    (feed,) = [run for run in wire(both, None).runs if run.key.startswith("feeders.feed")]
    assert feed.sizing.verdict.ampacity.current_a >= 100.0 - 1e-9


def test_return_does_not_mirror_what_only_cranks() -> None:
    """A starting lead behind 300 A beside the house lead: the common return is sized by the house fuse all the same.

    Cranking circuits are exempt (ABYC E-11, ISO 13297, both from memory); a house lead behind 300 A counts.
    """
    made = plain(amps=3.0)

    def home_mm2(*, cranking: bool) -> float:
        fuse = replace(made.feeders["lead"].protection, rating=300.0)
        motor = Device(id="starter@0", location="p0")
        start = Feeder(
            id="start", from_="bank/+", to="starter@0", poles=("+",), length=1000.0, protection=fuse, cranking=cranking
        )
        runs = wire(add(made, feeders={"start": start}, devices={"starter@0": motor}), None).runs
        (home,) = [run for run in runs if run.key.startswith("feeders.home")]
        return home.size.area_mm2

    (alone,) = [run for run in wire(made, None).runs if run.key.startswith("feeders.home")]
    assert home_mm2(cranking=True) == alone.size.area_mm2
    assert home_mm2(cranking=False) > alone.size.area_mm2
