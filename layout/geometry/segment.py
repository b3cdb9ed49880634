"""The two pieces a path is made of: straight lines and true circular arcs."""

from __future__ import annotations

import math

from layout.geometry.box import Box, Point
from layout.light_dataclass import dataclass, field

JOIN_MM = 1e-6
"""Two points nearer than this are the same point of a path, in mm."""

RADIUS_MM = 1e-3
"""Most by which the two ends of an arc may differ in distance from its centre, in mm."""


def distance_mm(first: Point, second: Point) -> float:
    """Return the distance between two points, in mm."""
    return math.hypot(second[0] - first[0], second[1] - first[1])


def turned_point(point: Point, degrees: float, about: Point = (0.0, 0.0)) -> Point:
    """Return ``point`` turned counter-clockwise by ``degrees`` about ``about``.

    Quarter turns are exact: no rounding but that of the coordinates' own sums.
    """
    dx, dy = point[0] - about[0], point[1] - about[1]
    quarters = degrees % 360.0 / 90.0
    if quarters == int(quarters):
        dx, dy = ((dx, dy), (-dy, dx), (-dx, -dy), (dy, -dx))[int(quarters) % 4]
    else:
        cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
        dx, dy = dx * cos - dy * sin, dx * sin + dy * cos
    return (about[0] + dx, about[1] + dy)


@dataclass(frozen=True, slots=True)
class Line:
    """A straight piece from ``start`` to ``end``."""

    start: Point
    end: Point

    def bounds(self) -> Box:
        """Return the smallest upright box that holds the line."""
        (xa, ya), (xb, yb) = self.start, self.end
        return Box(min(xa, xb), min(ya, yb), max(xa, xb), max(ya, yb))

    def length(self) -> float:
        """Return the length in mm."""
        return distance_mm(self.start, self.end)

    def swept_area(self) -> float:
        """Return the signed area between the line and the origin, in mm2 (counter-clockwise positive)."""
        return (self.start[0] * self.end[1] - self.end[0] * self.start[1]) / 2

    def point_at(self, share: float) -> Point:
        """Return the point at ``share`` (0 start, 1 end) of the length."""
        (xa, ya), (xb, yb) = self.start, self.end
        return (xa + (xb - xa) * share, ya + (yb - ya) * share)

    def heading_at(self, share: float) -> Point:
        """Return the direction of travel at ``share`` of the length, of length 1."""
        del share  # the same everywhere on a line
        length = self.length()
        return ((self.end[0] - self.start[0]) / length, (self.end[1] - self.start[1]) / length)

    def part(self, low: float, high: float) -> Line:
        """Return the piece between the shares ``low`` and ``high`` of the length."""
        return Line(self.point_at(low), self.point_at(high))

    def reversed(self) -> Line:
        """Return the same piece travelled the other way."""
        return Line(self.end, self.start)

    def moved(self, dx: float, dy: float) -> Line:
        """Return the piece shifted by (dx, dy) mm."""
        (xa, ya), (xb, yb) = self.start, self.end
        return Line((xa + dx, ya + dy), (xb + dx, yb + dy))

    def turned(self, degrees: float, about: Point = (0.0, 0.0)) -> Line:
        """Return the piece turned counter-clockwise about ``about``."""
        return Line(turned_point(self.start, degrees, about), turned_point(self.end, degrees, about))

    def mirrored_x(self, x: float = 0.0) -> Line:
        """Return the mirror image across the upright line at ``x``."""
        return Line((2 * x - self.start[0], self.start[1]), (2 * x - self.end[0], self.end[1]))

    def points(self, tolerance_mm: float) -> tuple[Point, ...]:
        """Return the points of a chain for the line, without its end."""
        del tolerance_mm  # a line is its own chain
        return (self.start,)


