"""Exact offsets of closed paths of lines and true arcs.

Every piece of the outline is moved square to itself, gaps at outer corners are joined, all pieces
are cut where they meet, and what lies nearer to the old outline than the offset is thrown away.
"""

from __future__ import annotations

import itertools
import math
from collections import defaultdict
from enum import StrEnum
from typing import TYPE_CHECKING

from layout.geometry.crossing import crossings
from layout.geometry.distance import contains_point, path_distance_to_point_mm
from layout.geometry.path import Path
from layout.geometry.region import Region
from layout.geometry.segment import Arc, Line, Segment, distance_mm

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from layout.geometry.box import Point

NODE_MM = 1e-5
"""Ends of pieces nearer than this are one node of the new outline, in mm."""


class Join(StrEnum):
    """What fills the gap at an outer corner."""

    ROUND = "round"
    MITRE = "mitre"


def offset(path: Path, distance_mm: float, *, join: Join = Join.ROUND) -> tuple[Region, ...]:
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


def offset_region(region: Region, distance_mm: float, *, join: Join = Join.ROUND) -> tuple[Region, ...]:
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
            raw.extend(_halves(piece))
    kept = [piece for piece in _cut(raw) if _stands_clear(piece, sources, abs(distance_mm), kites)]
    return tuple(_regions(_loops(_unpaired(kept))))


def _right(heading: Point) -> Point:
    """Return the direction to the right of ``heading``: outwards on a counter-clockwise path."""
    return (heading[1], -heading[0])


def _shift(point: Point, normal: Point, by_mm: float) -> Point:
    return (point[0] + normal[0] * by_mm, point[1] + normal[1] * by_mm)


def _moved_pieces(source: Path, by_mm: float, join: Join, kites: list[Path]) -> Iterator[Segment]:
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


def _join(before: Segment, after: Segment, by_mm: float, join: Join, kites: list[Path]) -> Iterator[Segment]:
    corner, (ux, uy), (vx, vy) = before.end, before.heading_at(1), after.heading_at(0)
    turn = math.atan2(ux * vy - uy * vx, ux * vx + uy * vy)
    if math.isclose(abs(turn), math.pi, abs_tol=1e-9):
        turn = math.copysign(math.pi, by_mm)  # a needle's point opens to its outer side
    start, end = _shift(corner, _right((ux, uy)), by_mm), _shift(corner, _right((vx, vy)), by_mm)
    if turn * by_mm <= 0 or distance_mm(start, end) <= NODE_MM:
        return
    straight = isinstance(before, Line) and isinstance(after, Line)
    if join is Join.MITRE and straight and abs(turn) < math.radians(150):
        run = abs(by_mm) * math.tan(abs(turn) / 2)
        tip = (start[0] + ux * run, start[1] + uy * run)
        yield Line(start, tip)
        yield Line(tip, end)
        kites.append(Path((Line(corner, start), Line(start, tip), Line(tip, end), Line(end, corner)), closed=True))
    else:
        yield Arc(start, end, corner, ccw=by_mm > 0)


def _halves(piece: Segment) -> tuple[Segment, ...]:
    """Return an arc of more than a half turn in two, so that no piece starts where it ends."""
    if isinstance(piece, Arc) and abs(piece.sweep) > math.pi:
        return piece.part(0.0, 0.5), piece.part(0.5, 1.0)
    return (piece,)


def _cut(pieces: Sequence[Segment]) -> list[Segment]:
    """Return all pieces cut wherever two of them meet."""
    shares: list[list[float]] = [[0.0, 1.0] for _ in pieces]
    boxes = [piece.bounds().grown(NODE_MM) for piece in pieces]
    for i, first in enumerate(pieces):
        for j in range(i + 1, len(pieces)):
            if boxes[i].gap_mm(boxes[j]) > 0:
                continue
            for here, there in crossings(first, pieces[j]):
                shares[i].append(here)
                shares[j].append(there)
    parts: list[Segment] = []
    for piece, at in zip(pieces, shares, strict=True):
        length = piece.length()
        stops = [0.0]
        for share in sorted(at):
            if (share - stops[-1]) * length > NODE_MM:
                stops.append(share)
        if len(stops) > 1:
            stops[-1] = 1.0 if (1.0 - stops[-1]) * length <= NODE_MM else stops[-1]
        parts.extend(piece.part(low, high) for low, high in itertools.pairwise(stops))
    return parts


def _stands_clear(piece: Segment, sources: Iterable[Path], by_mm: float, kites: Iterable[Path]) -> bool:
    middle = piece.point_at(0.5)
    if any(path_distance_to_point_mm(source, middle) < by_mm - NODE_MM for source in sources):
        return False
    return not any(contains_point(kite, middle) and path_distance_to_point_mm(kite, middle) > NODE_MM for kite in kites)


