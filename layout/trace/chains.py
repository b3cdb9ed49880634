"""Pieces of a drawing joined end to end into closed chains, and a chain as an outline of corners and radii."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from layout.geometry.path import Arc, Box, Line
from layout.light_dataclass import dataclass
from layout.trace.outline import Outline
from layout.trace.result import TraceError

if TYPE_CHECKING:
    from layout.geometry.path import Point

JOIN_SHARE = 1e-4
"""Ends nearer than this share of the drawing's size are one point."""
TANGENT = 2e-3
"""Radians by which an arc may leave the line beside it and still be tangent."""
FIT_STATIONS = 900
"""Points that are taken of a chain of Bézier curves, to fit lines and arcs to."""
CURVE_MM = 0.01
"""How well a fit follows the curves of a drawing."""


@dataclass(frozen=True, slots=True)
class Curve:
    """A line or arc of a drawing, in its units; ``bent`` is a chord of a curve that is neither."""

    start: Point
    end: Point
    bulge: float
    bent: bool = False

    def reversed(self) -> Curve:
        """Return the piece travelled the other way."""
        return Curve(self.end, self.start, -self.bulge, self.bent)


ChainPiece = Curve


@dataclass(frozen=True, slots=True)
class _Chain:
    """Pieces that follow each other round, in the drawing's units."""

    pieces: tuple[Curve, ...]

    def area(self) -> float:
        """Return the signed area."""
        total = 0.0
        for piece in self.pieces:
            (xa, ya), (xb, yb) = piece.start, piece.end
            total += (xa * yb - xb * ya) / 2
            if piece.bulge:
                sweep = 4 * math.atan(piece.bulge)
                radius = math.dist(piece.start, piece.end) / 2 / math.sin(sweep / 2)
                total += radius**2 * (sweep - math.sin(sweep)) / 2
        return total

    def bounds(self) -> Box:
        """Return the box around it, bulges of arcs included."""
        return Box.around(_segment(piece).bounds() for piece in self.pieces)


def _segment(piece: Curve) -> Line | Arc:
    if not piece.bulge:
        return Line(piece.start, piece.end)
    lever = (1 / piece.bulge - piece.bulge) / 4
    dx, dy = piece.end[0] - piece.start[0], piece.end[1] - piece.start[1]
    centre = ((piece.start[0] + piece.end[0]) / 2 - lever * dy, (piece.start[1] + piece.end[1]) / 2 + lever * dx)
    return Arc(piece.start, piece.end, centre, piece.bulge > 0)


def closed_chains(pieces: list[Curve]) -> list[_Chain]:
    """Return every closed chain, counter-clockwise, lower left ones first; what stays open is left out."""
    finite = [piece for piece in pieces if all(map(math.isfinite, (*piece.start, *piece.end, piece.bulge)))]
    if not finite:
        return []
    xs = [x for piece in finite for x in (piece.start[0], piece.end[0])]
    ys = [y for piece in finite for y in (piece.start[1], piece.end[1])]
    join = JOIN_SHARE * max(max(xs) - min(xs), max(ys) - min(ys), 1e-9)
    rest = [piece for piece in finite if math.dist(piece.start, piece.end) > join / 100]
    ends: dict[tuple[int, int], list[int]] = {}
    for k, piece in enumerate(rest):
        for point in (piece.start, piece.end):
            ends.setdefault(_cell(point, join), []).append(k)
    used = [False] * len(rest)
    chains = []
    for k, piece in enumerate(rest):
        if used[k]:
            continue
        used[k] = True
        chain = _followed(piece, rest, ends, used, join)
        if chain:
            chains.append(
                chain if chain.area() > 0 else _Chain(tuple(one.reversed() for one in reversed(chain.pieces)))
            )
    chains = [chain for chain in chains if abs(chain.area()) > (10 * join) ** 2]
    return sorted(chains, key=lambda chain: (round(chain.bounds().y0, 3), round(chain.bounds().x0, 3)))


def _cell(point: Point, join: float) -> tuple[int, int]:
    return (round(point[0] / join / 4), round(point[1] / join / 4))


def _followed(
    first: Curve, rest: list[Curve], ends: dict[tuple[int, int], list[int]], used: list[bool], join: float
) -> _Chain | None:
    chain = [first]
    while math.dist(chain[-1].end, first.start) > join:
        at = chain[-1].end
        x, y = _cell(at, join)
        near = [k for dx in (-1, 0, 1) for dy in (-1, 0, 1) for k in ends.get((x + dx, y + dy), ()) if not used[k]]
        onward = [(math.dist(at, one.start), k, one) for k in near for one in (rest[k], rest[k].reversed())]
        onward = [one for one in onward if one[0] <= join]
        if not onward:
            return None
        _, k, piece = min(onward, key=lambda one: one[:2])
        used[k] = True
        chain.append(piece)
    return _Chain(tuple(chain))


