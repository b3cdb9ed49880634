"""The shapes that panels, faces and cut-outs are made of, as closed counter-clockwise paths."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from layout.geometry.path import Path
from layout.geometry.segment import JOIN_MM, Arc, Line, Segment, distance_mm

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.geometry.box import Point


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

    A last point equal to the first is left out.

    Raises
    ------
    ValueError
        When fewer than three different points are left or they enclose nothing.
    """
    return fillet_path(points, [0.0] * len(points))


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
    corners = _distinct([(float(x), float(y)) for x, y in vertices], [float(radius) for radius in radii_mm])
    if len(corners) < 3:
        raise ValueError(f"a closed path has at least three different corners, got {len(corners)}")
    count = len(corners)
    roundings = [
        _rounding(corners[i - 1][0], corners[i][0], corners[(i + 1) % count][0], corners[i][1]) for i in range(count)
    ]
    segments: list[Segment] = []
    for i, rounding in enumerate(roundings):
        following = roundings[(i + 1) % count]
        corner, after = corners[i][0], corners[(i + 1) % count][0]
        side = distance_mm(corner, after)
        used = distance_mm(corner, rounding[1]) + distance_mm(after, following[0])
        if used > side + JOIN_MM:
            raise ValueError(
                f"the radii at ({corner[0]:g}, {corner[1]:g}) and ({after[0]:g}, {after[1]:g}) need {used:g} mm"
                f" of a side of {side:g} mm"
            )
        if rounding[2] is not None:
            segments.append(rounding[2])
        if side - used > JOIN_MM:
            segments.append(Line(rounding[1], following[0]))
    path = Path(tuple(segments), closed=True)
    if abs(path.area()) <= JOIN_MM:
        raise ValueError("the corners enclose no area")
    return path.counter_clockwise()


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


def _distinct(vertices: list[Point], radii_mm: list[float]) -> list[tuple[Point, float]]:
    """Pair corners with radii, leaving out a corner that repeats the one before it."""
    kept: list[tuple[Point, float]] = []
    for vertex, radius in zip(vertices, radii_mm, strict=True):
        if not radius >= 0:
            raise ValueError(f"a radius must be at least 0, got {radius}")
        if not kept or distance_mm(kept[-1][0], vertex) > JOIN_MM:
            kept.append((vertex, radius))
    if len(kept) > 1 and distance_mm(kept[0][0], kept[-1][0]) <= JOIN_MM:
        kept.pop()
    return kept


def _rounding(before: Point, corner: Point, after: Point, radius_mm: float) -> tuple[Point, Point, Arc | None]:
    """Return where the rounding of a corner starts and ends, and its arc (None where it stays sharp)."""
    back, forth = Line(corner, before).heading_at(0), Line(corner, after).heading_at(0)
    cross = back[0] * forth[1] - back[1] * forth[0]
    if radius_mm <= JOIN_MM or abs(cross) < 1e-12:
        return corner, corner, None
    half = math.atan2(abs(cross), back[0] * forth[0] + back[1] * forth[1]) / 2
    reach = radius_mm / math.tan(half)
    start = (corner[0] + back[0] * reach, corner[1] + back[1] * reach)
    end = (corner[0] + forth[0] * reach, corner[1] + forth[1] * reach)
    bisector = (back[0] + forth[0], back[1] + forth[1])
    scale = radius_mm / math.sin(half) / math.hypot(*bisector)
    centre = (corner[0] + bisector[0] * scale, corner[1] + bisector[1] * scale)
    return start, end, Arc(start, end, centre, ccw=cross < 0)
