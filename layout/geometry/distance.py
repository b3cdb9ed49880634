"""Exact distances between points, lines, true arcs and the shapes made of them.

A shape is the area inside its outline; shapes that touch or overlap are 0 apart.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

from layout.geometry.crossing import crossings
from layout.geometry.region import Region
from layout.geometry.segment import Arc, Line, Segment, distance_mm
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.geometry.box import Point
    from layout.geometry.path import Path

PROBE_MM = 1e-7
"""A point that stands out of an area by less than this is taken as on its outline, in mm."""


@dataclass(frozen=True, slots=True)
class Nearest:
    """The shortest way between two things.

    Attributes
    ----------
    distance_mm
        Its length in mm.
    first, second
        Where it starts on the first and ends on the second thing.
    """

    distance_mm: float
    first: Point
    second: Point

    def swapped(self) -> Nearest:
        """Return the same way, seen from the other thing."""
        return Nearest(self.distance_mm, self.second, self.first)


def circle_gap_mm(first: Point, first_diameter_mm: float, second: Point, second_diameter_mm: float) -> float:
    """Return the clear distance between two full circles in mm, negative by how deep they overlap."""
    return distance_mm(first, second) - (first_diameter_mm + second_diameter_mm) / 2


def nearest_to_point(segment: Segment, point: Point) -> Nearest:
    """Return the shortest way from a line or arc to a point."""
    if isinstance(segment, Arc):
        if segment.centre != point:
            angle = math.atan2(point[1] - segment.centre[1], point[0] - segment.centre[0])
            share = segment.share_of(angle)
            if share is not None:
                on = segment.at_angle(angle)
                return Nearest(abs(distance_mm(point, segment.centre) - segment.radius), on, point)
        on = min((segment.start, segment.end), key=lambda end: distance_mm(end, point))
        return Nearest(distance_mm(on, point), on, point)
    (xa, ya), (xb, yb) = segment.start, segment.end
    dx, dy = xb - xa, yb - ya
    length2 = dx * dx + dy * dy
    share = ((point[0] - xa) * dx + (point[1] - ya) * dy) / length2 if length2 else 0.0
    on = segment.point_at(min(1.0, max(0.0, share)))
    return Nearest(distance_mm(on, point), on, point)


def nearest_segments(first: Segment, second: Segment) -> Nearest:
    """Return the shortest way between two lines or arcs, of length 0 where they meet."""
    meeting = crossings(first, second)
    if meeting:
        point = first.point_at(meeting[0][0])
        return Nearest(0.0, point, point)
    return min(_candidates(first, second), key=lambda way: way.distance_mm)


def nearest_paths(first: Path, second: Path) -> Nearest:
    """Return the shortest way between two paths taken as lines, whatever they enclose."""
    boxes = [segment.bounds() for segment in second.segments]
    best: Nearest | None = None
    for one in first.segments:
        box = one.bounds()
        for other, far in zip(second.segments, boxes, strict=True):
            if best is not None and box.gap_mm(far) >= best.distance_mm:
                continue
            way = nearest_segments(one, other)
            if best is None or way.distance_mm < best.distance_mm:
                best = way
            if best.distance_mm == 0:
                return best
    if best is None:
        raise ValueError("a path has at least one line or arc")
    return best


def path_distance_to_point_mm(path: Path, point: Point) -> float:
    """Return the shortest distance from a point to a path taken as a line, in mm."""
    return min(nearest_to_point(segment, point).distance_mm for segment in path.segments)


def winding(path: Path, point: Point) -> int:
    """Return how often a closed path goes counter-clockwise round a point that is not on it."""
    total = 0.0
    for segment in path.segments:
        ax, ay = segment.start[0] - point[0], segment.start[1] - point[1]
        bx, by = segment.end[0] - point[0], segment.end[1] - point[1]
        angle = math.atan2(ax * by - ay * bx, ax * bx + ay * by)
        if isinstance(segment, Arc) and distance_mm(point, segment.centre) < segment.radius:
            # Seen from within its circle an arc turns one way only, by up to a full turn.
            angle = angle % math.tau if segment.ccw else -(-angle % math.tau)
        total += angle
    return round(total / math.tau)


def contains_point(shape: Path | Region, point: Point, *, touch_mm: float = 0.0) -> bool:
    """Tell whether a point lies inside a closed path or a region with holes, true arcs counted.

    A point within ``touch_mm`` of the outline counts as inside; at 0 one exactly on it does.
    """
    outer, holes = (shape.outer, shape.holes) if isinstance(shape, Region) else (shape, ())
    if any(path_distance_to_point_mm(path, point) <= touch_mm for path in (outer, *holes)):
        return True
    return winding(outer, point) != 0 and all(winding(hole, point) == 0 for hole in holes)


def nearest_shapes(first: Path | Region, second: Path | Region) -> Nearest:
    """Return the shortest way between two areas; 0 long where they touch or overlap."""
    best: Nearest | None = None
    for one in _outlines(first):
        for other in _outlines(second):
            way = nearest_paths(one, other)
            if best is None or way.distance_mm < best.distance_mm:
                best = way
    if best is None:
        raise ValueError("a shape has an outline")
    if best.distance_mm > 0:
        for shape, start in ((first, _start(second)), (second, _start(first))):
            if contains_point(shape, start):
                return Nearest(0.0, start, start)
    return best


def inset_mm(inner: Path | Region, outer: Path | Region) -> float:
    """Return how far the area ``inner`` stays inside ``outer``, in mm; 0 where it touches from within.

    Negative when part of it stands outside: then minus the furthest that a corner, or the middle of
    a stretch between two crossings, stands out, which is at most how far it must be moved.
    """
    best = min(nearest_paths(one, other).distance_mm for one in _outlines(inner) for other in _outlines(outer))
    out = max((_outside_by_mm(probe, outer) for probe in _probes(_outer(inner), outer)), default=0.0)
    if out > 0:
        return -out
    swallowed = [hole for hole in _outlines(outer)[1:] if contains_point(inner, hole.start)]
    if swallowed and best > 0:
        return -max(min(path.bounds().width, path.bounds().height) for path in swallowed)
    return best


def _outside_by_mm(probe: Point, outer: Path | Region) -> float:
    if contains_point(outer, probe, touch_mm=PROBE_MM):
        return 0.0
    return min(path_distance_to_point_mm(path, probe) for path in _outlines(outer))


def _probes(path: Path, outer: Path | Region) -> Iterator[Point]:
    """Yield points of a path of which one is outside ``outer`` when any is: corners, and middles between crossings."""
    for segment in path.segments:
        box = segment.bounds().grown(PROBE_MM)
        shares = [0.0, 1.0]
        for outline in _outlines(outer):
            for other in outline.segments:
                if box.gap_mm(other.bounds()) == 0:
                    shares.extend(share for share, _ in crossings(segment, other))
        shares.sort()
        yield segment.start
        for low, high in pairwise(shares):
            if high > low:
                yield segment.point_at((low + high) / 2)


def _outer(shape: Path | Region) -> Path:
    return shape.outer if isinstance(shape, Region) else shape


def _outlines(shape: Path | Region) -> tuple[Path, ...]:
    return (shape.outer, *shape.holes) if isinstance(shape, Region) else (shape,)


def _start(shape: Path | Region) -> Point:
    return _outer(shape).start


def _candidates(first: Segment, second: Segment) -> Iterator[Nearest]:
    """Yield the ways between two pieces that do not meet, among them the shortest."""
    for end in (second.start, second.end):
        yield nearest_to_point(first, end)
    for end in (first.start, first.end):
        yield nearest_to_point(second, end).swapped()
    if isinstance(first, Arc):
        yield from _from_centre(first, second)
    if isinstance(second, Arc):
        yield from (way.swapped() for way in _from_centre(second, first))


def _from_centre(arc: Arc, other: Segment) -> Iterator[Nearest]:
    """Yield the ways that run along a line through the arc's centre and square to the other piece."""
    if isinstance(other, Line):
        feet = [nearest_to_point(other, arc.centre).first]
    elif other.centre != arc.centre:
        towards = math.atan2(arc.centre[1] - other.centre[1], arc.centre[0] - other.centre[0])
        feet = [other.at_angle(angle) for angle in (towards, towards + math.pi) if other.share_of(angle) is not None]
    else:
        feet = []
    for foot in feet:
        angle = math.atan2(foot[1] - arc.centre[1], foot[0] - arc.centre[0])
        for facing in (angle, angle + math.pi):
            if arc.share_of(facing) is not None:
                on = arc.at_angle(facing)
                yield Nearest(distance_mm(on, foot), on, foot)
