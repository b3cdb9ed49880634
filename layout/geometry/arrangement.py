"""Pieces of outlines made into areas: cut where they meet, freed of what is travelled both ways, chained to loops."""

from __future__ import annotations

import itertools
import math
from collections import defaultdict
from typing import TYPE_CHECKING

from layout.geometry.crossing import crossings
from layout.geometry.distance import contains_point
from layout.geometry.path import Path
from layout.geometry.region import Region
from layout.geometry.segment import Arc, Line, Segment, distance_mm

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from layout.geometry.box import Point

NODE_MM = 1e-5
"""Ends of pieces nearer than this are one node of the new outline, in mm."""


def halves(piece: Segment) -> tuple[Segment, ...]:
    """Return an arc of more than a half turn in two, so that no piece starts where it ends."""
    if isinstance(piece, Arc) and abs(piece.sweep) > math.pi:
        return piece.part(0.0, 0.5), piece.part(0.5, 1.0)
    return (piece,)


def cut_at_meetings(pieces: Sequence[Segment]) -> list[Segment]:
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


def unpaired(pieces: Sequence[Segment]) -> list[Segment]:
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


def loops(pieces: Sequence[Segment]) -> Iterator[Path]:
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


def regions(found_loops: Iterable[Path]) -> Iterator[Region]:
    """Yield the areas that counter-clockwise loops bound, each with the clockwise ones inside it."""
    found = [(loop.area(), loop) for loop in found_loops]
    outers = sorted((pair for pair in found if pair[0] > NODE_MM), key=lambda pair: (-pair[0], pair[1].start))
    holes: list[list[Path]] = [[] for _ in outers]
    for area, loop in sorted(found, key=lambda pair: (pair[0], pair[1].start)):
        if area < -NODE_MM:
            around = [i for i, (_, outer) in enumerate(outers) if contains_point(outer, loop.segments[0].point_at(0.5))]
            if around:
                holes[around[-1]].append(loop)
    for (_, outer), inside in zip(outers, holes, strict=True):
        yield Region(outer, tuple(inside))
