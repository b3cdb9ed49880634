"""Devices as declared and as chosen: each fact is taken over, and a rating that is given is kept."""

from __future__ import annotations

import pytest

from layout.project.model.circuits import Load
from layout.project.model.supplies import Protection, Way
from layout.wiring.circuits.chains import Chain, ChainStep
from layout.wiring.circuits.ends import Ends
from layout.wiring.protection.protective_device import (
    ProtectiveDevice,
    as_laid,
    circuit_stands,
    feeder_stands,
    of_protection,
    of_way,
    way_rating_a,
)
from layout.wiring.result import Length
from tests.wiring.builders import boat, lamp
from tests.wiring.protection.frozen import device, lead, segment

BREAKER = Protection(kind="breaker")


@pytest.mark.parametrize(("amps", "rating"), [(9.99, 10.0), (10.0, 10.0), (10.01, None)])
@pytest.mark.parametrize("continuous", [True, False])
def test_given_rating_of_a_way_carries_no_more_than_itself(amps: float, rating: float | None, continuous: bool) -> None:
    """A way of 10 A is no place for 10.01 A, whatever else fits it; 80 % for hours is told elsewhere."""
    way = Way(rating=10.0, ratings=(5.0, 10.0, 15.0))
    assert way_rating_a(way, amps, continuous=continuous) == rating
    assert of_way("k", "w", way, current_a=amps, continuous=continuous).rating_a == 10.0


@pytest.mark.parametrize(
    ("kind", "amps", "rating"),
    [
        ("breaker", 15.01, 20.0),
        ("miniature breaker", 15.01, 16.0),
        ("miniature breaker", 16.01, 20.0),
        ("blade fuse", 5.01, 7.5),
        ("blade fuse", 100.0, 100.0),
        ("blade fuse", 100.1, None),
        ("cartridge fuse", 5.01, 6.3),
        ("cartridge fuse", 10.01, None),
    ],
)
def test_range_of_each_kind(kind: str, amps: float, rating: float | None) -> None:
    """ISO 8820-3 blades, IEC 60127 cartridges, IEC 60898 and panel breakers each have ratings of their own."""
    assert way_rating_a(Way(kind=kind), amps, continuous=False) == rating
    assert of_protection("k", "w", Protection(kind=kind), current_a=amps, continuous=False).rating_a == rating


@pytest.mark.parametrize(("amps", "rating"), [(10.0, 10.0), (10.01, None)])
def test_most_of_a_way_without_ratings(amps: float, rating: float | None) -> None:
    """What the maker allows at most bars the next standard rating."""
    assert way_rating_a(Way(most=14.9), amps, continuous=False) == rating
    assert way_rating_a(Way(most=15.0), 10.01, continuous=False) == 15.0
    assert way_rating_a(Way(most=15.0), 100.1, continuous=False) is None


def test_nothing_is_chosen_for_a_load_that_is_not_known() -> None:
    """Without a current a rating stays open; one that is given stays, and so does that of a device with no range."""
    for continuous in (True, False):
        assert of_way("k", "w", Way(), current_a=None, continuous=continuous).rating_a is None
        assert of_protection("k", "w", BREAKER, current_a=None, continuous=continuous).rating_a is None
        given = Protection(kind="breaker", rating=5.0)
        assert of_protection("k", "w", given, current_a=8.0, continuous=continuous).rating_a == 5.0
        assert of_protection("k", "w", given, current_a=None, continuous=continuous).rating_a == 5.0
        inside = Protection(kind="built-in")
        assert of_protection("k", "w", inside, current_a=8.0, continuous=continuous).rating_a is None


def test_facts_of_a_declared_device_are_taken_over() -> None:
    """Every fact of the file stands in the device, and nothing that the file does not say."""
    facts = {"breaking_capacity": 3000.0, "voltage": 32.0, "poles": 2, "residual": 0.03, "from_source": 150.0}
    full = Protection(kind="link fuse", rating=60.0, device="holder", enclosed=True, **facts)
    assert of_protection("k", "w", full, current_a=8.0, continuous=True) == ProtectiveDevice(
        key="k", where="w", kind="link fuse", rating_a=60.0, given=True, breaking_a=3000.0, voltage_v=32.0, poles=2,
        residual_a=0.03, held_in="holder", from_source_mm=150.0, said_mm=150.0, enclosed=True,
    )  # fmt: skip
    assert of_protection("k", "w", BREAKER, current_a=None, continuous=True) == ProtectiveDevice(
        key="k", where="w", kind="breaker", rating_a=None, given=False
    )
    assert not of_protection("k", "w", BREAKER, current_a=None, continuous=True).from_way
    at_place = Protection(kind="breaker", location="locker")
    assert of_protection("k", "w", at_place, current_a=None, continuous=True).held_in == "locker"


def test_facts_of_a_way_are_taken_over() -> None:
    """A way is given only where its rating is."""
    full = Way(kind="miniature breaker", rating=16.0, breaking_capacity=6000.0, poles=2, residual=0.03)
    assert of_way("k", "w", full, current_a=8.0, continuous=True) == ProtectiveDevice(
        key="k", where="w", kind="miniature breaker", rating_a=16.0, given=True, from_way=True, breaking_a=6000.0,
        poles=2, residual_a=0.03,
    )  # fmt: skip
    assert of_way("k", "w", Way(), current_a=8.0, continuous=False) == ProtectiveDevice(
        key="k", where="w", kind="breaker", rating_a=10.0, given=False, from_way=True
    )


