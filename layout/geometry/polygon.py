"""Polygons that stand in for shapes with true arcs, always off the true outline on the safe side."""

from __future__ import annotations

import itertools
import math
from typing import TYPE_CHECKING, Any

import shapely

from layout.geometry.region import Region
from layout.geometry.segment import Arc, chord_count

if TYPE_CHECKING:
    from shapely import MultiPolygon, Polygon

    from layout.geometry.box import Point
    from layout.geometry.path import Path

__all__ = ["TOLERANCE_MM", "Region", "inside_polygon", "outside_polygon"]

TOLERANCE_MM = 0.005
"""Most that a polygon leaves the shape it stands for, in mm."""


def outside_polygon(shape: Path | Region, tolerance_mm: float = TOLERANCE_MM) -> Polygon | MultiPolygon:
    """Return a polygon that holds the whole shape and leaves it by at most ``tolerance_mm``.

    Its upright bounding box is that of the shape. Lines are kept as they are.
    """
    return _polygon(shape, tolerance_mm, outside=True)


def inside_polygon(shape: Path | Region, tolerance_mm: float = TOLERANCE_MM) -> Polygon | MultiPolygon:
    """Return a polygon that lies wholly inside the shape and leaves it by at most ``tolerance_mm``."""
    return _polygon(shape, tolerance_mm, outside=False)


def _ring(path: Path, tolerance_mm: float, *, outside: bool) -> list[Point]:
    """Return the corners of a ring round (``outside``) or within a closed path, counter-clockwise."""
    corners: list[Point] = []
    for segment in path.counter_clockwise().segments:
        corners.append(segment.start)
        if isinstance(segment, Arc):
            # An arc that bulges out is gone round by its tangents and cut off by its chords; a bay the other way.
            corners.extend(
                _tangents(segment, tolerance_mm) if segment.ccw is outside else _chords(segment, tolerance_mm)
            )
    return corners


def _polygon(shape: Path | Region, tolerance_mm: float, *, outside: bool) -> Polygon | MultiPolygon:
    region = shape if isinstance(shape, Region) else Region(shape)
    shell = _ring(region.outer, tolerance_mm, outside=outside)
    holes = [_ring(hole, tolerance_mm, outside=not outside) for hole in region.holes]
    found = shapely.Polygon(shell, holes)
    if found.is_valid:
        return found
    # Rings that touch or cross by the tolerance: taken apart, so that a hole stays a hole.
    solid, *gone = (shapely.make_valid(shapely.Polygon(corners)) for corners in (shell, *holes))
    return _areas(shapely.difference(solid, shapely.union_all(gone)))


def _areas(geometry: Any) -> Polygon | MultiPolygon:
    """Return the areas of what is left of a ring that touched itself, lines and points dropped."""
    parts = [part for part in shapely.get_parts(geometry) if part.geom_type == "Polygon"]
    return parts[0] if len(parts) == 1 else shapely.MultiPolygon(parts)


def _chords(arc: Arc, tolerance_mm: float) -> list[Point]:
    return list(arc.points(tolerance_mm)[1:])


def _tangents(arc: Arc, tolerance_mm: float) -> list[Point]:
    """Return the corners of tangents to an arc, touching it at its ends, at quarter points and between."""
    radius, corners = arc.radius, []
    for low, high in _quarters(arc):
        # A tangent corner stands r (1 / cos(a / 2) - 1) off the arc: as a chord of a circle of radius r + tolerance.
        count = chord_count(radius + tolerance_mm, high - low, tolerance_mm)
        half = (high - low) / count / 2
        reach = radius / math.cos(half)
        for step in range(count):
            angle = low + half * (2 * step + 1)
            corners.append((arc.centre[0] + reach * math.cos(angle), arc.centre[1] + reach * math.sin(angle)))
    return corners if arc.ccw else corners[::-1]


def _quarters(arc: Arc) -> list[tuple[float, float]]:
    """Return the angles (low, high) of an arc, parted where it touches its upright bounding box."""
    low = arc.start_angle if arc.ccw else arc.start_angle + arc.sweep
    high = low + abs(arc.sweep)
    stops = [low]
    quarter = math.floor(low / (math.pi / 2)) + 1
    while quarter * math.pi / 2 < high - 1e-9:
        if quarter * math.pi / 2 > low + 1e-9:
            stops.append(quarter * math.pi / 2)
        quarter += 1
    stops.append(high)
    return list(itertools.pairwise(stops))
