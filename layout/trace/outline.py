"""An outline as numbers to be fitted: corners, fillet radii and bulges; arcs in corners are tangent by make."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from layout.geometry.segment import distance_mm
from layout.geometry.shapes import circle, path_through
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from layout.geometry.path import Path, Point
    from layout.geometry.shapes import PathStep
    from layout.trace.arrays import Floats

_FLAT = 1e-9
SHORTEST_MM = 1e-3
"""A side that roundings leave no more of than this is none."""


@dataclass(frozen=True, slots=True)
class Outline:
    """A closed outline, counter-clockwise, mm.

    Attributes
    ----------
    corners
        Where the sides meet, before rounding; side k runs from corner k to the next.
    radii
        One a corner; None is a sharp corner, and no radius is fitted there.
    bulges
        One a side: the tangent of a quarter of the arc's sweep, positive to the right of travel; None is straight.
    round
        Centre and radius of a full circle; then there are no corners.
    """

    corners: tuple[Point, ...] = ()
    radii: tuple[float | None, ...] = ()
    bulges: tuple[float | None, ...] = ()
    round: tuple[float, float, float] | None = None

    def numbers(self) -> Floats:
        """Return all numbers that are fitted, in a fixed order."""
        if self.round:
            return np.array(self.round)
        flat = [value for corner in self.corners for value in corner]
        flat += [radius for radius in self.radii if radius is not None]
        flat += [bulge for bulge in self.bulges if bulge is not None]
        return np.array(flat)

    def with_numbers(self, numbers: Floats) -> Outline:
        """Return an outline of the same make with other numbers."""
        values = [float(value) for value in numbers]
        if self.round:
            return replace(self, round=(values[0], values[1], abs(values[2])))
        rest = iter(values[2 * len(self.corners) :])
        corners = tuple((values[2 * k], values[2 * k + 1]) for k in range(len(self.corners)))
        return replace(
            self,
            corners=corners,
            radii=tuple(
                None if radius is None else min(abs(next(rest)), _room(corners, k))
                for k, radius in enumerate(self.radii)
            ),
            bulges=tuple(None if bulge is None else next(rest) for bulge in self.bulges),
        )

    @property
    def size(self) -> int:
        """How many numbers are fitted."""
        return len(self.numbers())

    def path(self) -> Path:
        """Return the outline as a closed path.

        Raises
        ------
        ValueError
            When radii do not fit on their sides or the outline crosses itself.
        """
        if self.round:
            return circle(2 * self.round[2], at=self.round[:2])
        steps: list[PathStep] = []
        for k, corner in enumerate(self.corners):
            bulge = self.bulges[k - 1]
            if bulge is None or abs(bulge) < _FLAT:
                steps.append(("corner", corner, self.radii[k] or 0.0))
            else:
                steps.append(("arc", corner, through(self.corners[k - 1], corner, bulge)))
        return path_through(steps)

    def moved(self, dx: float, dy: float) -> Outline:
        """Return the outline shifted."""
        if self.round:
            x, y, radius = self.round
            return replace(self, round=(x + dx, y + dy, radius))
        return replace(self, corners=tuple((x + dx, y + dy) for x, y in self.corners))

    def turned(self, degrees: float) -> Outline:
        """Return the outline turned counter-clockwise about the origin."""
        c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
        if self.round:
            x, y, radius = self.round
            return replace(self, round=(c * x - s * y, s * x + c * y, radius))
        return replace(self, corners=tuple((c * x - s * y, s * x + c * y) for x, y in self.corners))


def _room(corners: tuple[Point, ...], k: int) -> float:
    """Return the largest radius that corner k can have if its neighbours have none."""
    before, at, after = corners[k - 1], corners[k], corners[(k + 1) % len(corners)]
    into, out = _unit(before, at), _unit(at, after)
    turn = math.atan2(into[0] * out[1] - into[1] * out[0], into[0] * out[0] + into[1] * out[1])
    return min(distance_mm(before, at), distance_mm(at, after)) / max(abs(math.tan(turn / 2)), 1e-3)


def through(start: Point, end: Point, bulge: float) -> Point:
    """Return the middle point of the arc from ``start`` to ``end``."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    return ((start[0] + end[0]) / 2 + bulge * dy / 2, (start[1] + end[1]) / 2 - bulge * dx / 2)


