"""Exact offsets of closed paths of lines and true arcs.

Every piece of the outline is moved square to itself, gaps at outer corners are joined, all pieces
are cut where they meet, and what lies nearer to the old outline than the offset is thrown away.
"""

from __future__ import annotations

import math
from enum import StrEnum
from typing import TYPE_CHECKING

from layout.geometry.arrangement import NODE_MM, cut_at_meetings, halves, loops, regions, unpaired
from layout.geometry.distance import contains_point, path_distance_to_point_mm
from layout.geometry.path import Path
from layout.geometry.region import Region
from layout.geometry.segment import Arc, Line, Segment, distance_mm

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from layout.geometry.box import Point


class CornerJoin(StrEnum):
    """What fills the gap at an outer corner."""

    ROUND = "round"
    MITRE = "mitre"


def offset(path: Path, distance_mm: float, *, join: CornerJoin = CornerJoin.ROUND) -> tuple[Region, ...]:
    """Return the area inside a closed path, grown by ``distance_mm`` (shrunk where negative).

    Parameters
    ----------
    path
        Closed, not crossing itself, in either sense.
    distance_mm
        How far the outline moves outwards.
    join
        At corners that open: an arc about the old corner, or the straight sides run on until they
        meet (beside an arc the join is always round; so is a corner sharper than 30 degrees).

    Returns
    -------
    tuple of Region
        Largest first; none when nothing is left. Growing can close a bay, which leaves a hole;
        shrinking can part the area.

    Raises
    ------
    ValueError
        When the path is open.
    """
    return offset_region(Region(path), distance_mm, join=join)


def offset_region(region: Region, distance_mm: float, *, join: CornerJoin = CornerJoin.ROUND) -> tuple[Region, ...]:
    """Return a region with holes, grown by ``distance_mm`` (shrunk where negative); see ``offset``."""
    if not math.isfinite(distance_mm):
        raise ValueError(f"distance_mm must be a number, got {distance_mm}")
    if abs(distance_mm) <= NODE_MM:
        return (region,)
    sources = (region.outer, *(hole.reversed() for hole in region.holes))
    raw: list[Segment] = []
    kites: list[Path] = []
    for source in sources:
        for piece in _moved_pieces(source, distance_mm, join, kites):
            raw.extend(halves(piece))
    kept = [piece for piece in cut_at_meetings(raw) if _stands_clear(piece, sources, abs(distance_mm), kites)]
    return tuple(regions(loops(unpaired(kept))))


def _right(heading: Point) -> Point:
    """Return the direction to the right of ``heading``: outwards on a counter-clockwise path."""
    return (heading[1], -heading[0])


def _shift(point: Point, normal: Point, by_mm: float) -> Point:
    return (point[0] + normal[0] * by_mm, point[1] + normal[1] * by_mm)


def _moved_pieces(source: Path, by_mm: float, join: CornerJoin, kites: list[Path]) -> Iterator[Segment]:
    """Yield each piece of ``source`` moved to its right by ``by_mm``, and the joins of opening corners.

    The corners filled by mitres are noted in ``kites``.
    """
    count = len(source.segments)
    for index, segment in enumerate(source.segments):
        moved = _moved_piece(segment, by_mm)
        if moved is not None:
            yield moved
        yield from _join(segment, source.segments[(index + 1) % count], by_mm, join, kites)


def _moved_piece(segment: Segment, by_mm: float) -> Segment | None:
    start = _shift(segment.start, _right(segment.heading_at(0)), by_mm)
    end = _shift(segment.end, _right(segment.heading_at(1)), by_mm)
    if isinstance(segment, Line):
        return Line(start, end)
    radius = segment.radius + (by_mm if segment.ccw else -by_mm)
    # Past its centre an arc would come back from the other side, nearer than the offset everywhere.
    return Arc(start, end, segment.centre, segment.ccw) if radius > NODE_MM else None


def _join(before: Segment, after: Segment, by_mm: float, join: CornerJoin, kites: list[Path]) -> Iterator[Segment]:
    corner, (ux, uy), (vx, vy) = before.end, before.heading_at(1), after.heading_at(0)
    turn = math.atan2(ux * vy - uy * vx, ux * vx + uy * vy)
    if math.isclose(abs(turn), math.pi, abs_tol=1e-9):
        turn = math.copysign(math.pi, by_mm)  # a needle's point opens to its outer side
    start, end = _shift(corner, _right((ux, uy)), by_mm), _shift(corner, _right((vx, vy)), by_mm)
    if turn * by_mm <= 0 or distance_mm(start, end) <= NODE_MM:
        return
    straight = isinstance(before, Line) and isinstance(after, Line)
    if join is CornerJoin.MITRE and straight and abs(turn) < math.radians(150):
        run = abs(by_mm) * math.tan(abs(turn) / 2)
        tip = (start[0] + ux * run, start[1] + uy * run)
        yield Line(start, tip)
        yield Line(tip, end)
        kites.append(Path((Line(corner, start), Line(start, tip), Line(tip, end), Line(end, corner)), closed=True))
    else:
        yield Arc(start, end, corner, ccw=by_mm > 0)


def _stands_clear(piece: Segment, sources: Iterable[Path], by_mm: float, kites: Iterable[Path]) -> bool:
    middle = piece.point_at(0.5)
    if any(path_distance_to_point_mm(source, middle) < by_mm - NODE_MM for source in sources):
        return False
    return not any(contains_point(kite, middle) and path_distance_to_point_mm(kite, middle) > NODE_MM for kite in kites)
