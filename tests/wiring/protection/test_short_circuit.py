"""Fault currents by hand: U/R, the cranking-amperes table of ABYC E-11, self-limiting sources."""

from __future__ import annotations

import pytest

from layout.wiring.protection.short_circuit import (
    FaultRange,
    FaultSource,
    highest_a,
    internal_ohm,
    lowest_a,
    table_breaking_a,
)

BANK = FaultSource(name="bank", full_v=12.8, low_v=10.8, resistance_ohm=0.01, cranking_a=700)
CHARGER = FaultSource(name="charger", full_v=12.8, low_v=10.8, most_a=40, limits_itself=True)


def test_highest_is_u_over_r():
    """12.8 V over 10 and 6 milliohm are 800 A."""
    assert highest_a([(BANK, 0.006)]) == pytest.approx(800)


def test_sources_add():
    """Two banks and a charger feed one fault together."""
    assert highest_a([(BANK, 0.006), (BANK, 0.006), (CHARGER, 0.006)]) == pytest.approx(1640)


def test_unknown_source_makes_the_fault_unknown():
    """One source without figures, and nobody can say."""
    assert highest_a([(BANK, 0.0), (FaultSource(name="x", full_v=12.8, low_v=10.8), 0.0)]) is None
    assert lowest_a([(FaultSource(name="x", full_v=12.8, low_v=10.8), 0.0)]) is None


def test_lowest_is_the_weakest_alone():
    """10.8 V over 10 and 80 milliohm are 120 A; a charger that limits itself is no help to a fuse."""
    assert lowest_a([(BANK, 0.08), (CHARGER, 0.08)]) == pytest.approx(120)
    assert lowest_a([(CHARGER, 0.08)]) == 40.0  # alone it still gives what it limits itself to
    assert lowest_a([(CHARGER, 0.54)]) == pytest.approx(20.0)  # or what the cable lets through


def test_makers_fault_current_falls_with_cable():
    """A maker's 2 kA at the posts is an inner resistance of 6.4 milliohm."""
    lithium = FaultSource(name="li", full_v=12.8, low_v=12.0, most_a=2000, lithium=True)
    assert highest_a([(lithium, 0.0)]) == 2000
    assert highest_a([(lithium, 0.0064)]) == pytest.approx(1000)


def test_internal_resistance_from_cranking_amperes():
    """700 A pull a 12 V bank from 12.8 V down to 7.2 V: 8 milliohm."""
    assert internal_ohm(nominal_v=12, cranking_a=700) == pytest.approx(0.008)


@pytest.mark.parametrize(("main", "amps"), [(True, 3000), (False, 1500)])
def test_table_of_cranking_amperes(main, amps):
    """700 A are in the middle band of ABYC E-11 Table V-A."""
    assert table_breaking_a([BANK], nominal_v=12, main=main)[0] == amps


def test_lithium_without_figure_asks_for_20_ka():
    """Newer ABYC text, from memory: the maker's figure or the 20 kA class."""
    unknown = FaultSource(name="li", full_v=12.8, low_v=12.0, lithium=True)
    assert table_breaking_a([unknown], nominal_v=12, main=True)[0] == 20_000


def test_no_cranking_amperes_no_table():
    """Without them the table says nothing, which is not zero."""
    assert table_breaking_a([CHARGER], nominal_v=12, main=True) == (None, "")


def test_higher_of_table_and_u_over_r_counts():
    """Where the two differ the higher one counts."""
    found = FaultRange(highest_a=800, lowest_a=100, table_a=1500, table="Table V-A")
    assert found.needed_breaking_a == 1500
    assert FaultRange(highest_a=None, lowest_a=None, table_a=None, table="").needed_breaking_a is None
