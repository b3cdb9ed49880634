"""Which device protects a feeder without one of its own, and how thick the return beside some feeders is."""

from __future__ import annotations

import pytest

from layout.wiring.protection.protective_device import as_thick_as_its_feeders, stand_before
from tests.wiring.builders import boat
from tests.wiring.faulty import charger
from tests.wiring.protection.frozen import device, lead, link, reaching, segment

LEAD = link("lead", "bank/+", "bar")
MIDDLE = link("middle", "bar", "main/in")
CONTACT = link("battery_switches.main", "main/in", "main/out", kind="contact")
FEED = link("feed", "main/out", "dc/in")
LINE = reaching("bank/+", LEAD, MIDDLE, CONTACT, FEED)


@pytest.mark.parametrize(
    ("stands", "rating_a"),
    [
        ({("lead", False): 100.0}, 100.0),
        ({("lead", True): 100.0}, 100.0),
        ({("lead", False): 100.0, ("middle", False): 60.0}, 60.0),  # the nearest, not the greatest
        ({("lead", False): 60.0, ("middle", True): 100.0}, 100.0),
        ({("lead", False): 100.0, ("middle", False): None}, 100.0),  # of unknown rating: the next one back
        ({("lead", False): 100.0, ("lead", True): 60.0}, 100.0),
        ({("feed", False): 60.0}, None),  # its own is not before it
        ({("battery_switches.main", False): 60.0}, None),  # a contact is no conductor
        ({("lead", False): None}, None),
        ({}, None),
    ],
)
def test_nearest_device_on_the_way_from_the_source(
    stands: dict[tuple[str, bool], float | None], rating_a: float | None
) -> None:
    """Back from the feeder the first device of known rating counts, at whichever end of its conductor it stands."""
    made = {key: device(f"{key}", amps) for key, amps in stands.items()}
    before = stand_before("feed", [LINE], made)
    assert (before.rating_a if before else None) == rating_a


def test_feeder_written_the_other_way_round_is_the_same() -> None:
    """Which end the file names first does not matter."""
    turned = [link(each.key, each.b, each.a, kind=each.kind) for each in (LEAD, MIDDLE, CONTACT, FEED)]
    stands = {("lead", False): device("lead", 100.0), ("middle", False): device("middle", 60.0)}
    assert stand_before("feed", [reaching("bank/+", *turned)], stands) == stands["middle", False]
    assert stand_before("middle", [reaching("bank/+", *turned)], stands) == stands["lead", False]
    assert stand_before("middle", [LINE], stands) == stands["lead", False]


@pytest.mark.parametrize(("first_a", "second_a", "rating_a"), [(99.9, 100.0, 100.0), (100.1, 100.0, 100.1)])
def test_highest_of_several_sources(first_a: float, second_a: float, rating_a: float) -> None:
    """The conductor bears the fuse of the stronger bank; a source that does not reach it says nothing."""
    second = reaching("second/+", link("other", "second/+", "main/out"), FEED)
    elsewhere = reaching("third/+", link("third", "third/+", "fan"))
    stands = {
        ("lead", False): device("lead", first_a),
        ("other", False): device("other", second_a),
        ("third", False): device("third", 300.0),
    }
    for sources in ([elsewhere, LINE, second], [second, elsewhere, LINE]):
        before = stand_before("feed", sources, stands)
        assert before is not None
        assert before.rating_a == rating_a


def test_conductor_of_the_return_is_not_before_it() -> None:
    """A device in a conductor of the minus pole does not protect the live one; nor does a contact of the same key."""
    minus = reaching("bank/+", link("lead", "bank/+", "bar", pole="-"), link("feed", "bar", "dc/in"))
    stands = {("lead", False): device("lead", 100.0), ("middle", False): device("middle", 60.0)}
    assert stand_before("feed", [minus], stands) is None
    assert stand_before("battery_switches.main", [LINE], stands) is None


