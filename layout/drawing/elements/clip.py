"""Cut paths at a window, exactly: lines stay lines, arcs stay arcs."""

from __future__ import annotations

from itertools import pairwise
from math import acos, asin, hypot, pi
from typing import TYPE_CHECKING

from layout.geometry.path import Arc, Box, Path

if TYPE_CHECKING:
    from layout.geometry.path import Segment

_HAIR = 1e-9


def clip_path(path: Path, window: Box, box: Box | None = None) -> tuple[Path, ...]:
    """Return the pieces of a path that lie inside a window; the path itself where all of it does.

    ``box`` is the path's bounding box where the caller has it already.
    """
    box = box or path.bounds()
    if window.x0 <= box.x0 and window.y0 <= box.y0 and box.x1 <= window.x1 and box.y1 <= window.y1:
        return (path,)
    if box.x1 < window.x0 or window.x1 < box.x0 or box.y1 < window.y0 or window.y1 < box.y0:
        return ()
    chains: list[list[Segment]] = []
    for segment in path.segments:
        for part in _inside(segment, window):
            if chains and _meet(chains[-1][-1], part):
                chains[-1].append(part)
            else:
                chains.append([part])
    if path.closed and len(chains) > 1 and _meet(chains[-1][-1], chains[0][0]):
        chains[0] = [*chains.pop(), *chains[0]]
    return tuple(Path(tuple(chain), closed=False) for chain in chains)


def _inside(segment: Segment, window: Box) -> list[Segment]:
    """Return the parts of one line or arc inside the window, in its direction."""
    shares = sorted({0.0, 1.0, *(s for s in _crossings(segment, window) if _HAIR < s < 1 - _HAIR)})
    kept: list[list[float]] = []
    for low, high in pairwise(shares):
        x, y = segment.point_at((low + high) / 2)
        if not (window.x0 <= x <= window.x1 and window.y0 <= y <= window.y1):
            continue
        if kept and kept[-1][1] == low:
            kept[-1][1] = high
        else:
            kept.append([low, high])
    parts = []
    for low, high in kept:
        part = segment if (low, high) == (0.0, 1.0) else segment.part(low, high) if _long(segment, low, high) else None
        if part is not None:
            parts.append(part)
    return parts


def _long(segment: Segment, low: float, high: float) -> bool:
    (xa, ya), (xb, yb) = segment.point_at(low), segment.point_at(high)
    return hypot(xb - xa, yb - ya) > 1e-6


def _crossings(segment: Segment, window: Box) -> list[float]:
    """Return the shares of a segment's length at which it crosses the window's four lines."""
    if isinstance(segment, Arc):
        angles: list[float] = []
        radius, (cx, cy) = segment.radius, segment.centre
        for x in (window.x0, window.x1):
            if abs(x - cx) <= radius:
                angle = acos((x - cx) / radius)
                angles += [angle, -angle]
        for y in (window.y0, window.y1):
            if abs(y - cy) <= radius:
                angle = asin((y - cy) / radius)
                angles += [angle, pi - angle]
        return [share for angle in angles if (share := segment.share_of(angle)) is not None]
    (xa, ya), (xb, yb) = segment.start, segment.end
    shares = []
    if xa != xb:
        shares += [(x - xa) / (xb - xa) for x in (window.x0, window.x1)]
    if ya != yb:
        shares += [(y - ya) / (yb - ya) for y in (window.y0, window.y1)]
    return shares


def _meet(before: Segment, after: Segment) -> bool:
    return hypot(before.end[0] - after.start[0], before.end[1] - after.start[1]) <= 1e-6
