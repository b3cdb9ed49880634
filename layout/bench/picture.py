"""A panel and what stands on it as plain data for the page: SVG path data in panel millimetres, y upwards."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from layout.drawing.panel.page_photograph import matrix, photographs
from layout.drawing.panel.placed_panel import panel_shapes
from layout.frozen import FrozenMap
from layout.geometry.segment import Arc
from layout.project.model.arrangement import Arrangement
from layout.project.model.reserved_room import room_key

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path as FilePath

    from layout.drawing.panel.placed_panel import DeviceShapes
    from layout.geometry.box import Box
    from layout.geometry.path import Path
    from layout.project.model.arrangement import Placed
    from layout.project.model.panel import DepthStep, Hinge
    from layout.project.model.project import Project

DIGITS = 3
"""Decimals of a millimetre in path data."""


def path_data(path: Path) -> str:
    """Return a path as SVG path data with y upwards; the page turns the whole picture over."""
    out = [f"M{_xy(path.segments[0].start)}"]
    for segment in path.segments:
        if isinstance(segment, Arc):
            large, sweep = abs(segment.sweep) > math.pi, int(segment.ccw)
            radius = _number(segment.radius)
            parts = (segment.part(0.0, 0.5), segment.part(0.5, 1.0)) if large else (segment,)
            out += [f"A{radius} {radius} 0 0 {sweep} {_xy(part.end)}" for part in parts]
        else:
            out.append(f"L{_xy(segment.end)}")
    return "".join(out) + ("Z" if path.closed else "")


def panels(project: Project, arrangement: Arrangement) -> list[dict[str, Any]]:
    """Return every panel with its outline, zones, and devices where the arrangement has them."""
    return [_panel(project, arrangement, key) for key in project.panels]


def panels_with(project: Project, placed: Mapping[str, Placed]) -> list[dict[str, Any]]:
    """Return every panel as the placing has it for now: those of its devices that still are in the project."""
    known = {name: at for name, at in placed.items() if name in project.devices and at.panel in project.panels}
    return panels(project, Arrangement(placed=FrozenMap(known)))


def _panel(project: Project, arrangement: Arrangement, key: str) -> dict[str, Any]:
    shapes = panel_shapes(project, arrangement, key)
    panel, box = shapes.panel, shapes.box
    rooms = {id(room): room_key(key, name) for name, room in panel.reserved.items()}
    return {
        "id": key,
        "name": shapes.name,
        "box": [box.x0, box.y0, box.x1, box.y1],
        "outline": path_data(shapes.outline),
        "openings": [path_data(path) for path in shapes.openings],
        "no_go": [
            {"d": path_data(path), "name": zone.name, "key": f"panels.{key}.no_go.{zone.id}"}
            for path, zone in shapes.no_go
        ],
        "old_holes": [path_data(path) for path, _ in shapes.old_holes],
        "reserved": [
            {"d": path_data(path), "name": room.name, "key": rooms[id(room)]} for path, room in shapes.reserved
        ],
        "exit": list(panel.cable_exit.at) if panel.cable_exit is not None else None,
        "loom": [[list(at) for at in chain] for chain in panel.loom],
        "hinge": None if panel.hinge is None else _hinge(panel.hinge, box),
        "depth": {
            "everywhere": panel.depth,
            "points": [[*spot.at, spot.depth] for spot in panel.depth_at],
            "steps": [_step(step) for step in panel.depth_steps],
        },
        "photograph": None if panel.photograph is None else [panel.photograph.file, *matrix(panel.photograph)],
        "devices": [_device(device) for device in shapes.devices],
    }


def photograph(project: Project, folder: FilePath, key: str) -> dict[str, Any]:
    """Return a panel's photograph, upright and made smaller: address with the picture inside, size in its pixels.

    Raises
    ------
    ValueError
        If it has none, or none that can be shown; nothing outside the project's folder is.
    """
    shown, findings = photographs(project, folder)
    if key not in shown:
        wrong = [one.message for one in findings if one.at == project.place_of(f"panels.{key}.photograph.file")]
        raise ValueError(wrong[0] if wrong else f"'{key}' has no photograph")
    return {"href": shown[key].href, "size": list(shown[key].size)}


def _step(step: DepthStep) -> dict[str, Any]:
    path = step.shape.to_path()
    return {"d": path_data(path), "at": list(path.bounds().centre), "depth": step.depth}


def _hinge(hinge: Hinge, box: Box) -> dict[str, Any]:
    """Return the pin's axis as it lies beside the panel, how far it opens, and what stands in the way of the swing."""
    out = hinge.pin[0]
    ends = {
        "left": (box.x0 - out, box.y0, box.x0 - out, box.y1),
        "right": (box.x1 + out, box.y0, box.x1 + out, box.y1),
        "bottom": (box.x0, box.y0 - out, box.x1, box.y0 - out),
        "top": (box.x0, box.y1 + out, box.x1, box.y1 + out),
    }
    return {
        "axis": list(ends[hinge.side]),
        "opens": hinge.opens,
        "obstacles": [
            {"box": [*one.low[:2], *one.high[:2]], "name": one.name or key} for key, one in hinge.obstacles.items()
        ],
    }


def _device(shapes: DeviceShapes) -> dict[str, Any]:
    device, box = shapes.device, shapes.face.bounds()
    return {
        "id": device.id,
        "name": shapes.name,
        "number": shapes.number,
        "x": shapes.at[0],
        "y": shapes.at[1],
        "turn": shapes.turn,
        "turns": list(device.turns),
        "pinned": device.pin is not None,
        "cut": device.work_state != "planned",
        "box": [box.x0, box.y0, box.x1, box.y1],
        "face": path_data(shapes.face),
        "cutouts": [path_data(path) for path in shapes.cutouts],
        "bodies": [path_data(path) for path, _ in shapes.bodies],
        "tails": [path_data(path) for path in shapes.tails],
        "clear": [{"d": path_data(path), "name": zone.name or zone.against} for path, zone in shapes.clear_around],
        "holes": [[at[0], at[1], fixing.drill / 2] for at, fixing in shapes.fixings],
    }


def _xy(point: tuple[float, float]) -> str:
    return f"{_number(point[0])} {_number(point[1])}"


def _number(value: float) -> str:
    return f"{round(value, DIGITS) + 0.0:g}" if abs(value) < 1e5 else f"{value:.3f}"
