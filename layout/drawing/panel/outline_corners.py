"""Corners of an outline as one sets them out with rule and pencil: where its sides meet, and what rounds them."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING

from layout.geometry.segment import Arc, Line
from layout.geometry.shapes import as_circle
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from layout.geometry.path import Path, Point

TOUCH = 1e-6
"""Sine of the angle below which an arc counts as running on from its neighbour without a kink."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bow:
    """One arc of an outline: its radius, mm, and a point in its middle."""

    radius_mm: float
    middle: Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Setout:
    """What an outline is set out by.

    Attributes
    ----------
    corners
        Where two sides meet, if need be beyond the arc that rounds them; and the ends of any other arc.
    bows
        All arcs.
    diameter_mm
        Of an outline that is one circle; it has no corners then.
    """

    corners: tuple[Point, ...]
    bows: tuple[Bow, ...] = ()
    diameter_mm: float | None = None


def setout(outline: Path) -> Setout:
    """Return the corners and arcs that an outline is drawn from, in its own coordinates, mm.

    An arc that touches the straight sides before and after it and turns by less than half a circle rounds
    their corner: the corner is where the two sides would meet.
    """
    if circle := as_circle(outline):
        return Setout(corners=(), diameter_mm=circle[1])
    pieces = outline.segments
    corners: list[Point] = []
    bows: list[Bow] = []
    for at, piece in enumerate(pieces):
        before, after = pieces[at - 1], pieces[(at + 1) % len(pieces)]
        if isinstance(piece, Arc):
            bows.append(Bow(radius_mm=piece.radius, middle=piece.point_at(0.5)))
            corners += _of_arc(before, piece, after)
        elif isinstance(after, Line):
            corners.append(piece.end)
    return Setout(corners=tuple(dict.fromkeys(corners)), bows=tuple(bows))


def _of_arc(before: Line | Arc, arc: Arc, after: Line | Arc) -> list[Point]:
    if isinstance(before, Line) and isinstance(after, Line) and abs(arc.sweep) < pi - TOUCH:
        first, last = before.heading_at(1), after.heading_at(0)
        if abs(_cross(first, arc.heading_at(0))) < TOUCH and abs(_cross(last, arc.heading_at(1))) < TOUCH:
            gap = (after.start[0] - before.end[0], after.start[1] - before.end[1])
            along = _cross(gap, last) / _cross(first, last)
            return [(before.end[0] + along * first[0], before.end[1] + along * first[1])]
    return [arc.start, arc.end]


def _cross(first: Point, second: Point) -> float:
    return first[0] * second[1] - first[1] * second[0]
