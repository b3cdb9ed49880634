"""Exact distances."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from layout.geometry.distance import (
    circle_gap_mm,
    contains_point,
    inset_mm,
    nearest_paths,
    nearest_segments,
    nearest_shapes,
    winding,
)
from layout.geometry.path import Arc, Line, Path
from layout.geometry.polygon import inside_polygon, outside_polygon
from layout.geometry.region import Region
from layout.geometry.shapes import circle, rectangle
from tests.geometry.strategies import circles, paths, regions, spots


def apart_mm(first: Path | Region, second: Path | Region) -> float:
    """Return the distance of two areas."""
    return nearest_shapes(first, second).distance_mm


ARC = Arc((10, 0), (-10, 0), (0, 0), ccw=True)


@pytest.mark.parametrize(
    ("first", "second", "apart"),
    [
        pytest.param(Line((0, 0), (10, 0)), Line((0, 3), (10, 3)), 3, id="parallel lines"),
        pytest.param(Line((0, 0), (10, 0)), Line((13, 4), (13, 9)), 5, id="ends of lines"),
        pytest.param(ARC, Line((-20, 15), (20, 15)), 5, id="line over an arc"),
        pytest.param(ARC, Line((-20, -15), (20, -15)), 15, id="line below a half circle: to its ends"),
        pytest.param(ARC, Line((-2, 2), (2, 2)), 10 - math.hypot(2, 2), id="line within an arc"),
        pytest.param(ARC, Arc((6, 0), (-6, 0), (0, 0), ccw=True), 4, id="concentric arcs"),
        pytest.param(ARC, Arc((36, 0), (24, 0), (30, 0), ccw=True), 14, id="arcs side by side"),
        pytest.param(ARC, Arc((6, 30), (-6, 30), (0, 30), ccw=False), 14, id="arcs facing"),
        pytest.param(ARC, Arc((0, 10), (0, -10), (0, 0), ccw=True), 0, id="arcs on one circle"),
    ],
)
def test_pieces_are_as_far_apart_as_drawn(first, second, apart: float) -> None:
    """The distance of two pieces is the one worked out by hand, from either side, between its two points."""
    way = nearest_segments(first, second)
    assert way.distance_mm == pytest.approx(apart)
    assert math.dist(way.first, way.second) == pytest.approx(apart, abs=1e-9)
    assert nearest_segments(second, first).distance_mm == pytest.approx(apart)


@given(paths, paths, spots)
def test_distance_is_symmetric_and_moves_along(first: Path, second: Path, by: tuple[float, float]) -> None:
    """Distance does not depend on which is named first, nor on where both stand together."""
    second = second.moved(*by)
    apart = apart_mm(first, second)
    assert apart_mm(second, first) == pytest.approx(apart)
    assert apart_mm(first.turned(33), second.turned(33)) == pytest.approx(apart, abs=1e-6)


@given(paths, paths, spots)
def test_distance_agrees_with_polygons_either_side(first: Path, second: Path, by: tuple[float, float]) -> None:
    """GEOS measures less between outside polygons and more between inside ones, by two tolerances at most."""
    second = second.moved(*by)
    apart = apart_mm(first, second)
    low = outside_polygon(first, 0.001).distance(outside_polygon(second, 0.001))
    high = inside_polygon(first, 0.001).distance(inside_polygon(second, 0.001))
    assert low - 1e-6 <= apart <= high + 1e-6
    assert high - low <= 0.0041


@given(circles, circles)
def test_circles_are_measured_by_their_centres(first: Path, second: Path) -> None:
    """Between circles the general distance is that of the formula, or 0 where they overlap."""
    (a, b) = (first.bounds(), second.bounds())
    gap = circle_gap_mm(a.centre, a.width, b.centre, b.width)
    assert apart_mm(first, second) == pytest.approx(max(0.0, gap), abs=1e-6)


@given(paths, st.tuples(st.floats(-250, 250), st.floats(-250, 250)))
def test_point_is_inside_as_a_fine_polygon_says(path: Path, spot: tuple[float, float]) -> None:
    """A point in the inside polygon is inside, one off the outside polygon is not, in either sense of travel."""
    point = shapely.Point(spot)
    for travelled in (path, path.reversed()):
        if inside_polygon(path).contains(point):
            assert contains_point(travelled, spot)
            assert winding(travelled, spot) == (1 if travelled.area() > 0 else -1)
        if not outside_polygon(path).covers(point):
            assert not contains_point(travelled, spot)


def test_bulge_counts_and_bay_does_not() -> None:
    """A point between chord and arc is inside a bulge and outside a bay; the outline itself is inside."""
    bulge = Path((Line((-10, 0), (10, 0)), ARC), closed=True)
    assert contains_point(bulge, (0, 9.999))
    assert not contains_point(bulge, (0, 10.001))
    assert contains_point(bulge, (0, 10))
    assert contains_point(bulge, (0, 10.001), touch_mm=0.01)
    box = [Line((-10, 20), (-10, 0)), Arc((-10, 0), (10, 0), (0, 0), ccw=False), Line((10, 0), (10, 20))]
    bay = Path((*box, Line((10, 20), (-10, 20))), closed=True)
    assert not contains_point(bay, (0, 9.999))
    assert contains_point(bay, (0, 10.001))


@given(regions())
def test_hole_is_not_part_of_the_region(region: Region) -> None:
    """A small shape in a hole is as far from the region as from the hole's edge, not 0."""
    middle = region.holes[0].bounds().centre
    dot = circle(2, at=middle)
    assert apart_mm(region, dot) == pytest.approx(nearest_paths(region.holes[0], dot).distance_mm)
    assert apart_mm(region, dot.moved(0, 100)) == 0


