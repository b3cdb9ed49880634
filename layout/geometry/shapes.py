"""The shapes that panels, faces and cut-outs are made of, as closed counter-clockwise paths."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from layout.geometry.box import Point
from layout.geometry.crossing import crosses_itself
from layout.geometry.path import Path
from layout.geometry.segment import JOIN_MM, Arc, Line, Segment, distance_mm
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence


def rectangle(width_mm: float, height_mm: float, *, radius_mm: float = 0, at: Point = (0, 0)) -> Path:
    """Return a rectangle centred at ``at``, its corners rounded by ``radius_mm``.

    Raises
    ------
    ValueError
        When a side is not more than 0, or the radius is negative or more than half the shorter side.
    """
    _positive("width_mm", width_mm)
    _positive("height_mm", height_mm)
    if not 0 <= radius_mm <= min(width_mm, height_mm) / 2 + JOIN_MM:
        raise ValueError(
            f"radius_mm must be from 0 to half the shorter side ({min(width_mm, height_mm) / 2:g}), got {radius_mm}"
        )
    x, y = width_mm / 2, height_mm / 2
    corners = ((-x, -y), (x, -y), (x, y), (-x, y))
    vertices = [(at[0] + cx, at[1] + cy) for cx, cy in corners]
    radius_mm = min(radius_mm, x, y)
    return fillet_path(vertices, [radius_mm] * 4)


def circle(diameter_mm: float, *, at: Point = (0, 0)) -> Path:
    """Return a circle centred at ``at``: two half arcs, the first starting on its right.

    Raises
    ------
    ValueError
        When the diameter is not more than 0.
    """
    _positive("diameter_mm", diameter_mm)
    centre = (float(at[0]), float(at[1]))
    right, left = (centre[0] + diameter_mm / 2, centre[1]), (centre[0] - diameter_mm / 2, centre[1])
    return Path((Arc(right, left, centre, ccw=True), Arc(left, right, centre, ccw=True)), closed=True)


def slot(length_mm: float, width_mm: float, *, at: Point = (0, 0), turn_deg: float = 0) -> Path:
    """Return a slot with round ends, ``length_mm`` over all, lying along x before it is turned.

    Raises
    ------
    ValueError
        When the width is not more than 0 or the length is less than the width.
    """
    _positive("width_mm", width_mm)
    if not length_mm >= width_mm:
        raise ValueError(f"length_mm must be at least width_mm ({width_mm:g}), got {length_mm}")
    if length_mm - width_mm <= JOIN_MM:
        return circle(width_mm, at=at)
    return rectangle(length_mm, width_mm, radius_mm=width_mm / 2, at=at).turned(turn_deg, about=at)


def polygon(points: Sequence[Point]) -> Path:
    """Return the closed path through ``points``, made counter-clockwise.

    A point equal to the one before it is left out, so the first may be repeated at the end.

    Raises
    ------
    ValueError
        When fewer than three different points are left, they enclose nothing, or the path crosses itself.
    """
    return _not_crossing(fillet_path(points, [0.0] * len(points)))


def fillet_path(vertices: Sequence[Point], radii_mm: Sequence[float]) -> Path:
    """Return the closed path through ``vertices`` with each corner rounded by its radius.

    Parameters
    ----------
    vertices
        Corners in order, before rounding.
    radii_mm
        One radius a corner; 0 keeps it sharp.

    Raises
    ------
    ValueError
        When the counts differ, fewer than three different corners are left, nothing is enclosed, a
        radius is negative, or two roundings do not fit on the side they share.
    """
    if len(vertices) != len(radii_mm):
        raise ValueError(f"each corner has one radius, got {len(vertices)} corners and {len(radii_mm)} radii")
    return _through([_Corner(vertex, radius) for vertex, radius in zip(vertices, radii_mm, strict=True)])


PathStep = tuple[str, Point, Any]
"""``("corner", at, radius_mm)``: straight on to a corner; ``("arc", end, through)``: along an arc to ``end``."""


def path_through(steps: Sequence[PathStep]) -> Path:
    """Return the closed path that goes through all steps and back to the first, made counter-clockwise.

    The way to the first step starts where the last one ends.

    Raises
    ------
    ValueError
        As ``fillet_path``; also when a step is of another kind, the three points of an arc lie on
        one line, a rounded corner lies beside an arc, or the path crosses itself.
    """
    corners = []
    for kind, at, more in steps:
        if kind not in ("corner", "arc"):
            raise ValueError(f"a step is a corner or an arc, got {kind!r}")
        corners.append(_Corner(at, more) if kind == "corner" else _Corner(at, 0.0, more))
    return _not_crossing(_through(corners))


def as_circle(path: Path) -> tuple[Point, float] | None:
    """Return (centre, diameter in mm) when the closed path is one full circle, else None."""
    first = path.segments[0]
    if not path.closed or not isinstance(first, Arc):
        return None
    sweep = 0.0
    for segment in path.segments:
        if not isinstance(segment, Arc) or segment.ccw != first.ccw:
            return None
        if distance_mm(segment.centre, first.centre) > JOIN_MM or abs(segment.radius - first.radius) > JOIN_MM:
            return None
        sweep += abs(segment.sweep)
    if abs(sweep - math.tau) > JOIN_MM:
        return None
    return first.centre, 2 * first.radius


def _positive(name: str, value: float) -> None:
    if not (value > 0 and math.isfinite(value)):
        raise ValueError(f"{name} must be more than 0, got {value}")


def _not_crossing(path: Path) -> Path:
    at = crosses_itself(path)
    if at is not None:
        raise ValueError(f"the path crosses or touches itself at ({at[0]:g}, {at[1]:g})")
    return path


@dataclass(frozen=True, slots=True)
class _Corner:
    """A corner of a closed path; with ``through`` the way to it is an arc."""

    at: Point
    radius_mm: float = 0.0
    through: Point | None = None


def _through(steps: Sequence[_Corner]) -> Path:
    corners = _distinct(steps)
    count = len(corners)
    if count < (2 if any(corner.through for corner in corners) else 3):
        raise ValueError(f"a closed path has at least three different corners, got {count}")
    roundings = [_rounding(corners[i - 1], corners[i], corners[(i + 1) % count]) for i in range(count)]
    segments: list[Segment] = []
    for i, rounding in enumerate(roundings):
        following = roundings[(i + 1) % count]
        here, after = corners[i], corners[(i + 1) % count]
        if rounding[2] is not None:
            segments.append(rounding[2])
        if after.through is not None:
            segments.append(_arc_through(here.at, after.through, after.at))
            continue
        side = distance_mm(here.at, after.at)
        used = distance_mm(here.at, rounding[1]) + distance_mm(after.at, following[0])
        if used > side + JOIN_MM:
            raise ValueError(
                f"the radii at {_shown(here.at)} and {_shown(after.at)} need {used:g} mm of a side of {side:g} mm"
            )
        if side - used > JOIN_MM:
            segments.append(Line(rounding[1], following[0]))
    path = Path(tuple(segments), closed=True)
    if abs(path.area()) <= JOIN_MM:
        raise ValueError("the corners enclose no area")
    return path.counter_clockwise()


def _shown(point: Point) -> str:
    return f"({point[0]:g}, {point[1]:g})"


def _distinct(steps: Sequence[_Corner]) -> list[_Corner]:
    """Return the corners without those that only repeat the one before."""
    kept: list[_Corner] = []
    for step in steps:
        if not step.radius_mm >= 0:
            raise ValueError(f"a radius must be at least 0, got {step.radius_mm}")
        corner = _Corner((float(step.at[0]), float(step.at[1])), float(step.radius_mm), step.through)
        if corner.through is not None or not kept or distance_mm(kept[-1].at, corner.at) > JOIN_MM:
            kept.append(corner)
    if len(kept) > 1 and kept[0].through is None and distance_mm(kept[0].at, kept[-1].at) <= JOIN_MM:
        last = kept.pop()
        kept[0] = _Corner(last.at, max(last.radius_mm, kept[0].radius_mm), last.through) if last.through else kept[0]
    return kept


def _arc_through(start: Point, through: Point, end: Point) -> Arc:
    """Return the arc from ``start`` to ``end`` that passes ``through``."""
    ax, ay = through[0] - start[0], through[1] - start[1]
    bx, by = end[0] - start[0], end[1] - start[1]
    cross = ax * by - ay * bx
    if abs(cross) <= JOIN_MM * max(1.0, math.hypot(bx, by)):
        points = ", ".join(_shown(point) for point in (start, through, end))
        raise ValueError(f"an arc goes through three points that are not on one line, got {points}")
    a2, b2 = ax * ax + ay * ay, bx * bx + by * by
    centre = (start[0] + (by * a2 - ay * b2) / (2 * cross), start[1] + (ax * b2 - bx * a2) / (2 * cross))
    return Arc(start, end, centre, ccw=cross > 0)


def _rounding(before: _Corner, corner: _Corner, after: _Corner) -> tuple[Point, Point, Arc | None]:
    """Return where the rounding of a corner starts and ends, and its arc (None where it stays sharp)."""
    at, radius_mm = corner.at, corner.radius_mm
    if radius_mm <= JOIN_MM:
        return at, at, None
    if corner.through is not None or after.through is not None:
        raise ValueError(f"the corner at {_shown(at)} lies beside an arc and takes no radius of its own")
    back, forth = Line(at, before.at).heading_at(0), Line(at, after.at).heading_at(0)
    cross = back[0] * forth[1] - back[1] * forth[0]
    if abs(cross) < 1e-12:
        return at, at, None
    half = math.atan2(abs(cross), back[0] * forth[0] + back[1] * forth[1]) / 2
    reach = radius_mm / math.tan(half)
    start = (at[0] + back[0] * reach, at[1] + back[1] * reach)
    end = (at[0] + forth[0] * reach, at[1] + forth[1] * reach)
    bisector = (back[0] + forth[0], back[1] + forth[1])
    scale = radius_mm / math.sin(half) / math.hypot(*bisector)
    centre = (at[0] + bisector[0] * scale, at[1] + bisector[1] * scale)
    return start, end, Arc(start, end, centre, ccw=cross < 0)
