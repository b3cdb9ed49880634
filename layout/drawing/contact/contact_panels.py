"""An arrangement's panels drawn small, all to one scale, for comparing arrangements side by side."""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING

from layout.drawing.elements import colours, pens
from layout.drawing.elements.label_placing import label_size_mm
from layout.drawing.elements.metrics import width_mm, wrapped
from layout.drawing.elements.scene import FillPath, Group, HatchPath, Item, StrokePath, Text
from layout.drawing.panel.panel_view import View
from layout.drawing.panel.placed_panel import panel_shapes
from layout.geometry.path import Box
from layout.geometry.shapes import as_circle
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from layout.drawing.panel.placed_panel import DeviceShapes
    from layout.project.model.arrangement import Arrangement, Placed
    from layout.project.model.project import Project

_GAP_MM = 4.0
"""Room between two panels of one arrangement."""

_NAME_MM = 1.8
LEAST_NAME_MM = 1.5
_MOVED = colours.MOVED_TINT
HERE = colours.TINT
ZONE = pens.coloured(pens.HATCH, colours.ALARM_PALE)


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelRow:
    """The panels that are shown, side by side or one below the other, with their sizes in panel mm."""

    panels: tuple[str, ...]
    sizes: tuple[tuple[float, float], ...]
    below_each_other: bool = False

    def scale(self, room: Box) -> float:
        """Return the largest scale at which they fit into a room on paper, with a gap between two."""
        gaps = _GAP_MM * (len(self.sizes) - 1)
        wide, tall = [size[0] for size in self.sizes], [size[1] for size in self.sizes]
        if self.below_each_other:
            return min(room.width / max(wide), (room.height - gaps) / sum(tall))
        return min((room.width - gaps) / sum(wide), room.height / max(tall))

    def places(self, room: Box, scale: float) -> list[Box]:
        """Return each panel's place on paper, the whole of them in the middle of the room."""
        sizes = [(wide * scale, tall * scale) for wide, tall in self.sizes]
        gaps = _GAP_MM * (len(sizes) - 1)
        cx, cy = room.centre
        found = []
        if self.below_each_other:
            y = cy + (sum(tall for _, tall in sizes) + gaps) / 2
            for wide, tall in sizes:
                found.append(Box(cx - wide / 2, y - tall, cx + wide / 2, y))
                y -= tall + _GAP_MM
            return found
        x = cx - (sum(wide for wide, _ in sizes) + gaps) / 2
        highest = max(tall for _, tall in sizes)
        for wide, tall in sizes:
            found.append(Box(x, cy - highest / 2, x + wide, cy - highest / 2 + tall))
            x += wide + _GAP_MM
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Small:
    """Which panels to draw into which room on paper, and at what scale."""

    row: PanelRow
    room: Box
    scale: float


def panel_rows(project: Project, arrangements: Sequence[Arrangement]) -> tuple[PanelRow, PanelRow]:
    """Return the panels on which something stands in any arrangement: side by side, and one below the other."""
    used = {placed.panel for one in arrangements for placed in one.placed.values()}
    panels = tuple(key for key in project.panels if key in used) or tuple(project.panels)
    boxes = [project.panels[key].outline.to_path().bounds() for key in panels]
    sizes = tuple((box.width, box.height) for box in boxes)
    return PanelRow(panels=panels, sizes=sizes), PanelRow(panels=panels, sizes=sizes, below_each_other=True)


def numbers(project: Project) -> dict[str, int]:
    """Return a number for every device, the same in every arrangement: its place in the project."""
    return {key: number for number, key in enumerate((k for k, d in project.devices.items() if d.face), start=1)}


def panels_small(
    project: Project, arrangement: Arrangement, small: Small, *, beside: Arrangement | None = None
) -> tuple[tuple[Item, ...], tuple[str, ...]]:
    """Return the panels of one arrangement inside a room, and the devices that are named by their number only.

    Parameters
    ----------
    beside
        Arrangement to compare with: devices that stand elsewhere by more than half their size are tinted.
    """
    known, scale = numbers(project), small.scale
    items: list[Item] = []
    short: list[str] = []
    for panel, place in zip(small.row.panels, small.row.places(small.room, scale), strict=True):
        shapes = panel_shapes(project, arrangement, panel)
        box = shapes.box
        at = View(scale=scale, at=(place.x0 - box.x0 * scale, place.y0 - box.y0 * scale))
        for path, _ in shapes.no_go:
            items.append(HatchPath(at.path(path), ZONE, spacing_mm=1.2))
        items += [StrokePath(at.path(path), pens.HAIR) for path in shapes.openings]
        for device in shapes.devices:
            face = at.path(device.face)
            moved = beside is not None and _elsewhere(device, beside.placed.get(device.device.id))
            items += [FillPath(face, _MOVED if moved else HERE), StrokePath(face, pens.RULE_PEN)]
            items += [StrokePath(at.path(path), pens.HAIR) for path in device.cutouts]
        items.append(StrokePath(at.path(shapes.outline), pens.OUTLINE))
        for device in shapes.devices:
            texts, whole = _name(device, known[device.device.id], at)
            items += texts
            if not whole:
                short.append(device.device.id)
    return (Group(tuple(items), name="panels", layer="panels"),), tuple(short)


def key_lines(project: Project, short: Iterable[str]) -> list[str]:
    """Return the names of devices that are shown by their number only, in the order of their numbers."""
    known = numbers(project)
    return [f"{known[key]} {project.devices[key].name or key}" for key in sorted(short, key=lambda key: known[key])]


def elsewhere(project: Project, arrangement: Arrangement, other: Arrangement) -> tuple[str, ...]:
    """Return the names of devices that stand elsewhere by more than half their size, panel by panel."""
    return tuple(
        device.name
        for panel in project.panels
        for device in panel_shapes(project, arrangement, panel).devices
        if _elsewhere(device, other.placed.get(device.device.id))
    )


def _elsewhere(device: DeviceShapes, other: Placed | None) -> bool:
    if other is None:
        return True
    box = device.face.bounds()
    return hypot(device.at[0] - other.x, device.at[1] - other.y) > min(box.width, box.height) / 2


def _name(device: DeviceShapes, number: int, at: View) -> tuple[list[Item], bool]:
    """Return a device's name on its face, upright where that alone fits; its number where it does not fit."""
    box = at.box(device.face.bounds())
    round_one = 0.78 if as_circle(device.face) else 1.0
    wide, tall = box.width * round_one - 0.8, box.height * round_one - 0.8
    for height in (_NAME_MM, LEAST_NAME_MM):
        for turn in (0.0, 90.0) if tall > 1.5 * wide else (0.0,):
            along, across = (tall, wide) if turn else (wide, tall)
            lines = wrapped(device.name, height, along)
            size = label_size_mm(lines, height)
            if size[0] <= along and size[1] <= across:
                return _lines(lines, box.centre, height, turn), True
    height = min(_NAME_MM, 0.7 * tall, 0.8 * wide / width_mm(f"{number}", 1.0))
    return _lines([f"{number}"], box.centre, max(height, 1.0), 0.0), False


def _lines(lines: Sequence[str], centre: tuple[float, float], height_mm: float, turn_deg: float) -> list[Item]:
    pitch = 1.6 * height_mm
    items: list[Item] = []
    for index, content in enumerate(lines):
        off = ((len(lines) - 1) / 2 - index) * pitch
        at = (centre[0] - off, centre[1]) if turn_deg else (centre[0], centre[1] + off)
        items.append(Text(at, content, height_mm, "centre", "middle", turn_deg))
    return items
