"""Terminals of a panel's devices: dots, names beside them, and their table."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.elements import colours
from layout.drawing.elements.label_placing import LabelWish, place_labels
from layout.drawing.elements.numerals import length_text, size
from layout.drawing.elements.scene import FillPath, Item
from layout.drawing.elements.scene_table import SceneColumn, SceneTable
from layout.geometry.shapes import circle

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.drawing.panel.panel_view import View
    from layout.drawing.panel.placed_panel import PanelShapes
    from layout.geometry.path import Box

TERMINAL_MM = 1.2
"""Diameter of a terminal's dot on paper."""


def terminal_dots(shapes: PanelShapes, place: View) -> list[FillPath]:
    """Return a dot for every terminal."""
    return [
        FillPath(circle(TERMINAL_MM, at=place.point(at))) for device in shapes.devices for at, _ in device.terminals
    ]


def terminal_names(shapes: PanelShapes, place: View, room: Box, taken: Sequence[Box]) -> list[Item]:
    """Return the names of the terminals that find room beside their dots; the table has all of them."""
    wishes = [
        LabelWish(lines=(terminal.name or terminal.id,), at=place.point(at), clear_mm=TERMINAL_MM / 2, height_mm=2.5,
                  colour=colours.LEAD)
        for device in shapes.devices
        for at, terminal in device.terminals
    ]  # fmt: skip
    placed, _ = place_labels(wishes, room=room, taken=taken, lines=(), reach_mm=8)
    return [item for label in placed for item in label.items()]


def terminal_table(shapes: PanelShapes) -> SceneTable:
    """Return the terminals: device, name, place from the datum, depth, what they take."""
    rows = []
    for device in shapes.devices:
        for at, terminal in device.terminals:
            x, y = shapes.coordinates(at)
            depth = "not known" if terminal.depth is None else length_text(terminal.depth, shapes.units)
            takes = " ".join(filter(None, (terminal.takes, terminal.stud)))
            places = (size("{}", value, units=shapes.units) for value in (x, y))
            rows.append((device.name, terminal.name or terminal.id, *places, depth, takes))
    columns = (
        SceneColumn(title="Device", most_mm=36.0),
        SceneColumn(title="Terminal"),
        SceneColumn(title="X", align="right"),
        SceneColumn(title="Y", align="right"),
        SceneColumn(title="Depth", align="right"),
        SceneColumn(title="Takes"),
    )
    return SceneTable(
        columns=columns, rows=tuple(rows), heading="Terminals, X and Y from the datum, depth from the rear face"
    )
