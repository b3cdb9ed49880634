"""Polygons on the safe side."""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING

import shapely
from hypothesis import given
from hypothesis import strategies as st

from layout.geometry.distance import path_distance_to_point_mm
from layout.geometry.polygon import TOLERANCE_MM, inside_polygon, outside_polygon
from layout.geometry.region import Region
from layout.geometry.shapes import circle, polygon
from tests.geometry.strategies import paths, regions, turns

if TYPE_CHECKING:
    from layout.geometry.path import Path


@given(paths, turns)
def test_true_shape_lies_between_the_two(path: Path, degrees: float) -> None:
    """Points on the true outline lie in the outside polygon and not within the inside one."""
    path = path.turned(degrees)
    outside, inside = outside_polygon(path).buffer(1e-7), inside_polygon(path).buffer(-1e-7)
    points = [shapely.Point(piece.point_at(i / 7)) for piece in path.segments for i in range(7)]
    assert all(outside.covers(point) for point in points)
    assert not any(inside.contains(point) for point in points)
    assert inside.area < path.area() < outside.area


@given(paths)
def test_both_keep_within_the_tolerance(path: Path) -> None:
    """No corner and no middle of a side is farther than 0.005 mm from the true outline."""
    for made in (outside_polygon(path), inside_polygon(path)):
        ring = shapely.get_coordinates(made.exterior)
        for a, b in itertools.pairwise(ring):
            middle = (float(a[0] + b[0]) / 2, float(a[1] + b[1]) / 2)
            assert path_distance_to_point_mm(path, middle) <= TOLERANCE_MM + 1e-9
            assert path_distance_to_point_mm(path, (float(a[0]), float(a[1]))) <= TOLERANCE_MM + 1e-9


@given(regions(), st.sampled_from([0.1, 0.01]))
def test_holes_are_safe_the_other_way(region: Region, tolerance: float) -> None:
    """Round a region the holes are cut too small, within it too large; the area lies between."""
    outside, inside = outside_polygon(region, tolerance), inside_polygon(region, tolerance)
    assert len(outside.interiors) == len(region.holes)
    assert inside.area <= region.area() + 1e-6 <= outside.area + 2e-6
    assert outside.buffer(1e-7).contains(inside)


def test_box_of_the_outside_polygon_is_that_of_the_shape() -> None:
    """Tangents touch a circle at its four quarter points, so its box grows by nothing."""
    assert outside_polygon(circle(52)).bounds == (-26.0, -26.0, 26.0, 26.0)
    odd = circle(52).turned(33)
    assert max(abs(a - b) for a, b in zip(outside_polygon(odd).bounds, (-26, -26, 26, 26), strict=True)) < 1e-9


def test_straight_shapes_are_kept() -> None:
    """A polygon stands for itself."""
    path = polygon([(0, 0), (30, 0), (0, 20)])
    assert outside_polygon(path).equals(inside_polygon(path))
    assert outside_polygon(path).area == 300


def test_ring_that_touches_itself_is_parted() -> None:
    """A thin bay that the polygon's tolerance closes still gives valid areas."""
    path = polygon([(0, 0), (10, 0), (10, 10), (0, 10)])
    pinched = Region(path, (circle(10, at=(5, 5)),))
    made = inside_polygon(pinched, 0.05)
    assert made.is_valid
    assert made.area <= pinched.area()
