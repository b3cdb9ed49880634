"""Convex pieces and sets of positions."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
import shapely
import shapely.affinity
from hypothesis import assume, given
from hypothesis import strategies as st

from layout.geometry.convex import convex_pieces, forbidden_offsets, minkowski
from layout.geometry.polygon import outside_polygon
from tests.geometry.strategies import convex, convex_polygons, paths, regions, spots

if TYPE_CHECKING:
    from layout.geometry.path import Path
    from layout.geometry.region import Region


@given(st.one_of(paths, regions()))
def test_pieces_are_convex_and_cover_exactly(shape: Path | Region) -> None:
    """The pieces are convex, do not overlap, and make up the whole polygon; a second run gives the same."""
    whole = outside_polygon(shape, 0.5)
    pieces = convex_pieces(whole)
    assert pieces == convex_pieces(whole)
    assert all(piece.convex_hull.area == pytest.approx(piece.area) for piece in pieces)
    assert sum(piece.area for piece in pieces) == pytest.approx(whole.area)
    assert shapely.union_all(pieces).symmetric_difference(whole).area < 1e-6 * whole.area


@given(convex_polygons(), convex)
def test_sum_is_the_hull_of_all_sums(first: Path, second: Path) -> None:
    """The Minkowski sum of two convex polygons is the hull of all sums of their corners, in either order."""
    a, b = outside_polygon(first, 0.5), outside_polygon(second, 0.5)
    corners = [(ax + bx, ay + by) for ax, ay in shapely.get_coordinates(a) for bx, by in shapely.get_coordinates(b)]
    assert minkowski(a, b).symmetric_difference(shapely.MultiPoint(corners).convex_hull).area < 1e-6
    assert minkowski(a, b).equals_exact(minkowski(b, a), 1e-6, normalize=True)


def test_sum_takes_convex_polygons_only() -> None:
    """A polygon with a bay is refused, not summed wrongly."""
    bay = shapely.Polygon([(0, 0), (10, 0), (10, 10), (5, 2), (0, 10)])
    with pytest.raises(ValueError, match="convex"):
        minkowski(bay, shapely.box(0, 0, 1, 1))


@given(paths, paths, spots, st.sampled_from([0.0, 12.0]))
def test_forbidden_offsets_are_those_that_come_too_near(
    first: Path, second: Path, by: tuple[float, float], gap: float
) -> None:
    """An offset inside the set brings the shapes nearer than the gap, one outside leaves the gap."""
    fixed, moving = outside_polygon(first, 0.5), outside_polygon(second, 0.5)
    refused = forbidden_offsets(fixed, moving, gap_mm=gap)
    spot = shapely.Point(by)
    assume(refused.boundary.distance(spot) > 0.01)
    moved = shapely.affinity.translate(moving, *by)
    near = fixed.intersects(moved) if gap == 0 else fixed.distance(moved) < gap
    assert refused.contains(spot) == near


def test_sets_of_boxes_are_boxes() -> None:
    """Between two boxes the forbidden set is the box of both sizes."""
    refused = forbidden_offsets(shapely.box(0, 0, 30, 20), shapely.box(-5, -5, 5, 5))
    assert refused.equals(shapely.box(-5, -5, 35, 25))
    with pytest.raises(ValueError, match="gap_mm"):
        forbidden_offsets(shapely.box(0, 0, 1, 1), shapely.box(0, 0, 1, 1), gap_mm=-1)
