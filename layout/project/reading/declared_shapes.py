"""Every shape of a project as a path, and what the reader measures on them."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from layout.findings import Finding
from layout.frozen import FrozenMap

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from layout.geometry.path import Path, Point
    from layout.project.model.project import Project
    from layout.project.model.shape import Shape


def paths(project: Project) -> tuple[dict[str, Path], list[Finding]]:
    """Return every shape's path by dotted key, and a finding for each that can't be drawn."""
    found, faults = {}, []
    for key, shape in shapes(project):
        try:
            found[key] = shape.to_path()
        except ValueError as error:
            subject = ".".join(key.split(".")[:2])
            place = project.place_of(key)
            remedy = "check the corners and their radii on a sketch"
            message = f"{key}: {error}"
            faults.append(Finding(rule="file 56", message=message, at=place, remedy=remedy, subjects=(subject,)))
    return found, faults


def shapes(project: Project) -> Iterator[tuple[str, Shape]]:
    """Give every shape of a project with its dotted key."""
    for device in project.devices.values():
        root = device.key
        if device.face is not None:
            yield f"{root}.face", device.face
        yield from ((f"{root}.cutout.{index}", shape) for index, shape in enumerate(device.cutout))
        yield from ((f"{root}.behind.{index}.shape", body.shape) for index, body in enumerate(device.behind))
        yield from (
            (f"{root}.clear_around.{index}.shape", zone.shape) for index, zone in enumerate(device.clear_around)
        )
    for panel in project.panels.values():
        root = panel.key
        yield f"{root}.outline", panel.outline
        yield from ((f"{root}.holes.{index}", shape) for index, shape in enumerate(panel.holes))
        yield from ((f"{root}.no_go.{name}.shape", zone.shape) for name, zone in panel.no_go.items())
        yield from ((f"{root}.old_holes.{name}.shape", hole.shape) for name, hole in panel.old_holes.items())
        yield from ((f"{root}.depth_steps.{index}.shape", step.shape) for index, step in enumerate(panel.depth_steps))
    for index, relation in enumerate(project.rules.relations):
        if relation.zone is not None:
            yield f"rules.relations.{index}.zone", relation.zone


def on_datum(project: Project, drawn: Mapping[str, Path]) -> Project:
    """Return the project with each outline moved so that its bounding box starts at the datum."""
    panels = {}
    for name, panel in project.panels.items():
        path = drawn.get(f"panels.{name}.outline")
        box = None if path is None else path.bounds()
        if box is None or (box.x0, box.y0) == (0.0, 0.0):
            panels[name] = panel
        else:
            x, y = panel.outline.at
            panels[name] = replace(panel, outline=replace(panel.outline, at=(x - box.x0, y - box.y0)))
    return replace(project, panels=FrozenMap(panels))


def beyond_mm(cutout: Path, face: Path, *, is_round: bool) -> float:
    """Return how far a cut-out reaches beyond a face's bounding box or, if the face is round, beyond its circle, mm."""
    inner, outer = cutout.bounds(), face.bounds()
    box = max(outer.x0 - inner.x0, outer.y0 - inner.y0, inner.x1 - outer.x1, inner.y1 - outer.y1)
    if not is_round:
        return box
    far = max(math.dist(outer.centre, point) for point in cutout.points(0.005))
    return max(box, far - outer.width / 2)


def shapes_hold(path: Path, point: Point) -> bool:
    """Tell whether a point lies in a closed path, by counting crossings of a ray to the right."""
    x, y = point
    corners = path.points(0.01)
    inside = False
    for (x0, y0), (x1, y1) in zip(corners, (*corners[1:], corners[0]), strict=True):
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) * (x1 - x0) / (y1 - y0):
            inside = not inside
    return inside
