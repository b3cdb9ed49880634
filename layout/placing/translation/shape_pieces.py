"""Shapes of the model as convex pieces: the usual ones exactly, any other cut up."""

from __future__ import annotations

import math
from functools import cache
from typing import TYPE_CHECKING

from layout.placing.translation.pieces import Piece, Rounding, hull

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from layout.project.model.shape import Shape

ARC_MM = 0.1
"""Most that a polygon leaves an arc of a free-form shape, mm, to the side that is asked for."""


@cache
def pieces_of(shape: Shape, side: Rounding) -> tuple[Piece, ...]:
    """Return convex pieces that together make a shape, in its owner's frame.

    Rectangles, circles and slots are exact whatever their turn; other shapes hold the true one (``safe``) or lie in
    it (``loose``).
    """
    if shape.rect:
        half_w, half_h = shape.rect[0] / 2 - shape.radius, shape.rect[1] / 2 - shape.radius
        corners = [(-half_w, -half_h), (half_w, -half_h), (half_w, half_h), (-half_w, half_h)]
        return (_set(shape, corners, shape.radius),)
    if shape.circle:
        return (_set(shape, [(0.0, 0.0)], shape.circle / 2),)
    if shape.slot:
        half, radius = (shape.slot[0] - shape.slot[1]) / 2, shape.slot[1] / 2
        return (_set(shape, [(-half, 0.0), (half, 0.0)], radius),)
    return polygon_pieces(area_of(shape, side))


def _set(shape: Shape, points: list[tuple[float, float]], radius: float) -> Piece:
    x, y = shape.at
    quarter, rest = divmod(shape.turn, 90)
    if rest == 0:
        return _rounded(Piece(hull(points), radius).turned(int(quarter) % 4 * 90).moved(x, y))
    cos, sin = math.cos(math.radians(shape.turn)), math.sin(math.radians(shape.turn))
    return _rounded(Piece(hull((cos * px - sin * py + x, sin * px + cos * py + y) for px, py in points), radius))


def _rounded(piece: Piece) -> Piece:
    """Return the piece without the dust of floating point, so that equal shapes give equal rows."""
    return Piece(tuple((round(x, 9) + 0.0, round(y, 9) + 0.0) for x, y in piece.points), round(piece.radius, 9))


def area_of(shape: Shape, side: Rounding, tolerance_mm: float = ARC_MM) -> BaseGeometry:
    """Return a polygon outside (``safe``) or inside (``loose``) a shape, in its owner's frame."""
    from layout.geometry.polygon import inside_polygon, outside_polygon  # shapely

    return (outside_polygon if side is Rounding.SAFE else inside_polygon)(shape.to_path(), tolerance_mm)


def polygon_pieces(area: BaseGeometry) -> tuple[Piece, ...]:
    """Return the convex pieces of a polygon."""
    import shapely

    from layout.geometry.convex import convex_pieces

    rings = [shapely.get_coordinates(piece.exterior).tolist() for piece in convex_pieces(area)]
    found = [Piece(hull((round(x, 9), round(y, 9)) for x, y in ring)) for ring in rings]
    return tuple(piece for piece in found if len(piece.points) > 2)
