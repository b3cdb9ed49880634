"""Convex pieces, Minkowski sums, and where one shape may stand beside or inside another.

A polygon here is shapely's. Sets of positions are areas of offsets (dx, dy) of the second shape;
their edges are allowed positions (shapes that only touch), their insides are not.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import shapely
import shapely.affinity

from layout.geometry.polygon import TOLERANCE_MM, outside_polygon
from layout.geometry.shapes import circle

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shapely import Polygon
    from shapely.geometry.base import BaseGeometry

    from layout.geometry.box import Point

FLAT_MM = 1e-7
"""Corners nearer than this to each other, or to a straight side, are no corners of their own, in mm."""


def convex_pieces(area: BaseGeometry) -> tuple[Polygon, ...]:
    """Return convex polygons that together cover a polygon (or several) exactly, without overlap.

    The corners are those of the given polygon, none new. The area is cut in triangles, which are
    joined again across shared sides while they stay convex, longest shared side first. The order
    depends on the coordinates only.
    """
    pieces: list[Polygon] = []
    for part in _polygons(area):
        if not part.interiors and _is_convex(_corners(part)):
            pieces.append(part)
        else:
            pieces.extend(shapely.Polygon(corners) for corners in _merged(_triangles(part)))
    return tuple(pieces)


def minkowski(first: Polygon, second: Polygon) -> Polygon:
    """Return the Minkowski sum of two convex polygons: all sums of a point of each.

    Raises
    ------
    ValueError
        When one is not convex.
    """
    rings = [_corners(first), _corners(second)]
    if not all(_is_convex(ring) for ring in rings):
        raise ValueError("a Minkowski sum is made of two convex polygons")
    return shapely.Polygon(_sum(*rings))


def forbidden_offsets(
    fixed: BaseGeometry, moving: BaseGeometry, *, gap_mm: float = 0.0, tolerance_mm: float = TOLERANCE_MM
) -> BaseGeometry:
    """Return the offsets of ``moving`` at which it would come nearer to ``fixed`` than ``gap_mm``.

    Parameters
    ----------
    fixed, moving
        Polygons with or without holes, each in the frame of its own origin.
    gap_mm
        Least distance. The disc that stands for it is a polygon outside the true one by at most
        ``tolerance_mm``, so the answer is on the safe side.
    """
    if not gap_mm >= 0:
        raise ValueError(f"gap_mm must be at least 0, got {gap_mm}")
    mirrored = [[(-x, -y) for x, y in _corners(piece)] for piece in convex_pieces(moving)]
    if gap_mm > 0:
        disc = _corners(outside_polygon(circle(2 * gap_mm), tolerance_mm))
        mirrored = [_sum(piece, disc) for piece in mirrored]
    sums = [shapely.Polygon(_sum(_corners(piece), other)) for piece in convex_pieces(fixed) for other in mirrored]
    return shapely.union_all(sums) if sums else shapely.Polygon()


def _polygons(geometry: BaseGeometry) -> list[Polygon]:
    return [part for part in shapely.get_parts(geometry) if part.geom_type == "Polygon" and not part.is_empty]


def _corners(polygon: Polygon) -> list[Point]:
    """Return the corners of the outer ring, counter-clockwise, starting at the lowest (then leftmost)."""
    ring: list[Point] = []
    for x, y in shapely.get_coordinates(polygon.exterior)[:-1]:
        if not ring or math.dist(ring[-1], (x, y)) > FLAT_MM:
            ring.append((float(x), float(y)))
    while len(ring) > 1 and math.dist(ring[0], ring[-1]) <= FLAT_MM:
        ring.pop()
    if _area2(ring) < 0:
        ring.reverse()
    return _from_lowest(ring)


def _area2(ring: Sequence[Point]) -> float:
    x, y = ring[0]
    return sum(
        (ax - x) * (by - y) - (bx - x) * (ay - y) for (ax, ay), (bx, by) in zip(ring, [*ring[1:], ring[0]], strict=True)
    )


def _is_convex(ring: Sequence[Point]) -> bool:
    """Tell whether a counter-clockwise ring has no bay deeper than ``FLAT_MM`` and goes round once."""
    turned = 0.0
    for i, (x, y) in enumerate(ring):
        (px, py), (nx, ny) = ring[i - 1], ring[(i + 1) % len(ring)]
        ax, ay, bx, by = x - px, y - py, nx - x, ny - y
        cross = ax * by - ay * bx
        if cross < -FLAT_MM * math.hypot(nx - px, ny - py):
            return False
        turned += math.atan2(cross, ax * bx + ay * by)
    return abs(turned - math.tau) < 1e-3


def _triangles(polygon: Polygon) -> list[list[Point]]:
    found = shapely.get_parts(shapely.constrained_delaunay_triangles(polygon))
    return sorted(ring for ring in map(_corners, found) if len(ring) == 3)


def _merged(pieces: list[list[Point]]) -> list[list[Point]]:
    """Join pieces across shared sides, longest first, while the joined piece is convex."""
    rings: dict[int, list[Point]] = dict(enumerate(pieces))
    owner: dict[tuple[Point, Point], int] = {
        side: index for index, ring in rings.items() for side in zip(ring, [*ring[1:], ring[0]], strict=True)
    }
    shared = sorted(
        (side for side in owner if side[0] < side[1] and side[::-1] in owner), key=lambda s: (-math.dist(*s), s)
    )
    for start, end in shared:
        left, right = owner[(start, end)], owner[(end, start)]
        joined = _joined(rings[left], rings[right], start, end)
        if left != right and _is_convex(joined):
            rings[left] = joined
            for side in zip(rings[right], [*rings[right][1:], rings[right][0]], strict=True):
                owner[side] = left
            del rings[right]
    return [rings[index] for index in sorted(rings)]


def _joined(left: list[Point], right: list[Point], start: Point, end: Point) -> list[Point]:
    """Return the ring of two pieces that share the side from ``start`` to ``end`` of the left one."""
    i, j = left.index(end), right.index(start)
    return left[i:] + left[:i] + (right[j:] + right[:j])[1:-1]


def _sum(first: list[Point], second: list[Point]) -> list[Point]:
    """Return the corners of the sum of two convex counter-clockwise rings."""
    first, second = _from_lowest(first), _from_lowest(second)
    corners, i, j = [], 0, 0
    while i < len(first) or j < len(second):
        a, b = first[i % len(first)], second[j % len(second)]
        corners.append((a[0] + b[0], a[1] + b[1]))
        a_next, b_next = first[(i + 1) % len(first)], second[(j + 1) % len(second)]
        cross = (a_next[0] - a[0]) * (b_next[1] - b[1]) - (a_next[1] - a[1]) * (b_next[0] - b[0])
        step_first = j >= len(second) or (i < len(first) and cross >= 0)
        step_second = i >= len(first) or (j < len(second) and cross <= 0)
        i, j = i + step_first, j + step_second
    return corners


def _from_lowest(ring: list[Point]) -> list[Point]:
    low = min(range(len(ring)), key=lambda i: (ring[i][1], ring[i][0]))
    return ring[low:] + ring[:low]