def test_shape_within_another_is_not_apart() -> None:
    """A shape wholly inside another is at distance 0."""
    assert apart_mm(circle(10), rectangle(100, 100)) == 0
    assert nearest_shapes(rectangle(100, 100), circle(10)).distance_mm == 0


def test_inset_is_the_margin_left() -> None:
    """A box inside a panel keeps its least margin; one that stands out by 3 mm is -3; over a hole it is negative."""
    panel = Region(rectangle(400, 300, at=(200, 150)), (circle(50, at=(300, 150)),))
    assert inset_mm(rectangle(40, 40, at=(30, 150)), panel) == pytest.approx(10)
    assert inset_mm(rectangle(40, 40, at=(17, 150)), panel) == pytest.approx(-3)
    assert inset_mm(circle(40, at=(17, 150)), panel) == pytest.approx(-3)
    assert inset_mm(rectangle(40, 40, at=(240, 150)), panel) == pytest.approx(15)
    assert inset_mm(rectangle(80, 80, at=(300, 150)), panel) < 0


def test_inset_sees_a_bulge_between_corners() -> None:
    """A circle that crosses another off its quarter points stands out; one that touches from within does not."""
    assert inset_mm(circle(30), circle(60, at=(9, 12))) == pytest.approx(0, abs=1e-9)
    assert -0.09 < inset_mm(circle(30), circle(60, at=(9, 12.1))) < -0.07


@given(paths, paths, spots)
def test_inset_agrees_with_polygons(inner: Path, outer: Path, by: tuple[float, float]) -> None:
    """A shape that fine polygons show inside has an inset of their distance; one that they show outside, below 0."""
    inner = inner.moved(*by)
    inset = inset_mm(inner, outer)
    if inside_polygon(outer, 0.001).contains(outside_polygon(inner, 0.001)):
        apart = outside_polygon(inner, 0.001).distance(inside_polygon(outer, 0.001).boundary)
        assert apart - 1e-6 <= inset <= apart + 0.003
    if inside_polygon(inner, 0.001).difference(outside_polygon(outer, 0.001)).area > 0.01:
        assert inset < 0
