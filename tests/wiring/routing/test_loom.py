"""Lengths along a loom, by hand and by law."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.wiring.routing.loom import loom_mm, loom_way, square_mm

LOOM = (((0.0, 0.0), (0.0, 100.0), (200.0, 100.0)), ((0.0, 40.0), (150.0, 40.0)))
POINTS = st.tuples(st.integers(-50, 250).map(float), st.integers(-50, 150).map(float))


def test_by_hand():
    """From (100, 120) 20 mm square to the loom, 100 along, 60 down, and 10 off at (-10, 40)."""
    assert loom_mm(LOOM, (100.0, 120.0), (-10.0, 40.0)) == pytest.approx(20 + 100 + 60 + 10)


def test_over_a_branch():
    """The second line starts in the middle of the first; the wire changes over there."""
    assert loom_mm(LOOM, (150.0, 40.0), (0.0, 0.0)) == pytest.approx(150 + 40)


def test_without_loom():
    """Without lines a wire goes square from point to point."""
    assert loom_mm((), (0.0, 0.0), (30.0, 40.0)) == 70


def test_lines_that_do_not_meet():
    """Where the loom is in two pieces the wire goes square from one end to the other."""
    apart = (((0.0, 0.0), (10.0, 0.0)), ((100.0, 0.0), (110.0, 0.0)))
    assert loom_mm(apart, (0.0, 0.0), (110.0, 0.0)) == 110


@given(a=POINTS, b=POINTS)
def test_same_both_ways_and_never_shorter_than_straight(a, b):
    """A wire is as long from b to a, and at least as long as the straight line."""
    found = loom_mm(LOOM, a, b)
    assert found == pytest.approx(loom_mm(LOOM, b, a))
    assert found >= ((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5 - 1e-9


def test_square():
    """Along x and along y."""
    assert square_mm((0, 0), (-3, 4)) == 7


@given(a=POINTS, b=POINTS)
def test_the_way_that_is_drawn_is_as_long_as_the_one_that_is_counted(a, b):
    """Corner by corner the way from a to b has the length that the schedule takes."""
    way = loom_way(LOOM, a, b)
    assert (way[0], way[-1]) == (a, b)
    assert sum(math.dist(p, q) for p, q in pairwise(way)) == pytest.approx(loom_mm(LOOM, a, b))
