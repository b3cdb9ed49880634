"""Dimensions round a panel: its corners or overall sizes, and the centres of its cut-outs from the datum."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.elements.dimension import Band, Stop, dimension_band
from layout.drawing.panel.outline_corners import Setout, setout
from layout.drawing.panel.panel_view import View
from layout.geometry.path import Box

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.drawing.panel.holes import Hole
    from layout.drawing.panel.placed_panel import PanelShapes
    from layout.geometry.path import Point

SLACK_MM = 12.0
"""How far the texts of a running dimension may spread beyond the panel's ends."""

_LEAST_MM = 0.01
"""A corner nearer than this to the end of an overall size is that end."""

_CLEAR_MM = 4.0
"""Names may stand over the outline by this much before they come into the dimensions' room."""


def outline_room_mm(shapes: PanelShapes) -> tuple[float, float]:
    """Return how much room the dimensions of all corners take above the outline and beside it, mm on paper."""
    corners = setout(shapes.outline).corners
    edge = Box(0.0, 0.0, shapes.box.width, shapes.box.height)
    across, up = _outline_bands(shapes, corners, View(scale=1.0, at=(-shapes.box.x0, -shapes.box.y0)), edge, 2.5)
    return max(across.depth_mm, _CLEAR_MM) + 1.0, max(up.depth_mm, _CLEAR_MM) + 1.0


def dimensions(
    shapes: PanelShapes,
    found: Sequence[Hole],
    place: View,
    *,
    height_mm: float = 2.5,
    through: bool = True,
    shape: Setout | None = None,
) -> list[Band]:
    """Return overall sizes above and beside, then the centres of cut-outs below and beside.

    A panel with fixings only has those dimensioned. The datum's side carries the heights.

    Parameters
    ----------
    through
        Run thin lines from the centres to their dimensions; without, extension lines start at the outline.
    shape
        Dimensions every corner of the outline, from the datum, in place of the overall sizes alone.
    """
    edge = place.box(shapes.box)
    datum = place.point(shapes.datum)
    front = shapes.side == "front"
    cut = [hole for hole in found if hole.kind != "fixing"] or list(found)
    xs, ys = [], []
    for hole in cut:
        x, y = place.point(hole.at)
        xs.append(Stop(at_mm=x, value_mm=hole.xy[0], from_mm=y if through else None, units=shapes.units))
        ys.append(Stop(at_mm=y, value_mm=hole.xy[1], from_mm=x if through else None, units=shapes.units))
    near = edge.x0 if front else edge.x1
    return [
        *_outline_bands(shapes, shape.corners if shape else (), place, edge, height_mm),
        dimension_band(
            xs,
            origin_mm=datum[0],
            side="below",
            edge_mm=edge.y0,
            low_mm=edge.x0 - SLACK_MM,
            high_mm=edge.x1 + SLACK_MM,
            height_mm=height_mm,
        ),
        dimension_band(
            ys,
            origin_mm=datum[1],
            side="left" if front else "right",
            edge_mm=near,
            low_mm=edge.y0 - SLACK_MM,
            high_mm=edge.y1 + SLACK_MM,
            height_mm=height_mm,
        ),
    ]


def _outline_bands(
    shapes: PanelShapes, corners: Sequence[Point], place: View, edge: Box, height_mm: float
) -> tuple[Band, Band]:
    """Return the overall width and height with the corners between them; far from the datum, and above."""
    box, front = shapes.box, shapes.side == "front"
    across = [Stop(at_mm=edge.x1 if front else edge.x0, value_mm=box.width, units=shapes.units)]
    up = [Stop(at_mm=edge.y1, value_mm=box.height, units=shapes.units)]
    for corner in corners:
        x, y = place.point(corner)
        from_x, from_y = shapes.coordinates(corner)
        if _LEAST_MM < from_x < box.width - _LEAST_MM:
            across.append(Stop(at_mm=x, value_mm=from_x, from_mm=y, units=shapes.units))
        if _LEAST_MM < from_y < box.height - _LEAST_MM:
            up.append(Stop(at_mm=y, value_mm=from_y, from_mm=x, units=shapes.units))
    datum, far = place.point(shapes.datum), edge.x1 if front else edge.x0
    return (
        dimension_band(
            across, origin_mm=datum[0], side="above", edge_mm=edge.y1, low_mm=edge.x0 - SLACK_MM,
            high_mm=edge.x1 + SLACK_MM, height_mm=height_mm,
        ),
        dimension_band(
            up, origin_mm=datum[1], side="right" if front else "left", edge_mm=far, low_mm=edge.y0 - SLACK_MM,
            high_mm=edge.y1 + SLACK_MM, height_mm=height_mm,
        ),
    )  # fmt: skip


def band_boxes(bands: Sequence[Band], shapes: PanelShapes, edge: Box) -> list[Box]:
    """Return the room that dimensions take beside the outline; ``bands`` as :func:`dimensions` gives them."""
    above, beside, below, datum_side = (max(band.depth_mm, _CLEAR_MM) for band in bands)
    left, right = (datum_side, beside) if shapes.side == "front" else (beside, datum_side)
    return [
        Box(edge.x0, edge.y1 + _CLEAR_MM, edge.x1, edge.y1 + above),
        Box(edge.x0 - SLACK_MM, edge.y0 - below, edge.x1 + SLACK_MM, edge.y0 - _CLEAR_MM),
        Box(edge.x0 - left, edge.y0, edge.x0 - _CLEAR_MM, edge.y1),
        Box(edge.x1 + _CLEAR_MM, edge.y0, edge.x1 + right, edge.y1),
    ]