@pytest.mark.parametrize(
    ("said_mm", "total_mm", "stands_mm"),
    [
        (200.0, 230.0, 200.0),
        (200.0, 230.3, 200.3),
        (None, 230.0, 200.0),
        (None, 30.0, 0.0),
        (200.0, 130.0, 200.0),
        (200.0, None, 200.0),
        (None, None, None),
    ],
)
def test_device_stands_as_far_off_as_its_conductor_lies(
    said_mm: float | None, total_mm: float | None, stands_mm: float | None
) -> None:
    """The conductor up to a holder less its 30 mm of slack counts where it is more than was said."""
    tail = segment("feeders.lead", lead("bank/+", "holder/in"), protection=BREAKER)
    lies = Length(total_mm=total_mm, slack_mm=30.0)
    mine = device("feeders.lead.protection", 60.0, from_source_mm=said_mm)
    other = device("feeders.lead.protection_to", 60.0, from_source_mm=said_mm)
    laid = as_laid({"a": mine, "b": other}, [(tail, lies)])
    assert laid["a"].from_source_mm == (None if stands_mm is None else pytest.approx(stands_mm))
    assert laid["b"] is other


def test_conductor_without_a_device_at_its_start_leads_to_the_one_at_its_end() -> None:
    """A tail with its device at the end moves that one."""
    tail = segment("feeders.lead", lead("bank/+", "holder/in"), protection_end=BREAKER)
    ends = {"a": device("feeders.lead.protection", 60.0), "b": device("feeders.lead.protection_to", 60.0)}
    laid = as_laid(ends, [(tail, Length(total_mm=500.0))])
    assert (laid["a"].from_source_mm, laid["b"].from_source_mm) == (None, 500.0)


def test_feeders_have_a_device_at_each_end_where_one_is_said() -> None:
    """Each stands at its own end, or before its holder; what leads up to a holder and what is no feeder has none."""
    ends = {"protection": BREAKER, "protection_end": Protection(kind="link fuse", rating=60.0)}
    line = lead("alt/+", "bank/+")
    currents = {"f": 8.0, "held": 8.01}
    stands = feeder_stands(
        [
            segment("c", line, kind="circuit", **ends),
            segment("tail", line, tail_of="held", **ends),
            segment("f", line, **ends),
            segment("held", line, fed_at="alt/+2", fed_at_end="bank/+2", **ends),
            segment("bare", line),
            segment("unknown", line, protection=BREAKER),
        ],
        currents,
    )
    assert {key: (stand.key, stand.where, stand.rating_a) for key, stand in stands.items()} == {
        ("f", False): ("f.protection", "alt/+", 10.0),  # 8 / 0.8: a feeder runs for hours
        ("f", True): ("f.protection_to", "bank/+", 60.0),
        ("held", False): ("held.protection", "alt/+2", 15.0),
        ("held", True): ("held.protection_to", "bank/+2", 60.0),
        ("unknown", False): ("unknown.protection", "alt/+", None),
    }


def test_circuits_start_from_a_way_or_from_a_device_of_their_own() -> None:
    """A way comes before a device of the circuit's own; without either there is no entry."""
    from_way, own, bare = lead("dc/1", "lamp1"), lead("bank/+", "lamp2"), lead("dc/-", "lamp3")
    segments = {
        "s1": segment("s1", from_way, kind="circuit", protection=Protection(kind="breaker", rating=5.0)),
        "s2": segment("s2", own, kind="circuit", protection=BREAKER),
        "s3": segment("s3", bare, kind="circuit"),
        "s4": segment("s4", from_way, kind="circuit"),
    }

    def chain(key: str) -> tuple[Chain, ...]:
        feed = (ChainStep(segment=key, lead=segments[key].leads[0]), ChainStep(segment="s4", lead=from_way))
        return (Chain(circuit="", load="", feed=feed, back=(), current_a=None, source_node="", return_node=""),)

    def stands(*, continuous: bool, amps: float | None = 8.01) -> dict[tuple[str, str], tuple[str, str, float | None]]:
        load = Load(current=3.0, continuous=continuous)
        circuits = {"c1": lamp(1, load=load), "c2": lamp(2, load=load), "c3": lamp(3, amps=None)}
        project = boat(circuits, ways={"1": Way(), "2": Way(), "3": Way()})
        chains = {"c1": chain("s1"), "c2": chain("s2"), "c3": chain("s3")}
        currents = {"c1": amps, "c2": amps}
        made = circuit_stands(Ends(project, None), segments, chains, currents)
        return {key: (stand.key, stand.where, stand.rating_a) for key, stand in made.items()}

    for continuous, rating in ((True, 15.0), (False, 10.0)):
        assert stands(continuous=continuous) == {
            ("c1", "s1"): ("breaker_panels.dc.ways.1", "dc/1", rating),
            ("c2", "s2"): ("s2.protection", "bank/+", rating),
        }
    assert {entry[2] for entry in stands(continuous=True, amps=None).values()} == {None}
