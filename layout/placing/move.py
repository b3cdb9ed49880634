"""One device moved by hand: where to, and what the judge says of it there."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass
from layout.project.model.reserved_room import room_places, stand_ins

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.findings.finding import Finding
    from layout.geometry.box import Box, Point
    from layout.project.model.arrangement import Arrangement, Placed
    from layout.project.model.project import Project

AlignLine = Literal["left", "right", "bottom", "top", "centre", "middle"]
"""What two devices have in common: an edge of their faces; the upright (centre) or the level (middle) centre line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """An arrangement after a move by hand.

    Attributes
    ----------
    project
        The project it belongs to: a pin of the device goes with it.
    arrangement
        With the device where it was to go, its wishes reckoned afresh.
    broken
        What the judge refuses that concerns the device, or that the move brought about; nothing where it may stay.
    findings
        All that the judge says.
    """

    project: Project
    arrangement: Arrangement
    broken: tuple[Finding, ...]
    findings: tuple[Finding, ...]


def aligned_at(project: Project, arrangement: Arrangement, device: str, line: AlignLine, other: str) -> Point:
    """Return where a device has to be for its face to have a line in common with another's, moved straight to it."""
    own, theirs = _face_box(project, arrangement, device), _face_box(project, arrangement, other)
    at = arrangement.placed[device]
    by_line = {
        "left": (theirs.x0 - own.x0, 0.0), "right": (theirs.x1 - own.x1, 0.0), "bottom": (0.0, theirs.y0 - own.y0),
        "top": (0.0, theirs.y1 - own.y1), "centre": (theirs.centre[0] - own.centre[0], 0.0),
        "middle": (0.0, theirs.centre[1] - own.centre[1]),
    }  # fmt: skip
    dx, dy = by_line[line]
    return round(at.x + dx, 6), round(at.y + dy, 6)


def spaced_at(
    project: Project, arrangement: Arrangement, devices: Sequence[str], axis: Literal["x", "y"]
) -> dict[str, Point]:
    """Return where the inner ones of some devices have to be for equal gaps between the faces of all along an axis."""
    boxes = {key: _face_box(project, arrangement, key) for key in devices}
    spans = {key: (box.x0, box.x1) if axis == "x" else (box.y0, box.y1) for key, box in boxes.items()}
    row = sorted(devices, key=lambda key: sum(spans[key]))
    inner = row[1:-1]
    room = spans[row[-1]][0] - spans[row[0]][1]
    gap = (room - sum(spans[key][1] - spans[key][0] for key in inner)) / (len(row) - 1)
    low, places = spans[row[0]][1] + gap, {}
    for key in inner:
        placed, by = arrangement.placed[key], low - spans[key][0]
        x, y = (placed.x + by, placed.y) if axis == "x" else (placed.x, placed.y + by)
        places[key] = (round(x, 3), round(y, 3))
        low += spans[key][1] - spans[key][0] + gap
    return places


def move(project: Project, arrangement: Arrangement, device: str, to: Point) -> Moved:
    """Move one device, or reserved room, to a place on its panel and judge what then stands.

    Parameters
    ----------
    device
        Id of a device that the arrangement has a place for, or ``room_key`` of reserved room.
    to
        Its origin, panel coordinates, mm.
    """
    from layout.placing.formulation import valued  # the solver's side; a move on the bench asks it only at the end
    from layout.placing.judge import judge, refusals  # shapely

    before = refusals(judge(project, arrangement, chosen=arrangement))
    after, moved = put_at(project, arrangement, device, to)
    findings = judge(after, moved, chosen=arrangement)
    key = device if device in stand_ins(project) else f"devices.{device}"
    known = {(finding.rule, finding.subjects) for finding in before}
    broken = tuple(
        finding
        for finding in refusals(findings)
        if key in finding.subjects or (finding.rule, finding.subjects) not in known
    )
    return Moved(project=after, arrangement=moved if broken else valued(after, moved), broken=broken, findings=findings)


def put_at(project: Project, arrangement: Arrangement, device: str, to: Point) -> tuple[Project, Arrangement]:
    """Return project and arrangement with one device at a place, unjudged; a pin it has goes with it."""
    if device in stand_ins(project):
        _, panel_id, _, name = device.split(".")
        panel, at = project.panels[panel_id], room_places(project, arrangement)[device]
        room = panel.reserved[name]
        if room.at is not None:
            fixed = replace(panel, reserved=FrozenMap({**panel.reserved, name: replace(room, at=to)}))
            project = replace(project, panels=FrozenMap({**project.panels, panel_id: fixed}))
        return project, replace(arrangement, rooms=FrozenMap({**arrangement.rooms, device: _at(at, to)}))
    pin = project.devices[device].pin
    if pin is not None:
        pinned = replace(pin, x=None if pin.x is None else to[0], y=None if pin.y is None else to[1])
        project = replace(
            project, devices=FrozenMap({**project.devices, device: replace(project.devices[device], pin=pinned)})
        )
    placed = {**arrangement.placed, device: _at(arrangement.placed[device], to)}
    return project, replace(arrangement, placed=placed)


def pinned_along(project: Project, placed: Placed) -> Project:
    """Return the project with the pin of a device saying the panel and turn that it now has, where it says any."""
    device = project.devices[placed.device]
    if device.pin is None:
        return project
    panel = None if device.pin.panel is None else placed.panel
    turn = None if device.pin.turn is None else placed.turn
    pinned = replace(device, pin=replace(device.pin, panel=panel, turn=turn))
    return replace(project, devices=FrozenMap({**project.devices, placed.device: pinned}))


def _at(placed: Placed, to: Point) -> Placed:
    return replace(placed, x=to[0], y=to[1])


def _face_box(project: Project, arrangement: Arrangement, name: str) -> Box:
    placed, face = arrangement.placed[name], project.devices[name].face
    if face is None:
        raise ValueError(f"a device on a panel has a face, {name} has none")
    return face.to_path().turned(placed.turn).moved(placed.x, placed.y).bounds()
