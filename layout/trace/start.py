"""A first outline from the division of a chain into pieces: which arcs round a corner, and which are sides."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from layout.light_dataclass import dataclass
from layout.trace.outline import Outline
from layout.trace.pieces import divided

if TYPE_CHECKING:
    from layout.geometry.path import Point
    from layout.trace.arrays import Floats
    from layout.trace.pieces import OutlinePiece

LEAST_TURN, MOST_TURN = math.radians(8), math.radians(160)
"""Two lines that turn by less have no corner; by more, their corner lies too far out to be one."""
SCRAP = 6
"""A stretch of at most so many points may be no side of its own."""
SWEEP_OF_TURN = (0.6, 1.5)
"""An arc between two lines rounds their corner when its sweep is about their turn."""


@dataclass(frozen=True, slots=True)
class _Side:
    """A stretch as fitted: a line through ``at`` along ``way``, or with a radius an arc about ``at``."""

    at: Point
    way: float
    first: Point
    last: Point
    radius: float = 0.0
    sweep: float = 0.0
    count: int = 0


def first_outline(points: Floats, sigma_mm: float) -> Outline:
    """Return a rough outline for a closed chain of evenly spaced points, counter-clockwise.

    Raises
    ------
    ValueError
        When fewer than two pieces are left.
    """
    sides = [_side(piece, points) for piece in divided(points, sigma_mm)]
    sides = _joined(_without_scraps(sides))
    keep: list[_Side] = []
    rounding: dict[int, float] = {}
    for k, side in enumerate(sides):
        before, after = sides[k - 1], sides[(k + 1) % len(sides)]
        if len(sides) > 2 and _rounds(side, before, after):
            rounding[len(keep)] = side.radius
        else:
            keep.append(side)
    if len(keep) < 2:
        raise ValueError("the edge has neither corners nor sides")
    rounding = {k % len(keep): radius for k, radius in rounding.items()}
    corners = tuple(_corner(keep[k - 1], keep[k]) for k in range(len(keep)))
    return Outline(
        corners=corners,
        radii=tuple(rounding.get(k) for k in range(len(keep))),
        bulges=tuple(math.tan(side.sweep / 4) if side.radius else None for side in keep),
    )


def _side(piece: OutlinePiece, points: Floats) -> _Side:
    among = piece.among(points)
    first, last = (float(among[0][0]), float(among[0][1])), (float(among[-1][0]), float(among[-1][1]))
    inner = among[1:-1] if len(among) > 6 else among
    middle = inner.mean(axis=0)
    if piece.kind == "line":
        _, _, axes = np.linalg.svd(inner - middle, full_matrices=False)
        way = axes[0] if axes[0] @ (among[-1] - among[0]) >= 0 else -axes[0]
        return _Side((float(middle[0]), float(middle[1])), math.atan2(way[1], way[0]), first, last, count=len(among))
    x, y = (inner - middle).T
    q = x * x + y * y
    (a2, b2, c), *_ = np.linalg.lstsq(np.stack([x, y, np.ones_like(x)], axis=1), q, rcond=None)
    radius = math.sqrt(max(c + (a2 * a2 + b2 * b2) / 4, 1e-9))
    centre = (float(middle[0] + a2 / 2), float(middle[1] + b2 / 2))
    angles = np.unwrap(np.arctan2(among[:, 1] - centre[1], among[:, 0] - centre[0]))
    return _Side(centre, 0.0, first, last, radius, float(angles[-1] - angles[0]), len(among))


def _turn(before: _Side, after: _Side) -> float:
    return math.remainder(after.way - before.way, math.tau)


def _without_scraps(sides: list[_Side]) -> list[_Side]:
    """Return the sides without those of a few points that only lead from one long line to the next."""
    kept = list(sides)
    for side in sides:
        if side.radius or side.count > SCRAP or len(kept) < 4:
            continue
        k = kept.index(side)
        before, after = kept[k - 1], kept[(k + 1) % len(kept)]
        if before.radius or after.radius:
            continue
        gap = math.dist(before.last, after.first)
        near = _in_line(before, after, gap / 4) or math.dist(_corner(before, after), side.first) < gap
        if near and min(before.count, after.count) > side.count:
            del kept[k]
    return kept


def _in_line(before: _Side, after: _Side, off: float) -> bool:
    """Tell whether one line goes on as the other."""
    dx, dy = after.first[0] - before.at[0], after.first[1] - before.at[1]
    away = dx * math.sin(before.way) - dy * math.cos(before.way)
    return not before.radius and not after.radius and abs(_turn(before, after)) < LEAST_TURN / 4 and abs(away) < off


def _joined(sides: list[_Side]) -> list[_Side]:
    """Return the sides with lines that go straight on made one."""
    out: list[_Side] = []
    for side in sides:
        if out and _in_line(out[-1], side, math.dist(out[-1].last, side.first)):
            longer = max(out[-1], side, key=lambda one: one.count)
            joint = _Side(longer.at, longer.way, out[-1].first, side.last, count=out[-1].count + side.count)
            out[-1] = joint
        else:
            out.append(side)
    if len(out) > 2 and _in_line(out[-1], out[0], math.dist(out[-1].last, out[0].first)):
        longer = max(out[-1], out[0], key=lambda one: one.count)
        out[0] = _Side(longer.at, longer.way, out[-1].first, out[0].last, count=out[-1].count + out[0].count)
        out.pop()
    return out


def _rounds(side: _Side, before: _Side, after: _Side) -> bool:
    if not side.radius or before.radius or after.radius:
        return False
    turn = _turn(before, after)
    low, high = SWEEP_OF_TURN
    return LEAST_TURN < abs(turn) < MOST_TURN and low < side.sweep / turn < high


def _corner(before: _Side, after: _Side) -> Point:
    """Return where two kept sides meet: lines cross, anything else meets where the chain was cut."""
    joint = ((before.last[0] + after.first[0]) / 2, (before.last[1] + after.first[1]) / 2)
    if before.radius or after.radius or abs(_turn(before, after)) < LEAST_TURN / 4:
        return joint
    (xa, ya), (xb, yb) = before.at, after.at
    ca, sa, cb, sb = math.cos(before.way), math.sin(before.way), math.cos(after.way), math.sin(after.way)
    along = ((xb - xa) * sb - (yb - ya) * cb) / (ca * sb - sa * cb)
    return (xa + along * ca, ya + along * sa)