def outline_of(chain: _Chain, factor: float) -> Outline:
    """Return a chain as corners with radii and arcs, in mm.

    Raises
    ------
    TraceError
        When the chain crosses itself, or its curves can't be made of lines and arcs.
    """
    scaled = [
        Curve(
            (piece.start[0] * factor, piece.start[1] * factor),
            (piece.end[0] * factor, piece.end[1] * factor),
            piece.bulge,
            piece.bent,
        )
        for piece in chain.pieces
    ]
    outline = _fitted(scaled) if any(piece.bent for piece in scaled) else _exact(scaled)
    try:
        outline.path()
    except ValueError as error:
        raise TraceError(f"a shape of the drawing can't be cut: {error}", "mend it in the drawing") from None
    return outline


def _fitted(pieces: list[Curve]) -> Outline:
    from layout.trace.contour import stations
    from layout.trace.fit import fitted_outline

    chain = [point for piece in pieces for point in _segment(piece).points(CURVE_MM / 4)]
    points, _ = stations(np.array(chain), FIT_STATIONS, smooth=0.01)
    try:
        return fitted_outline(points, CURVE_MM).outline
    except ValueError as error:
        raise TraceError(f"a curve of the drawing is not made of lines and arcs: {error}", "redraw it so") from None


def _exact(pieces: list[Curve]) -> Outline:
    circle = _as_circle(pieces)
    if circle:
        return Outline(round=circle)
    merged = _merged(pieces)
    rounds = [_is_rounding(merged, k) for k in range(len(merged))]
    if all(rounds):
        rounds = [False] * len(merged)
    kept = [piece for piece, is_rounding in zip(merged, rounds, strict=True) if not is_rounding]
    corners: list[Point] = []
    radii: list[float | None] = []
    for k, piece in enumerate(merged):
        if rounds[k]:
            continue
        if rounds[k - 1]:
            corners.append(_meeting(merged[k - 2], piece))
            radii.append(_radius(merged[k - 1]))
        else:
            corners.append(piece.start)
            radii.append(None)
    return Outline(tuple(corners), tuple(radii), tuple(piece.bulge or None for piece in kept))


def _as_circle(pieces: list[Curve]) -> tuple[float, float, float] | None:
    arcs = [_segment(piece) for piece in pieces]
    found = [arc for arc in arcs if isinstance(arc, Arc)]
    if len(found) != len(arcs):
        return None
    x, y, radius = *found[0].centre, found[0].radius
    same = all(math.dist(arc.centre, (x, y)) < 1e-3 and abs(arc.radius - radius) < 1e-3 for arc in found)
    return (x, y, radius) if same and abs(sum(arc.sweep for arc in found) - math.tau) < 1e-3 else None


def _merged(pieces: list[Curve]) -> list[Curve]:
    """Return the pieces with arcs of one circle made one (up to half a turn), and straight runs made one."""
    out: list[Curve] = []
    for piece in pieces:
        joined = _one(out[-1], piece) if out else None
        if joined:
            out[-1] = joined
        else:
            out.append(piece)
    if len(out) > 2 and (joined := _one(out[-1], out[0])):
        out = [joined, *out[1:-1]]
    return out


def _one(first: Curve, second: Curve) -> Curve | None:
    a, b = _segment(first), _segment(second)
    if isinstance(a, Line) and isinstance(b, Line):
        return Curve(first.start, second.end, 0.0) if abs(_bend(a, b)) < 1e-6 else None
    if isinstance(a, Arc) and isinstance(b, Arc) and math.dist(a.centre, b.centre) < 1e-4 and a.ccw == b.ccw:
        sweep = a.sweep + b.sweep
        return Curve(first.start, second.end, math.tan(sweep / 4)) if abs(sweep) <= math.pi + 1e-6 else None
    return None


def _bend(first: Line | Arc, second: Line | Arc) -> float:
    (xa, ya), (xb, yb) = first.heading_at(1.0), second.heading_at(0.0)
    return math.atan2(xa * yb - ya * xb, xa * xb + ya * yb)


def _is_rounding(pieces: list[Curve], k: int) -> bool:
    before, here, after = (_segment(pieces[i % len(pieces)]) for i in (k - 1, k, k + 1))
    if not (isinstance(before, Line) and isinstance(here, Arc) and isinstance(after, Line)) or len(pieces) < 4:
        return False
    tangent = abs(_bend(before, here)) < TANGENT and abs(_bend(here, after)) < TANGENT
    return tangent and abs(here.sweep) < math.radians(160)


def _radius(piece: Curve) -> float:
    arc = _segment(piece)
    return arc.radius if isinstance(arc, Arc) else 0.0


def _meeting(before: Curve, after: Curve) -> Point:
    (xa, ya), (xb, yb) = before.start, before.end
    (xc, yc), (xd, yd) = after.start, after.end
    turned = (xb - xa) * (yd - yc) - (yb - ya) * (xd - xc)
    along = ((xc - xa) * (yd - yc) - (yc - ya) * (xd - xc)) / turned
    return (xa + along * (xb - xa), ya + along * (yb - ya))