@dataclass(frozen=True, slots=True)
class Arc:
    """A circular piece about ``centre`` from ``start`` to ``end``, less than a full turn.

    Attributes
    ----------
    ccw
        True when travelled counter-clockwise.
    radius
        Radius in mm, from both ends.

    Raises
    ------
    ValueError
        When start and end are the same point (a full circle is two arcs), when they differ in
        distance from the centre by more than ``RADIUS_MM``, or when the radius is nothing.
    """

    start: Point
    end: Point
    centre: Point
    ccw: bool
    radius: float = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        first, second = distance_mm(self.centre, self.start), distance_mm(self.centre, self.end)
        if not abs(first - second) <= RADIUS_MM:
            raise ValueError(f"an arc's ends lie equally far from its centre, got {first:g} and {second:g} mm ({self})")
        if self.start == self.end or first == 0:
            raise ValueError(f"an arc has a radius and two different ends, got {self}")
        object.__setattr__(self, "radius", (first + second) / 2)

    @property
    def start_angle(self) -> float:
        """Angle of the start seen from the centre, in radians, -pi to pi."""
        return math.atan2(self.start[1] - self.centre[1], self.start[0] - self.centre[0])

    @property
    def sweep(self) -> float:
        """Angle travelled in radians, positive counter-clockwise, more than 0 and less than 2 pi in size."""
        return self._sweep_from(self.start_angle)

    def _sweep_from(self, start_angle: float) -> float:
        end = math.atan2(self.end[1] - self.centre[1], self.end[0] - self.centre[0])
        turn = (end - start_angle) % math.tau
        return turn if self.ccw else turn - math.tau if turn else 0.0

    def share_of(self, angle: float) -> float | None:
        """Return which share of the arc has passed at ``angle`` (radians), or None when it is not on it."""
        start = self.start_angle
        return self._share_from(angle, start, self._sweep_from(start))

    def _share_from(self, angle: float, start_angle: float, sweep: float) -> float | None:
        turn = (angle - start_angle) % math.tau
        slack = JOIN_MM / self.radius
        if sweep < 0:
            turn, sweep = (-turn) % math.tau, -sweep
        if turn <= sweep:
            return turn / sweep if sweep else 0.0
        if turn <= sweep + slack:
            return 1.0
        return 0.0 if turn >= math.tau - slack else None

    def at_angle(self, angle: float) -> Point:
        """Return the point of the full circle at ``angle`` (radians)."""
        radius = self.radius
        return (self.centre[0] + radius * math.cos(angle), self.centre[1] + radius * math.sin(angle))

    def bounds(self) -> Box:
        """Return the smallest upright box that holds the arc, bulge included."""
        xs = [self.start[0], self.end[0]]
        ys = [self.start[1], self.end[1]]
        radius, start = self.radius, self.start_angle
        sweep = self._sweep_from(start)
        for quarter, (dx, dy) in enumerate(((1, 0), (0, 1), (-1, 0), (0, -1))):
            if self._share_from(quarter * math.pi / 2, start, sweep) is not None:
                xs.append(self.centre[0] + dx * radius if dx else self.centre[0])
                ys.append(self.centre[1] + dy * radius if dy else self.centre[1])
        return Box(min(xs), min(ys), max(xs), max(ys))

    def length(self) -> float:
        """Return the length along the arc in mm."""
        return self.radius * abs(self.sweep)

    def swept_area(self) -> float:
        """Return the signed area between the arc and the origin, in mm2 (counter-clockwise positive)."""
        sweep = self.sweep
        chord = Line(self.start, self.end).swept_area()
        return chord + self.radius**2 * (sweep - math.sin(sweep)) / 2

    def point_at(self, share: float) -> Point:
        """Return the point at ``share`` (0 start, 1 end) of the length."""
        if share in (0.0, 1.0):
            return self.start if share == 0.0 else self.end
        return self.at_angle(self.start_angle + self.sweep * share)

    def heading_at(self, share: float) -> Point:
        """Return the direction of travel at ``share`` of the length, of length 1."""
        angle = self.start_angle + self.sweep * share
        way = 1.0 if self.ccw else -1.0
        return (-math.sin(angle) * way, math.cos(angle) * way)

    def part(self, low: float, high: float) -> Arc:
        """Return the piece between the shares ``low`` and ``high`` of the length."""
        return Arc(self.point_at(low), self.point_at(high), self.centre, self.ccw)

    def reversed(self) -> Arc:
        """Return the same piece travelled the other way."""
        return Arc(self.end, self.start, self.centre, not self.ccw)

    def moved(self, dx: float, dy: float) -> Arc:
        """Return the piece shifted by (dx, dy) mm."""
        start, end, centre = ((x + dx, y + dy) for x, y in (self.start, self.end, self.centre))
        return Arc(start, end, centre, self.ccw)

    def turned(self, degrees: float, about: Point = (0.0, 0.0)) -> Arc:
        """Return the piece turned counter-clockwise about ``about``."""
        start, end, centre = (turned_point(p, degrees, about) for p in (self.start, self.end, self.centre))
        return Arc(start, end, centre, self.ccw)

    def mirrored_x(self, x: float = 0.0) -> Arc:
        """Return the mirror image across the upright line at ``x``, which travels the other way round."""
        start, end, centre = ((2 * x - px, py) for px, py in (self.start, self.end, self.centre))
        return Arc(start, end, centre, not self.ccw)

    def points(self, tolerance_mm: float) -> tuple[Point, ...]:
        """Return the points of a chain that leaves the arc by at most ``tolerance_mm``, without its end."""
        count = chord_count(self.radius, abs(self.sweep), tolerance_mm)
        return tuple(self.point_at(step / count) for step in range(count))


Segment = Line | Arc
"""One piece of a path."""


def chord_count(radius_mm: float, sweep: float, tolerance_mm: float) -> int:
    """Return how many equal chords keep within ``tolerance_mm`` of an arc of ``sweep`` radians.

    The chord of an angle a lies r (1 - cos(a / 2)) inside the arc.
    """
    if not tolerance_mm > 0:
        raise ValueError(f"tolerance_mm must be more than 0, got {tolerance_mm}")
    step = math.pi / 2 if tolerance_mm >= radius_mm else min(math.pi / 2, 2 * math.acos(1 - tolerance_mm / radius_mm))
    return max(1, math.ceil(sweep / step - 1e-9))
