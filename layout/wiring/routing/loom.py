"""Length of a conductor on a panel: square to the loom, then along its lines."""

from __future__ import annotations

import heapq
import itertools
from functools import lru_cache

_Point = tuple[float, float]
Lines = tuple[tuple[_Point, ...], ...]
JOINED_MM = 0.5
"""Lines that come this close to each other are one loom."""


def square_mm(a: _Point, b: _Point) -> float:
    """Return the distance along x plus the distance along y, as wires are dressed."""
    return abs(a[0] - b[0]) + abs(a[1] - b[1])


@lru_cache(maxsize=4096)
def loom_mm(lines: Lines, start: _Point, goal: _Point) -> float:
    """Return the length from one point of a panel to another.

    Parameters
    ----------
    lines
        The loom's lines in panel coordinates, mm; none means square from point to point.
    start, goal
        Terminals, or a terminal and the cable entry. Each goes square to its nearest point of the loom. Where the two
        reach it at one spot, or on lines that don't meet, the wire goes square from one to the other.
    """
    direct = square_mm(start, goal)
    pieces = _pieces(lines)
    if not pieces:
        return direct
    first, last = _nearest(pieces, start), _nearest(pieces, goal)
    along = _along(pieces, first[1], last[1])
    if along is None:
        return direct
    by_loom = first[0] + along[0] + last[0]
    return by_loom if along[0] > 0 else direct


def loom_way(lines: Lines, start: _Point, goal: _Point) -> tuple[_Point, ...]:
    """Return the corners of the way that :func:`loom_mm` measures, both ends among them."""
    pieces = _pieces(lines)
    if pieces:
        (_, first), (_, last) = _nearest(pieces, start), _nearest(pieces, goal)
        along = _along(pieces, first, last)
        if along is not None and along[0] > 0:
            corners = (start, (first[1][0], start[1]), first[1], *along[1], last[1], (last[1][0], goal[1]), goal)
            return _without_repeats(corners)
    return _without_repeats((start, (goal[0], start[1]), goal))


def _without_repeats(corners: tuple[_Point, ...]) -> tuple[_Point, ...]:
    return (corners[0], *(b for a, b in itertools.pairwise(corners) if a != b))


@lru_cache(maxsize=256)
def _pieces(lines: Lines) -> tuple[tuple[_Point, _Point], ...]:
    """Cut the lines where another's corner lies on them."""
    corners = tuple(dict.fromkeys(point for line in lines for point in line))
    found: list[tuple[_Point, _Point]] = []
    for line in lines:
        for a, b in itertools.pairwise(line):
            on = sorted((_share(a, b, p), p) for p in corners if square_mm(_project(a, b, p), p) <= JOINED_MM)
            stops = [a, *(p for t, p in on if 0 < t < 1), b]
            found += [(p, q) for p, q in itertools.pairwise(stops) if p != q]
    return tuple(found)


def _share(a: _Point, b: _Point, p: _Point) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    size = dx * dx + dy * dy
    return 0.0 if size == 0 else min(1.0, max(0.0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / size))


def _project(a: _Point, b: _Point, p: _Point) -> _Point:
    t = _share(a, b, p)
    return a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])


def _straight(a: _Point, b: _Point) -> float:
    return float(((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5)


def _nearest(pieces: tuple[tuple[_Point, _Point], ...], p: _Point) -> tuple[float, tuple[int, _Point]]:
    spots = ((at, _project(a, b, p)) for at, (a, b) in enumerate(pieces))
    return min((square_mm(spot, p), (at, spot)) for at, spot in spots)


def _along(
    pieces: tuple[tuple[_Point, _Point], ...], start: tuple[int, _Point], goal: tuple[int, _Point]
) -> tuple[float, tuple[_Point, ...]] | None:
    """Return length and corners of the shortest way along the loom between two spots; None where there is none."""
    if start[0] == goal[0]:
        return _straight(start[1], goal[1]), ()
    near: dict[_Point, list[tuple[_Point, float]]] = {}
    for a, b in pieces:
        near.setdefault(a, []).append((b, _straight(a, b)))
        near.setdefault(b, []).append((a, _straight(a, b)))
    ends = {corner: _straight(corner, goal[1]) for corner in pieces[goal[0]]}
    queue: list[tuple[float, _Point, tuple[_Point, ...]]]
    queue = [(_straight(corner, start[1]), corner, (corner,)) for corner in pieces[start[0]]]
    heapq.heapify(queue)
    done: set[_Point] = set()
    best: tuple[float, tuple[_Point, ...]] | None = None
    while queue:
        length, here, way = heapq.heappop(queue)
        if here in done:
            continue
        done.add(here)
        if here in ends and (best is None or length + ends[here] < best[0]):
            best = (length + ends[here], way)
        for there, step in near[here]:
            if there not in done:
                heapq.heappush(queue, (length + step, there, (*way, there)))
    return best
