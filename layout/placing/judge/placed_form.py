"""The exact shapes the judge measures: declared once, turned, and set down where a device stands."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

from layout.geometry.box import Box, Point
from layout.geometry.convex import convex_pieces, minkowski
from layout.geometry.distance import Nearest, circle_gap_mm, nearest_shapes
from layout.geometry.polygon import inside_polygon, outside_polygon
from layout.geometry.segment import Line, turned_point
from layout.geometry.shapes import as_circle, circle, polygon, rectangle
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from shapely import Polygon

    from layout.geometry.path import Path
    from layout.project.model.device import PlugRoom
    from layout.project.model.shape import Shape

FLOAT_SLACK_MM = 1e-6
"""A distance that misses its limit by no more than this holds it: the sums of floats are no truer, in mm."""

FINE_MM = 1e-6
"""Tolerance of polygons where the usual ones leave open whether two shapes overlap, in mm."""


@dataclass(frozen=True, slots=True, eq=False)
class Form:
    """A shape about its owner's origin.

    Attributes
    ----------
    path
        The outline with true arcs.
    box
        Its upright bounding box.
    circle
        Centre and diameter where it is a full circle.
    upright
        Whether it fills its bounding box.
    """

    path: Path
    box: Box
    circle: tuple[Point, float] | None
    upright: bool


@dataclass(frozen=True, slots=True, eq=False)
class PlacedForm:
    """A form set down at (x, y) of a panel, and whose it is."""

    owner: str
    form: Form
    x: float
    y: float
    box: Box

    def path(self) -> Path:
        """Return the outline in panel coordinates."""
        return self.form.path.moved(self.x, self.y)


def form_of(path: Path) -> Form:
    """Return the form of a closed path."""
    box = path.bounds()
    straight = len(path.segments) == 4 and all(isinstance(segment, Line) for segment in path.segments)
    upright = straight and abs(path.area() - box.width * box.height) <= FLOAT_SLACK_MM
    return Form(path, box, as_circle(path), upright)


@lru_cache(maxsize=8192)
def shape_form(shape: Shape, turn: int = 0) -> Form:
    """Return a declared shape, turned about its owner's origin."""
    return form_of(shape.to_path().turned(turn))


@lru_cache(maxsize=8192)
def hole_form(diameter_mm: float, at: Point, turn: int) -> Form:
    """Return a round hole at ``at`` of a device, turned with it."""
    return form_of(circle(diameter_mm, at=turned_point(at, turn)))


@lru_cache(maxsize=8192)
def roomy_form(shape: Shape, tail: PlugRoom, turn: int) -> Form:
    """Return a body with its tail room to all four sides, turned with its device.

    The room of a body that is no upright box is that of a polygon outside it by at most 0.005 mm.
    """
    bare = shape_form(shape, 0)
    if not (tail.left or tail.right or tail.above or tail.below):
        return shape_form(shape, turn)
    box = bare.box
    if bare.upright:
        room = Box(box.x0 - tail.left, box.y0 - tail.below, box.x1 + tail.right, box.y1 + tail.above)
        return form_of(rectangle(room.width, room.height, at=room.centre).turned(turn))
    import shapely  # only for bodies that are no box

    sides = shapely.box(-tail.left, -tail.below, tail.right, tail.above)
    if sides.area == 0:
        sides = sides.buffer(FLOAT_SLACK_MM, join_style="mitre")
    sums = shapely.union_all([minkowski(piece, sides) for piece in convex_pieces(outside_polygon(bare.path))])
    return form_of(polygon([(float(x), float(y)) for x, y in sums.exterior.coords]).turned(turn))


def placed_form(owner: str, form: Form, x: float = 0.0, y: float = 0.0) -> PlacedForm:
    """Set a form down at (x, y)."""
    return PlacedForm(owner, form, x, y, form.box.moved(x, y))


@lru_cache(maxsize=8192)
def _outside(form: Form, tolerance_mm: float) -> Polygon:
    return outside_polygon(form.path, tolerance_mm)


@lru_cache(maxsize=8192)
def _inside(form: Form, tolerance_mm: float) -> Polygon:
    return inside_polygon(form.path, tolerance_mm)


