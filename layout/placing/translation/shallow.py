"""Where a panel is too shallow for a given depth."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.placing.translation.pieces import Piece, Rounding, hull
from layout.placing.translation.shape_pieces import pieces_of, polygon_pieces

if TYPE_CHECKING:
    from layout.geometry.box import Point
    from layout.project.model.panel import DepthPoint, Panel

DepthCorner = tuple[float, float, float]
"""x, y and depth, mm."""

BEYOND_MM = 2000.0
"""How far past the depth points the least depth is taken to go on."""


def shallow(panel: Panel, needed_mm: float, side: Rounding) -> tuple[Piece, ...] | None:
    """Return the pieces of a panel where less than the needed depth is free behind the sheet.

    Returns
    -------
    tuple of Piece or None
        None when the whole panel is too shallow. A panel that says no depth at all forbids nothing here: that its
        depth is not known is a finding of its own.
    """
    if panel.depth is not None and panel.depth < needed_mm:
        return None
    pieces = [piece for step in panel.depth_steps if step.depth < needed_mm for piece in pieces_of(step.shape, side)]
    if panel.depth_at:
        pieces += _surface(panel.depth_at, needed_mm)
    return tuple(pieces)


def deepest(panel: Panel) -> float | None:
    """Return the largest free depth that a panel has anywhere, mm, or None where it says none."""
    varied = [point.depth for point in panel.depth_at] or [step.depth for step in panel.depth_steps]
    if panel.depth is None:
        return max(varied, default=None)
    return min(panel.depth, max(varied)) if panel.depth_at else panel.depth


def triangles(points: tuple[DepthPoint, ...]) -> list[tuple[DepthCorner, ...]]:
    """Return the Delaunay triangles of depth points, each corner with its depth."""
    import shapely

    depth = {point.at: point.depth for point in points}
    found = shapely.delaunay_triangles(shapely.MultiPoint([point.at for point in points]))
    corners = [shapely.get_coordinates(part)[:3].tolist() for part in shapely.get_parts(found)]
    return [tuple((x, y, depth[(x, y)]) for x, y in ring) for ring in corners]


def _surface(points: tuple[DepthPoint, ...], needed_mm: float) -> list[Piece]:
    import shapely

    pieces = [Piece(part) for spots in triangles(points) if len(part := _below(spots, needed_mm)) > 2]
    if min(point.depth for point in points) < needed_mm:
        inner = shapely.MultiPoint([point.at for point in points]).convex_hull
        x0, y0, x1, y1 = inner.bounds
        around = shapely.box(x0 - BEYOND_MM, y0 - BEYOND_MM, x1 + BEYOND_MM, y1 + BEYOND_MM)
        pieces += polygon_pieces(around.difference(inner))
    return pieces


def _below(spots: tuple[DepthCorner, ...], needed_mm: float) -> tuple[Point, ...]:
    """Return the part of a triangle where the depth is less than needed, as the corners of a hull."""
    kept: list[Point] = []
    for (x0, y0, d0), (x1, y1, d1) in zip(spots, (*spots[1:], spots[0]), strict=True):
        if d0 < needed_mm:
            kept.append((x0, y0))
        if (d0 < needed_mm) != (d1 < needed_mm):
            share = (needed_mm - d0) / (d1 - d0)
            kept.append((x0 + share * (x1 - x0), y0 + share * (y1 - y0)))
    return hull((round(x, 9), round(y, 9)) for x, y in kept)