@dataclass(frozen=True, slots=True)
class Track:
    """The lines and arcs of an outline as arrays, for distances of many points at once."""

    lines: Floats
    """Rows of start x, y, end x, y."""
    arcs: Floats
    """Rows of centre x, y, radius, start angle, sweep (signed), whichever way the outline runs."""

    def distances(self, points: Floats) -> tuple[Floats, Floats]:
        """Return each point's signed distance from the nearest piece (right of travel positive), and its piece."""
        near: list[Floats] = []
        signed: list[Floats] = []
        if len(self.lines):
            start, end = self.lines[:, :2], self.lines[:, 2:]
            run = end - start
            length = np.maximum(np.hypot(*run.T), 1e-9)
            unit = run / length[:, None]
            to = points[:, None, :] - start
            along = (to * unit).sum(axis=2)
            side = to[..., 0] * unit[:, 1] - to[..., 1] * unit[:, 0]
            beyond = np.maximum(np.maximum(-along, along - length), 0.0)
            near.append(np.hypot(side, beyond))
            signed.append(side)
        if len(self.arcs):
            to = points[:, None, :] - self.arcs[:, :2]
            radius, first, sweep = self.arcs[:, 2], self.arcs[:, 3], self.arcs[:, 4]
            way = np.sign(sweep)
            off = np.hypot(to[..., 0], to[..., 1]) - radius
            turn = (way * (np.arctan2(to[..., 1], to[..., 0]) - first)) % math.tau
            outside = np.where(turn > np.abs(sweep), np.minimum(turn - np.abs(sweep), math.tau - turn), 0.0)
            near.append(np.hypot(off, 2 * radius * np.sin(np.minimum(outside, math.pi) / 2)))
            signed.append(off * way)
        apart, sides = np.hstack(near), np.hstack(signed)
        piece = np.argmin(apart, axis=1)
        rows = np.arange(len(points))
        return np.copysign(apart[rows, piece], sides[rows, piece]), piece.astype(np.float64)


def track(outline: Outline) -> Track:
    """Return the pieces of an outline; unlike :meth:`Outline.path` it never refuses, so that a fit can pass by."""
    if outline.round:
        x, y, radius = outline.round
        return Track(np.empty((0, 4)), np.array([[x, y, radius, -math.pi, math.tau]]))
    count = len(outline.corners)
    cuts = [_rounded(outline, k) for k in range(count)]
    arcs = [cut[2] for cut in cuts if cut[2] is not None]
    lines = []
    for k in range(count):
        after = (k + 1) % count
        bulge = outline.bulges[k]
        if bulge is None or abs(bulge) < _FLAT:
            if distance_mm(cuts[k][1], cuts[after][0]) > SHORTEST_MM:
                lines.append((*cuts[k][1], *cuts[after][0]))
        else:
            arcs.append(_bulged(outline.corners[k], outline.corners[after], bulge))
    return Track(np.array(lines).reshape(-1, 4), np.array(arcs).reshape(-1, 5))


def _bulged(start: Point, end: Point, bulge: float) -> tuple[float, float, float, float, float]:
    dx, dy = end[0] - start[0], end[1] - start[1]
    lever = (1 / bulge - bulge) / 4
    centre = ((start[0] + end[0]) / 2 - lever * dy, (start[1] + end[1]) / 2 + lever * dx)
    first = math.atan2(start[1] - centre[1], start[0] - centre[0])
    return (*centre, distance_mm(centre, start), first, 4 * math.atan(bulge))


def _rounded(outline: Outline, k: int) -> tuple[Point, Point, tuple[float, float, float, float, float] | None]:
    """Return where the corner's rounding starts and ends, and the rounding."""
    at, radius = outline.corners[k], outline.radii[k]
    before, after = outline.corners[k - 1], outline.corners[(k + 1) % len(outline.corners)]
    if not radius:
        return at, at, None
    into = _unit(before, at)
    out = _unit(at, after)
    turn = math.atan2(into[0] * out[1] - into[1] * out[0], into[0] * out[0] + into[1] * out[1])
    reach = radius * abs(math.tan(turn / 2))
    if abs(turn) < 1e-6 or reach > 1e6:
        return at, at, None
    way = math.copysign(1.0, turn)
    start = (at[0] - into[0] * reach, at[1] - into[1] * reach)
    end = (at[0] + out[0] * reach, at[1] + out[1] * reach)
    centre = (start[0] - into[1] * radius * way, start[1] + into[0] * radius * way)
    first = math.atan2(start[1] - centre[1], start[0] - centre[0])
    return start, end, (*centre, radius, first, turn)


def _unit(start: Point, end: Point) -> Point:
    length = max(distance_mm(start, end), 1e-9)
    return ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
