"""Sources as a short sees them: what each fact says, and what none says."""

from __future__ import annotations

import pytest

from layout.wiring.system.infeeds import internal_ohm, stated_a, strongest, weakest
from tests.wiring.laws.fault_systems import battery


def test_internal_resistance_from_cranking_amperes() -> None:
    """700 A pull a 12 V bank from 12.8 V down to 7.2 V: 8 milliohm."""
    assert internal_ohm(nominal_v=12, cranking_a=700) == pytest.approx(0.008)


def test_a_makers_fault_current_is_a_resistance() -> None:
    """A maker's 2 kA at the posts of a lithium bank of 13.6 V open are 6.8 milliohm."""
    feed = strongest(battery("li", chemistry="lithium", fault_a=2000.0))
    assert feed is not None
    assert feed.ohm == pytest.approx(0.0068)


def test_a_full_lithium_bank_stands_higher_than_lead() -> None:
    """Four cells have 13.6 V open, six of lead 12.8 V; where the kind is not said the higher counts."""
    volts = {kind: strongest(battery("b", chemistry=kind, ohm=0.005)) for kind in ("lead", "lithium", None)}
    assert {kind: round(feed.volts, 2) for kind, feed in volts.items() if feed} == {
        "lead": 12.8,
        "lithium": 13.6,
        None: 13.6,
    }


def test_the_highest_of_its_facts_is_the_strongest_and_the_lowest_the_weakest() -> None:
    """5 milliohm mean 2560 A, 700 A cold cranking 1600 A: both ends count on their side."""
    bank = battery("b", ohm=0.005, cranking_a=700.0)
    assert stated_a(bank) == pytest.approx({"resistance": 2560.0, "cold_cranking": 1600.0})
    strong, weak = strongest(bank), weakest(bank)
    assert strong is not None
    assert weak is not None
    assert strong.ohm == pytest.approx(0.005)
    assert weak.ohm == pytest.approx(0.008)
    assert weak.volts == pytest.approx(10.8)


@pytest.mark.parametrize("kind", ["battery", "shore", "generator"])
def test_a_limit_says_nothing_of_what_drives_whatever_is_asked(kind: str) -> None:
    """A battery's, a pontoon's and a generator's rated current is not their fault current."""
    source = battery("s", kind=kind, limit_a=20.0)
    assert strongest(source) is None
    assert weakest(source) is None


def test_cranking_amperes_of_lithium_say_nothing() -> None:
    """The figure of a lithium bank's electronics is no resistance."""
    assert strongest(battery("li", chemistry="lithium", cranking_a=800.0)) is None
