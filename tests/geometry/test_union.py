"""Shapes that overlap become one outline, held against another library's polygons."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from layout.geometry.shapes import circle, rectangle, slot
from layout.geometry.union import meeting, union


def polygon(path) -> shapely.Polygon:
    """Return a path as a polygon of chords within 0.0005 mm."""
    return shapely.Polygon(path.points(0.0005))


def test_a_circle_with_a_key_is_one_outline_with_true_arcs():
    """Area: circle, plus the key, less the segment of the circle that the key covers, by hand."""
    (region,) = union([circle(20.0), rectangle(4.0, 24.0)])
    assert region.holes == ()
    half = math.asin(2.0 / 10.0)
    covered = 2 * (2.0 * 10.0 * math.cos(half) + 100.0 * half)
    assert region.area() == pytest.approx(math.pi * 100.0 + 4.0 * 24.0 - covered, abs=1e-6)


def test_crossed_slots_and_four_joined_circles():
    """Two crossed slots have no loose pieces; four circles in a ring leave the middle standing as a hole."""
    (cross,) = union([slot(30.0, 6.0), slot(30.0, 6.0, turn_deg=90.0)])
    assert cross.holes == ()
    ring = [circle(12.0, at=at) for at in ((5, 5), (-5, 5), (-5, -5), (5, -5))]
    (joined,) = union(ring)
    assert len(joined.holes) == 1


def test_what_lies_apart_stays_apart():
    """Two shapes that do not meet are two regions, as they were."""
    first, second = rectangle(10.0, 10.0), rectangle(5.0, 5.0, at=(20.0, 0.0))
    assert [region.area() for region in union([first, second])] == [100.0, 25.0]
    assert meeting([first, second]) == ((0,), (1,))


def test_shapes_that_share_a_side_are_one():
    """Two rectangles side by side have one outline without the side between them."""
    (whole,) = union([rectangle(10.0, 10.0), rectangle(10.0, 10.0, at=(10.0, 0.0))])
    assert whole.area() == pytest.approx(200.0)
    assert len(whole.outer.segments) == 4


SHAPES = st.one_of(
    st.builds(
        lambda d, x, y: circle(d, at=(x, y)), st.integers(4, 30), st.integers(-20, 20), st.integers(-20, 20)
    ),
    st.builds(
        lambda w, h, x, y: rectangle(w, h, at=(x, y)),
        st.integers(4, 40), st.integers(4, 40), st.integers(-20, 20), st.integers(-20, 20),
    ),
    st.builds(
        lambda w, x, y, turn: slot(w + 8.0, w, at=(x, y), turn_deg=turn),
        st.integers(3, 12), st.integers(-20, 20), st.integers(-20, 20), st.integers(0, 179),
    ),
)  # fmt: skip


@given(st.lists(SHAPES, min_size=2, max_size=4))
def test_area_agrees_with_polygons(paths):
    """The area of the union is that of the chords' union, to what chords can tell."""
    wanted = shapely.union_all([polygon(path) for path in paths])
    assert sum(region.area() for region in union(paths)) == pytest.approx(wanted.area, abs=0.3)
    groups = meeting(paths)
    assert sorted(number for group in groups for number in group) == list(range(len(paths)))