def outside_polygon_of(part: PlacedForm, tolerance_mm: float = 0.005, *, shift: Point = (0.0, 0.0)) -> Polygon:
    """Return the polygon outside a part, in panel coordinates, moved on by ``shift``."""
    return _moved(_outside(part.form, tolerance_mm), part.x + shift[0], part.y + shift[1])


def inside_polygon_of(part: PlacedForm, tolerance_mm: float = 0.005) -> Polygon:
    """Return the polygon inside a part, in panel coordinates."""
    return _moved(_inside(part.form, tolerance_mm), part.x, part.y)


def _moved(area: Polygon, dx: float, dy: float) -> Polygon:
    from shapely.affinity import translate  # heavy

    return translate(area, dx, dy)


def clearance(first: PlacedForm, second: PlacedForm, enough_mm: float) -> Nearest | None:
    """Return the shortest way between two parts, or None where they are ``enough_mm`` apart or more.

    Boxes and circles are measured by formula, other shapes by polygons outside them first and with
    true arcs where that leaves it open. Parts that overlap are 0 apart, and never enough even where 0 is.
    """
    if enough_mm <= FLOAT_SLACK_MM:
        return nearest_shapes(first.path(), second.path()) if overlap(first, second) else None
    enough_mm -= FLOAT_SLACK_MM
    if first.box.gap_mm(second.box) >= enough_mm:
        return None
    if first.form.circle and second.form.circle:
        way = _between_circles(first, second)
        return way if way.distance_mm < enough_mm else None
    if not (first.form.upright and second.form.upright):
        apart = outside_polygon_of(first).distance(outside_polygon_of(second))
        if apart >= enough_mm:
            return None
    way = nearest_shapes(first.path(), second.path())
    return way if way.distance_mm < enough_mm else None


def _between_circles(first: PlacedForm, second: PlacedForm) -> Nearest:
    if first.form.circle is None or second.form.circle is None:
        raise ValueError("both parts are circles")
    (ax, ay), a_size = first.form.circle
    (bx, by), b_size = second.form.circle
    one, other = (ax + first.x, ay + first.y), (bx + second.x, by + second.y)
    gap = circle_gap_mm(one, a_size, other, b_size)
    apart = math.dist(one, other)
    if apart == 0 or gap <= 0:
        return Nearest(0.0, one, other)
    ux, uy = (other[0] - one[0]) / apart, (other[1] - one[1]) / apart
    on_one = (one[0] + ux * a_size / 2, one[1] + uy * a_size / 2)
    return Nearest(gap, on_one, (other[0] - ux * b_size / 2, other[1] - uy * b_size / 2))


def overlap(first: PlacedForm, second: PlacedForm) -> Box | None:
    """Return the box of what two parts have in common, or None where they are apart or only touch."""
    width = min(first.box.x1, second.box.x1) - max(first.box.x0, second.box.x0)
    height = min(first.box.y1, second.box.y1) - max(first.box.y0, second.box.y0)
    if width <= FLOAT_SLACK_MM or height <= FLOAT_SLACK_MM:
        return None
    if first.form.upright and second.form.upright:
        x, y = max(first.box.x0, second.box.x0), max(first.box.y0, second.box.y0)
        return Box(x, y, x + width, y + height)
    if first.form.circle and second.form.circle:
        (ax, ay), a_size = first.form.circle
        (bx, by), b_size = second.form.circle
        gap = circle_gap_mm((ax + first.x, ay + first.y), a_size, (bx + second.x, by + second.y), b_size)
        if gap >= -FLOAT_SLACK_MM:
            return None
    common = outside_polygon_of(first).intersection(outside_polygon_of(second))
    if common.area <= FLOAT_SLACK_MM:
        return None
    if inside_polygon_of(first).intersection(inside_polygon_of(second)).area <= FLOAT_SLACK_MM:
        common = outside_polygon_of(first, FINE_MM).intersection(outside_polygon_of(second, FINE_MM))
        if common.area <= FLOAT_SLACK_MM:
            return None
    return Box(*common.bounds)