BANK = segment("lead", lead("bank/+", "main/in"))
TO_PANEL = segment("feed", lead("main/out", "dc/in"))
AT_ALTERNATOR = segment("af", lead("alt/+", "bank/+"))


def thickness(mine: object, *others: object, bears: dict[str, float | None], project: object = None) -> float | None:
    """Return what a return bears by its feeders."""
    return as_thick_as_its_feeders(project or boat({}), mine, {each.key: each for each in others}, bears)


def test_return_of_a_panel_is_as_thick_as_its_feeders() -> None:
    """The greatest of those that end on the panel, at either end; what ends elsewhere does not count."""
    back = segment("back", lead("dc/-", "negbar", "-"))
    second = segment("second", lead("dc/in2", "heater/in"))
    bears = {"lead": 300.0, "feed": 99.9, "second": 100.0}
    assert thickness(back, BANK, TO_PANEL, second, bears=bears) == 100.0
    assert thickness(back, BANK, TO_PANEL, second, bears={**bears, "feed": 100.1}) == 100.1
    assert thickness(back, BANK, TO_PANEL, second, bears={**bears, "feed": None}) == 100.0
    turned = segment("back", lead("negbar", "dc/-", "-"))
    assert thickness(turned, BANK, TO_PANEL, bears=bears) == 99.9
    two = segment("back", lead("x", "negbar", "-"), lead("dc/-", "negbar", "-"))
    assert thickness(two, BANK, TO_PANEL, bears=bears) == 99.9


def test_return_of_a_source_is_as_thick_as_its_lead() -> None:
    """A return that ends only on the bank goes by the bank's lead; one on two bars goes by none."""
    home = segment("home", lead("negbar", "bank/-", "-"))
    assert thickness(home, BANK, TO_PANEL, bears={"lead": 60.0, "feed": 300.0}) == 60.0
    between = segment("between", lead("negbar", "negbar2", "-"))
    assert thickness(between, segment("x", lead("negbar", "dc/in")), BANK, bears={"lead": 60.0, "x": 300.0}) is None


def test_charger_return_goes_by_the_chargers_feeder() -> None:
    """From the alternator to the bank's minus it is beside the alternator's lead of 60 A, not the bank's of 300 A."""
    back = segment("ar", lead("alt/-", "bank/-", "-"))
    bears = {"lead": 300.0, "af": 60.0}
    assert thickness(back, BANK, AT_ALTERNATOR, bears=bears, project=charger()) == 60.0
    home = segment("home", lead("negbar", "bank/-", "-"))
    assert thickness(home, BANK, AT_ALTERNATOR, bears=bears, project=charger()) == 300.0


@pytest.mark.parametrize(
    ("more", "pole"), [({"kind": "circuit"}, "+"), ({"cranking": True}, "+"), ({}, "-"), ({}, "PE")]
)
def test_what_is_no_live_feeder_does_not_count(more: dict[str, object], pole: str) -> None:
    """Circuits, cranking conductors and other returns are not mirrored; a pair counts by its live conductor."""
    back = segment("back", lead("dc/-", "negbar", "-"))
    other = segment("other", lead("x", "dc/in", pole), **more)
    bears = {"other": 300.0, "feed": 60.0}
    assert thickness(back, other, bears=bears) is None
    assert thickness(back, other, TO_PANEL, bears=bears) == 60.0
    pair = segment("other", lead("x", "y", "-"), lead("x", "dc/in"))
    assert thickness(back, pair, TO_PANEL, bears=bears) == 300.0
    apart = segment("other", lead("x", "y"), lead("dc/-", "negbar", "-"))
    assert thickness(back, apart, TO_PANEL, bears=bears) == 60.0


def test_nothing_known_is_not_zero() -> None:
    """Without a feeder of known rating there is no figure."""
    back = segment("back", lead("dc/-", "negbar", "-"))
    assert thickness(back, TO_PANEL, bears={"feed": None}) is None
    assert thickness(back, TO_PANEL, bears={}) is None