def _unpaired(pieces: Sequence[Segment]) -> list[Segment]:
    """Leave out pieces that are travelled both ways (nothing lies between) and second copies."""
    left: list[Segment] = []
    for piece in pieces:
        twin = next((other for other in left if _same(other, piece.reversed())), None)
        if twin is not None:
            left.remove(twin)
        elif not any(_same(other, piece) for other in left):
            left.append(piece)
    return left


def _same(first: Segment, second: Segment) -> bool:
    return all(distance_mm(first.point_at(share), second.point_at(share)) <= NODE_MM for share in (0.0, 0.5, 1.0))


def _loops(pieces: Sequence[Segment]) -> Iterator[Path]:
    """Yield the closed paths that the pieces form, keeping left where several go on from one node."""
    nodes: list[Point] = []
    ends = [(_node(piece.start, nodes), _node(piece.end, nodes)) for piece in pieces]
    leaving: dict[int, list[int]] = defaultdict(list)
    for index, (start, end) in enumerate(ends):
        if start != end:
            leaving[start].append(index)
    used: set[int] = set()
    for first in range(len(pieces)):
        if first in used or ends[first][0] == ends[first][1]:
            continue
        chain = [first]
        used.add(first)
        while ends[chain[-1]][1] != ends[first][0]:
            heading = pieces[chain[-1]].heading_at(1)
            onward = [index for index in leaving[ends[chain[-1]][1]] if index not in used]
            if not onward:
                break
            chain.append(max(onward, key=lambda index: _turn(heading, pieces[index].heading_at(0))))
            used.add(chain[-1])
        else:
            yield _smoothed([_between(pieces[i], nodes[ends[i][0]], nodes[ends[i][1]]) for i in chain])


def _node(point: Point, nodes: list[Point]) -> int:
    """Return the index of the node at ``point``, making one where there is none yet."""
    for index, node in enumerate(nodes):
        if distance_mm(node, point) <= 2 * NODE_MM:
            return index
    nodes.append(point)
    return len(nodes) - 1


def _turn(before: Point, after: Point) -> float:
    return math.atan2(before[0] * after[1] - before[1] * after[0], before[0] * after[0] + before[1] * after[1])


def _between(piece: Segment, start: Point, end: Point) -> Segment:
    if isinstance(piece, Line):
        return Line(start, end)
    return Arc(start, end, piece.centre, piece.ccw)


def _smoothed(pieces: Sequence[Segment]) -> Path:
    """Return the loop with neighbours that go on along the same line or circle made one."""
    kept = [pieces[0]]
    for piece in pieces[1:]:
        whole = _whole(kept[-1], piece)
        if whole is None:
            kept.append(piece)
        else:
            kept[-1] = whole
    if len(kept) > 2 and (whole := _whole(kept[-1], kept[0])) is not None:
        kept = [whole, *kept[1:-1]]
    return Path(tuple(kept), closed=True)


def _whole(before: Segment, after: Segment) -> Segment | None:
    """Return two pieces that follow each other as one, or None when they turn between."""
    if isinstance(before, Line) and isinstance(after, Line):
        length, (ux, uy) = distance_mm(before.start, after.end), before.heading_at(0)
        dx, dy = after.end[0] - before.start[0], after.end[1] - before.start[1]
        off, along = abs(ux * dy - uy * dx), ux * dx + uy * dy
        return Line(before.start, after.end) if off <= 1e-9 * length and along > before.length() else None
    if isinstance(before, Arc) and isinstance(after, Arc):
        same = distance_mm(before.centre, after.centre) <= NODE_MM and abs(before.radius - after.radius) <= NODE_MM
        if same and before.ccw == after.ccw and abs(before.sweep + after.sweep) < math.tau - 1e-3:
            return Arc(before.start, after.end, before.centre, before.ccw)
    return None


def _regions(loops: Iterable[Path]) -> Iterator[Region]:
    """Yield the areas that counter-clockwise loops bound, each with the clockwise ones inside it."""
    found = [(loop.area(), loop) for loop in loops]
    outers = sorted((pair for pair in found if pair[0] > NODE_MM), key=lambda pair: (-pair[0], pair[1].start))
    holes: list[list[Path]] = [[] for _ in outers]
    for area, loop in sorted(found, key=lambda pair: (pair[0], pair[1].start)):
        if area < -NODE_MM:
            around = [i for i, (_, outer) in enumerate(outers) if contains_point(outer, loop.segments[0].point_at(0.5))]
            if around:
                holes[around[-1]].append(loop)
    for (_, outer), inside in zip(outers, holes, strict=True):
        yield Region(outer, tuple(inside))
