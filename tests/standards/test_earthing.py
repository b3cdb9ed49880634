"""Least copper of earths and bonds, by hand from the tables that are named there."""

from __future__ import annotations

import pytest

from layout.standards.earthing import bonding_mm2, protective_mm2


@pytest.mark.parametrize(
    ("line", "need"), [(1.5, 4.0), (4.0, 4.0), (6.0, 6.0), (16.0, 16.0), (25.0, 16.0), (35.0, 16.0), (50.0, 25.0)]
)
def test_protective_conductor_by_itself(line, need):
    """IEC 60364-5-54 table 54.2, and at least 4 mm2 where nothing shields it."""
    assert protective_mm2(line) == need


@pytest.mark.parametrize(("line", "need"), [(0.0, 8.37), (2.5, 8.37), (16.0, 16.0), (70.0, 35.0)])
def test_bonding_conductor(line, need):
    """8 AWG at least (8.37 mm2 by ASTM B258), and no thinner than a protective conductor."""
    assert bonding_mm2(line) == need


def test_no_line_conductor_is_none():
    """A line of 0 mm2 means that there is no AC: the bond stays at 8 AWG."""
    assert bonding_mm2(0.0) == bonding_mm2(8.37) == 8.37
    assert bonding_mm2(8.4) == 8.4
