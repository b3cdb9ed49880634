"""A panel to look at on a screen: faces with their names, and the ways of the wires behind it, each by its subject."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.elements import colours, pens
from layout.drawing.elements.label_placing import place_labels
from layout.drawing.elements.scene import FillPath, Group, Item, Scene, StrokePath, Text, polyline_path
from layout.drawing.panel import panel_view
from layout.geometry.path import Box

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.drawing.panel.placed_panel import PanelShapes
    from layout.geometry.path import Point

_LONGEST_MM = 220.0
"""Longest side of the picture; letters of 2.5 mm are read at that size."""
_MARGIN_MM = 6.0
SURROUNDINGS_MM = 34.0


def picture_view(shapes: PanelShapes, *, surroundings: bool = False) -> panel_view.View:
    """Return where the panel's coordinates lie on its picture, with more room round it for its surroundings."""
    box, margin = shapes.box, SURROUNDINGS_MM if surroundings else _MARGIN_MM
    scale = _LONGEST_MM / max(box.width, box.height)
    return panel_view.View(scale=scale, at=(margin - box.x0 * scale, margin - box.y0 * scale))


def panel_picture(shapes: PanelShapes, ways: Mapping[str, tuple[Point, ...]], *, surroundings: bool = False) -> Scene:
    """Return the panel from the front; devices and wires are groups with a subject.

    Parameters
    ----------
    ways
        Corners of each wire's way on this panel by its number, in panel mm.
    """
    view, box = picture_view(shapes, surroundings=surroundings), shapes.box
    margin = view.at[0] + box.x0 * view.scale
    room = Box(0.0, 0.0, box.width * view.scale + 2 * margin, box.height * view.scale + 2 * margin)
    items: list[Item] = [panel_view.outline(shapes, view), panel_view.background(shapes, view)]
    for device in shapes.devices:
        face = view.path(device.face)
        parts: list[Item] = [FillPath(face, colours.TINT), StrokePath(face, pens.OUTLINE)]
        parts += [StrokePath(view.path(path), pens.FACE_PEN) for path in device.cutouts]
        name = f"device {device.device.id}"
        items.append(Group(tuple(parts), name=name, layer="device", subject=f"devices.{device.device.id}"))
    placed, homeless = place_labels(
        panel_view.name_wishes(shapes, view), room=room, firm=panel_view.firm_strokes(shapes, view), reach_mm=80
    )
    for label in placed:
        items += label.items()
    for wish in homeless:
        items.append(Text(wish.at, wish.lines[0].split()[0].rstrip(":"), 2.5, "centre", "middle", halo=True))
    for number, points in ways.items():
        drawn = polyline_path([view.point(point) for point in points])
        items.append(
            Group((StrokePath(drawn, pens.RULE_PEN),), name=f"wire {number}", layer="wire", subject=f"wires.{number}")
        )
    return Scene(width_mm=room.width, height_mm=room.height, items=tuple(items), title=shapes.name)
