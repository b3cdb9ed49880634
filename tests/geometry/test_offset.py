"""Offsets of paths with true arcs."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from layout.geometry.distance import nearest_paths, path_distance_to_point_mm
from layout.geometry.offset import CornerJoin, offset, offset_region
from layout.geometry.polygon import inside_polygon, outside_polygon
from layout.geometry.region import Region
from layout.geometry.shapes import circle, polygon, rectangle, slot
from tests.geometry.strategies import convex, paths, regions

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from layout.geometry.path import Path

BAY = polygon([(0, 0), (100, 0), (100, 100), (0, 100), (0, 60), (80, 60), (80, 40), (0, 40)])


@given(convex, st.floats(0.1, 80))
def test_grown_convex_area_follows_steiner(path: Path, by: float) -> None:
    """A convex shape grown by d has area A + L d + pi d^2 (Steiner's formula) and length L + 2 pi d."""
    (grown,) = offset(path, by)
    assert grown.area() == pytest.approx(path.area() + path.length() * by + math.pi * by**2, rel=1e-9)
    assert grown.outer.length() == pytest.approx(path.length() + math.tau * by, rel=1e-9)
    assert grown.holes == ()


@given(st.integers(20, 200), st.integers(20, 200), st.floats(0.1, 9.9))
def test_shrunk_rectangle_is_the_smaller_rectangle(width: int, height: int, by: float) -> None:
    """A rectangle shrunk by d keeps sharp corners; grown with mitres it is the larger rectangle."""
    (less,) = offset(rectangle(width, height), -by)
    (more,) = offset(rectangle(width, height), by, join=CornerJoin.MITRE)
    assert less.area() == pytest.approx((width - 2 * by) * (height - 2 * by))
    assert more.area() == pytest.approx((width + 2 * by) * (height + 2 * by))


def swollen(area: BaseGeometry, by: float, *, over: bool) -> BaseGeometry:
    """Union of each triangle's hull with a disc's corners: a second way to the offset, by polygons only."""
    disc = circle(2 * by)
    corners = shapely.get_coordinates(outside_polygon(disc, 0.01) if over else inside_polygon(disc, 0.01))
    triangles = shapely.get_parts(shapely.constrained_delaunay_triangles(area))
    at, owner = shapely.get_coordinates(triangles, return_index=True)
    spread = (at[:, None, :] + corners[None]).reshape(-1, 2)
    clouds = shapely.multipoints(spread, indices=np.repeat(owner, len(corners)))
    return shapely.union_all(shapely.convex_hull(clouds))


@settings(max_examples=20)
@given(paths, st.integers(-40, 40).filter(bool))
def test_offset_area_lies_between_sums_of_triangles_and_discs(path: Path, by: int) -> None:
    """Polygon sums (all hulls of triangle plus disc, made by GEOS) over and under bracket the exact area."""
    area = sum(region.area() for region in offset(path, by))
    over, under = outside_polygon(path, 0.02), inside_polygon(path, 0.02)
    if by > 0:
        low, high = swollen(under, by, over=False).area, swollen(over, by, over=True).area
    else:
        around = shapely.box(*over.bounds).buffer(-by + 1, join_style="mitre")
        low = under.difference(swollen(around.difference(under), -by, over=True)).area
        high = over.difference(swollen(around.difference(over), -by, over=False)).area
    assert low - 1e-6 <= area <= high + 1e-6
    assert high - low <= 0.08 * (path.length() + 10 * abs(by))


@given(paths, st.floats(-40, 40))
def test_every_offset_point_is_exactly_as_far_away(path: Path, by: float) -> None:
    """No point of the new outline is nearer to the old one than the offset, and none farther."""
    assume(abs(by) > 0.01)
    for region in offset(path, by):
        for outline in (region.outer, *region.holes):
            for piece in outline.segments:
                assert path_distance_to_point_mm(path, piece.point_at(0.37)) == pytest.approx(abs(by), abs=3e-5)


@given(regions(), st.floats(-8, 25))
def test_region_grows_as_its_holes_shrink(region: Region, by: float) -> None:
    """A region's offset agrees with that of GEOS, holes included."""
    assume(abs(by) > 0.01)
    area = sum(part.area() for part in offset_region(region, by))
    other = outside_polygon(region, 0.001).buffer(by, quad_segs=256).area
    assert area == pytest.approx(other, abs=0.003 * 2500)


def test_closing_bay_leaves_a_hole() -> None:
    """A bay with a narrow mouth grown until the mouth closes leaves a hole; grown further it fills."""
    jar = polygon(
        [
            (0, 0),
            (100, 0),
            (100, 100),
            (55, 100),
            (55, 80),
            (80, 80),
            (80, 20),
            (20, 20),
            (20, 80),
            (45, 80),
            (45, 100),
            (0, 100),
        ]
    )
    (open_still,) = offset(jar, 4)
    (shut,) = offset(jar, 10)
    (full,) = offset(jar, 31)
    assert (len(open_still.holes), len(shut.holes), len(full.holes)) == (0, 1, 0)
    notch = 2 * (50 - (2.5 * math.sqrt(75) + 50 * math.asin(0.5)))  # between the round lips of the mouth
    assert shut.holes[0].area() == pytest.approx(40 * 40 + notch)


def test_shrinking_parts_the_area() -> None:
    """A frame with a thin back, shrunk past half of it, falls in two; shrunk past its legs nothing is left."""
    assert len(offset(BAY, -9)) == 1
    assert [region.area() for region in offset(BAY, -12)] == [pytest.approx(1223.68252, abs=1e-4)] * 2
    assert offset(BAY, -21) == ()


def test_walls_that_just_meet_vanish() -> None:
    """A bay of 20 mm grown by exactly 10 closes without a seam."""
    (grown,) = offset(BAY, 10, join=CornerJoin.MITRE)
    assert grown.holes == ()
    assert grown.area() == pytest.approx(120 * 120)


def test_mitre_keeps_round_where_too_sharp() -> None:
    """A corner of less than 30 degrees is rounded even with mitres, so that no needle stands out."""
    needle = polygon([(0, 0), (100, 0), (0, 20)])
    (grown,) = offset(needle, 5, join=CornerJoin.MITRE)
    assert grown.outer.bounds().x1 == pytest.approx(105)


def test_kerf_of_a_slot_is_a_slot() -> None:
    """The path of a 6 mm tool inside a slot of 60 x 20 is the slot of 54 x 14, made of four pieces."""
    (inside,) = offset(slot(60, 20), -3)
    assert len(inside.outer.segments) == 4
    assert inside.area() == pytest.approx(slot(54, 14).area())


def test_circle_stays_one() -> None:
    """A circle grown and shrunk is the circle again, and it vanishes at its radius."""
    (grown,) = offset(circle(50), 7)
    assert grown.area() == pytest.approx(math.pi * 32**2)
    assert offset(circle(50), -25) == ()
    assert offset(circle(50), -30) == ()


def test_offset_by_nothing_is_the_shape() -> None:
    """An offset of 0 gives the region back; one that is not a number is refused."""
    assert offset(circle(50), 0) == (Region(circle(50)),)
    with pytest.raises(ValueError, match="distance_mm"):
        offset(circle(50), math.inf)


@given(paths, st.floats(0.5, 30))
def test_growing_then_shrinking_covers_the_shape(path: Path, by: float) -> None:
    """Closing (grow, then shrink) never loses any of the shape."""
    back = shapely.union_all(
        [outside_polygon(part, 0.001) for region in offset(path, by) for part in offset_region(region, -by)]
    )
    assert inside_polygon(path, 0.001).difference(back.buffer(0.002)).area < 1e-6


@given(paths, st.floats(0.5, 30))
def test_grown_outline_clears_the_shape(path: Path, by: float) -> None:
    """The grown outline is exactly the offset away from the old one."""
    assert nearest_paths(offset(path, by)[0].outer, path).distance_mm == pytest.approx(by, abs=3e-5)
