"""Convex pieces with round edges, and the rows of whole numbers that keep two of them apart.

A piece is the convex hull of some points, grown by a radius: a circle is one point, a slot two, a rounded
rectangle four. The offsets at which two pieces collide are known exactly by their support function (how far
they reach in a direction), so rows can be made in any direction and rounded to either side.
"""

from __future__ import annotations

import math
from enum import StrEnum
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.engine.problem import SCALE, HalfPlane

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layout.geometry.box import Point

FUZZ = 1e-6
"""Steps that count as nothing when a real number is rounded."""

LARGEST_NORMAL = 1000
"""Largest entry of the whole-number normal that stands for a slanted side."""

ROUND_ENOUGH_MM = 4.0
"""From this radius on a round edge gets slanted rows of its own; below, the square corner stands for it."""

FAR_ENOUGH_MM = 30.0
"""From this gap on the corner of a gap gets slanted rows of its own."""


class Rounding(StrEnum):
    """To which side shapes are rounded: ``safe`` forbids what touches them, ``loose`` only what surely does."""

    SAFE = "safe"
    LOOSE = "loose"


@dataclass(frozen=True, slots=True)
class Piece:
    """A convex piece: the hull of ``points`` (corners, counter-clockwise), grown by ``radius`` mm."""

    points: tuple[Point, ...]
    radius: float = 0.0

    def reach(self, a: float, b: float) -> float:
        """Return how far the piece reaches along (a, b): the largest ``a*x + b*y`` in it."""
        return max(a * x + b * y for x, y in self.points) + self.radius * math.hypot(a, b)

    def moved(self, dx: float, dy: float) -> Piece:
        """Return the piece shifted by (dx, dy) mm."""
        return Piece(tuple((x + dx, y + dy) for x, y in self.points), self.radius)

    def turned(self, quarter: int) -> Piece:
        """Return the piece turned about the origin by 0, 90, 180 or 270 degrees counter-clockwise."""
        cos, sin = {0: (1, 0), 90: (0, 1), 180: (-1, 0), 270: (0, -1)}[quarter]
        return Piece(tuple((cos * x - sin * y, sin * x + cos * y) for x, y in self.points), self.radius)

    def grown(self, by_mm: float) -> Piece:
        """Return the piece with more radius."""
        return Piece(self.points, self.radius + by_mm)

    def widened(self, *, left: float, right: float, above: float, below: float) -> Piece:
        """Return the piece swept over a box: what it takes with side room in its own frame."""
        if not (left or right or above or below):
            return self
        shifts = ((-left, -below), (right, -below), (right, above), (-left, above))
        return Piece(hull((x + dx, y + dy) for x, y in self.points for dx, dy in shifts), self.radius)

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Upright box around it: x0, y0, x1, y1."""
        return -self.reach(-1, 0), -self.reach(0, -1), self.reach(1, 0), self.reach(0, 1)


def box_piece(x0: float, y0: float, x1: float, y1: float) -> Piece:
    """Return an upright rectangle as a piece."""
    return Piece(((x0, y0), (x1, y0), (x1, y1), (x0, y1)))


def hull(points: Iterable[Point]) -> tuple[Point, ...]:
    """Return the corners of the convex hull, counter-clockwise, from the leftmost (then lowest) on."""
    ordered = sorted(set(points))
    if len(ordered) < 3:
        return tuple(ordered)

    def half(chain: list[Point]) -> list[Point]:
        kept: list[Point] = []
        for p in chain:
            while len(kept) > 1 and _cross(kept[-2], kept[-1], p) <= 1e-9:
                kept.pop()
            kept.append(p)
        return kept[:-1]

    return tuple(half(ordered) + half(ordered[::-1]))


def _cross(o: Point, p: Point, q: Point) -> float:
    return (p[0] - o[0]) * (q[1] - o[1]) - (p[1] - o[1]) * (q[0] - o[0])


@cache
def fan(count: int) -> tuple[tuple[int, int], ...]:
    """Return whole-number directions evenly round, the four upright ones among them."""
    return tuple(
        normal(math.cos(math.tau * k / count), math.sin(math.tau * k / count), largest=60) for k in range(count)
    )


@cache
def normal(nx: float, ny: float, *, largest: int = LARGEST_NORMAL) -> tuple[int, int]:
    """Return a whole-number direction near (nx, ny); upright directions are exact."""
    size = math.hypot(nx, ny)
    nx, ny = nx / size, ny / size
    if abs(nx) < 1e-9 or abs(ny) < 1e-9:
        return (round(nx), round(ny))
    if abs(nx) >= abs(ny):
        slope = Fraction(abs(ny) / abs(nx)).limit_denominator(largest)
        a, b = slope.denominator, slope.numerator
    else:
        slope = Fraction(abs(nx) / abs(ny)).limit_denominator(largest)
        a, b = slope.numerator, slope.denominator
    return (a if nx > 0 else -a, b if ny > 0 else -b)


def side_normals(points: tuple[Point, ...]) -> list[tuple[int, int]]:
    """Return the outward direction of each side of a hull; of a line both, of a point none."""
    if len(points) < 2:
        return []
    pairs = zip(points, (*points[1:], points[0]), strict=True)
    return [normal(y1 - y0, x0 - x1) for (x0, y0), (x1, y1) in pairs]


def apart_rows(first: Piece, second: Piece, gap_mm: float, side: Rounding) -> tuple[HalfPlane, ...]:
    """Return the rows of ``apart``, empty when nothing is forbidden."""
    if side is Rounding.SAFE:
        rows = [
            (a, b, math.ceil(SCALE * _sum_reach(first, second, gap_mm, a, b) - FUZZ))
            for a, b in _directions(first, second, gap_mm)
        ]
    else:
        rows = _inscribed(first, second, gap_mm)
    return () if any(c <= -_reach_back(rows, a, b) for a, b, c in rows) else tuple(rows)


def _reach_back(rows: list[HalfPlane], a: int, b: int) -> int:
    return next((c for p, q, c in rows if (p, q) == (-a, -b)), 1 << 40)


def _sum_reach(first: Piece, second: Piece, gap_mm: float, a: int, b: int) -> float:
    return first.reach(a, b) + second.reach(-a, -b) + gap_mm * math.hypot(a, b)


def rounds(radius_mm: float, gap_mm: float) -> int:
    """Return how many directions stand for a round edge: 4 is the square corner."""
    if radius_mm >= ROUND_ENOUGH_MM:
        return 24 if radius_mm >= 3 * ROUND_ENOUGH_MM else 8
    return 8 if gap_mm >= FAR_ENOUGH_MM else 4


def _directions(first: Piece, second: Piece, gap_mm: float) -> list[tuple[int, int]]:
    found = list(fan(rounds(first.radius + second.radius, gap_mm)))
    found += side_normals(first.points)
    found += [(-a, -b) for a, b in side_normals(second.points)]
    return list(dict.fromkeys(found))


def _inscribed(first: Piece, second: Piece, gap_mm: float) -> list[HalfPlane]:
    """Return rows whose common inside lies within the true set of offsets that are too near.

    The right side is rounded up on this side too: of whole steps, those below it stay the same.
    """
    radius = first.radius + second.radius + gap_mm
    arms: list[Point] = [(0.0, 0.0)]
    if radius > 0:
        count = max(8, rounds(first.radius + second.radius, gap_mm))
        angles = [math.tau * k / count for k in range(count)]
        arms = [(radius * math.cos(angle), radius * math.sin(angle)) for angle in angles]
    corners = hull(
        (px - qx + ax, py - qy + ay) for px, py in first.points for qx, qy in second.points for ax, ay in arms
    )
    if len(corners) < 3:
        return []
    rows = []
    for (x0, y0), (x1, y1) in zip(corners, (*corners[1:], corners[0]), strict=True):
        a, b = normal(y1 - y0, x0 - x1)
        rows.append((a, b, math.ceil(SCALE * min(a * x0 + b * y0, a * x1 + b * y1) - FUZZ)))
    return rows


def inside_rows(corners: tuple[Point, ...], piece: Piece, *, margin_mm: float, side: Rounding) -> list[HalfPlane]:
    """Return the rows ``a*x + b*y <= c`` that keep a piece inside a convex hull, a margin from its sides.

    Parameters
    ----------
    corners
        Of the hull, counter-clockwise, in panel coordinates, mm.
    """
    rows = []
    for start, end in zip(corners, (*corners[1:], corners[0]), strict=True):
        a, b = normal(end[1] - start[1], start[0] - end[0])
        ends = (a * start[0] + b * start[1], a * end[0] + b * end[1])
        limit = (min if side is Rounding.SAFE else max)(ends)
        rows.append((a, b, math.floor(SCALE * (limit - piece.reach(a, b) - margin_mm * math.hypot(a, b)) + FUZZ)))
    return rows


def covered(rows: tuple[HalfPlane, ...], first: Piece, second: Piece, gap_mm: float) -> bool:
    """Say whether all that two pieces forbid is forbidden by these rows already."""
    return all(SCALE * _sum_reach(first, second, gap_mm, a, b) <= c + FUZZ for a, b, c in rows)
