"""Where lines and true arcs meet."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from layout.geometry.segment import Arc, Line, Segment, distance_mm

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from layout.geometry.box import Box, Point
    from layout.geometry.path import Path

_TOUCH_MM = 1e-7
"""Pieces that come this near to each other touch, in mm."""

Shares = tuple[float, float]
"""How far along the first and along the second piece a meeting point lies, 0 start to 1 end."""


def crossings(first: Segment, second: Segment) -> tuple[Shares, ...]:
    """Return where two pieces meet, as shares of their lengths.

    Pieces that lie on the same line or circle meet where their common stretch starts and ends.
    """
    found: list[Shares] = []
    for point in _meeting_points(first, second):
        here, there = share_at(first, point), share_at(second, point)
        if here is not None and there is not None:
            found.append((here, there))
    return tuple(found)


def share_at(segment: Segment, point: Point) -> float | None:
    """Return the share of the length at which ``segment`` passes ``point``, None when it does not."""
    if isinstance(segment, Arc):
        off = abs(distance_mm(point, segment.centre) - segment.radius)
        if off > 2 * _TOUCH_MM:
            return None
        return segment.share_of(math.atan2(point[1] - segment.centre[1], point[0] - segment.centre[0]))
    length = segment.length()
    dx, dy = segment.heading_at(0)
    ax, ay = point[0] - segment.start[0], point[1] - segment.start[1]
    along, off = ax * dx + ay * dy, abs(ay * dx - ax * dy)
    if off > 2 * _TOUCH_MM or not -_TOUCH_MM <= along <= length + _TOUCH_MM:
        return None
    return min(1.0, max(0.0, along / length))


def crosses_itself(path: Path) -> Point | None:
    """Return the first point where a path meets itself elsewhere than at its own joints, or None."""
    count = len(path.segments)
    boxes = [segment.bounds().grown(_TOUCH_MM) for segment in path.segments]
    for i, j in _near(boxes):
        joints = []
        if j == i + 1:
            joints.append(path.segments[i].end)
        if path.closed and i == 0 and j == count - 1:
            joints.append(path.segments[0].start)
        for share, _ in crossings(path.segments[i], path.segments[j]):
            point = path.segments[i].point_at(share)
            if all(distance_mm(point, joint) > 10 * _TOUCH_MM for joint in joints):
                return point
    return None


def _near(boxes: Sequence[Box]) -> list[tuple[int, int]]:
    """Return the pairs of boxes that touch or overlap, in order, by a sweep from left to right."""
    found: list[tuple[int, int]] = []
    under: list[int] = []
    for k in sorted(range(len(boxes)), key=lambda at: boxes[at].x0):
        box = boxes[k]
        under = [other for other in under if boxes[other].x1 >= box.x0]
        found += [
            (min(k, other), max(k, other)) for other in under if boxes[other].y1 >= box.y0 and boxes[other].y0 <= box.y1
        ]
        under.append(k)
    return sorted(found)


def _meeting_points(first: Segment, second: Segment) -> Iterator[Point]:
    """Yield the points where the full lines or circles of two pieces meet, and the ends of common stretches."""
    if isinstance(first, Line) and isinstance(second, Line):
        yield from _line_line(first, second)
    elif isinstance(first, Line) and isinstance(second, Arc):
        yield from _line_circle(first, second)
    elif isinstance(first, Arc) and isinstance(second, Line):
        yield from _line_circle(second, first)
    elif isinstance(first, Arc) and isinstance(second, Arc):
        yield from _circle_circle(first, second)


def _line_line(first: Line, second: Line) -> Iterator[Point]:
    (ux, uy), (vx, vy) = first.heading_at(0), second.heading_at(0)
    cross = ux * vy - uy * vx
    wx, wy = second.start[0] - first.start[0], second.start[1] - first.start[1]
    if abs(cross) * max(first.length(), second.length()) <= _TOUCH_MM:
        yield from (first.start, first.end, second.start, second.end)
        return
    along = (wx * vy - wy * vx) / cross
    yield (first.start[0] + ux * along, first.start[1] + uy * along)


def _line_circle(line: Line, arc: Arc) -> Iterator[Point]:
    ux, uy = line.heading_at(0)
    wx, wy = arc.centre[0] - line.start[0], arc.centre[1] - line.start[1]
    along, off, radius = wx * ux + wy * uy, abs(wy * ux - wx * uy), arc.radius
    if off > radius + _TOUCH_MM:
        return
    half = math.sqrt(max(0.0, (radius - off) * (radius + off)))
    for reach in (along - half, along + half) if off < radius - _TOUCH_MM else (along,):
        yield (line.start[0] + ux * reach, line.start[1] + uy * reach)


def _circle_circle(first: Arc, second: Arc) -> Iterator[Point]:
    (xa, ya), (xb, yb), ra, rb = first.centre, second.centre, first.radius, second.radius
    apart = math.hypot(xb - xa, yb - ya)
    if apart <= _TOUCH_MM:
        if abs(ra - rb) <= _TOUCH_MM:
            yield from (first.start, first.end, second.start, second.end)
        return
    if apart > ra + rb + _TOUCH_MM or apart < abs(ra - rb) - _TOUCH_MM:
        return
    ux, uy = (xb - xa) / apart, (yb - ya) / apart
    along = (apart * apart + (ra - rb) * (ra + rb)) / (2 * apart)
    half = math.sqrt(max(0.0, (ra - along) * (ra + along)))
    for side in (half, -half) if half > _TOUCH_MM else (0.0,):
        yield (xa + ux * along - uy * side, ya + uy * along + ux * side)
