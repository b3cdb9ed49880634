"""What stands where: each panel with all its shapes, and each placed device with its own, in panel coordinates."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from layout.geometry.box import Box
from layout.light_dataclass import dataclass
from layout.placing.judge.placed_form import PlacedForm, hole_form, placed_form, roomy_form, shape_form
from layout.project.model.device import PlugRoom
from layout.project.model.panel import Layer
from layout.project.model.reserved_room import room_places, stand_ins

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.geometry.path import Path
    from layout.project.model.arrangement import Arrangement, Placed
    from layout.project.model.device import ClearAround, Device
    from layout.project.model.panel import Panel
    from layout.project.model.project import Project

NO_TAIL = PlugRoom()
"""Stands for a tail room that nobody declared; that its depth is unknown is a finding of its own."""


@dataclass(frozen=True, slots=True, eq=False)
class BodyRoom:
    """A body in place.

    Attributes
    ----------
    roomy, bare
        Its shape with and without tail room to the sides.
    low, high
        Depths behind the sheet's rear face where it starts and ends, tail room counted, mm; endless where unknown.
    depth
        Its own depth, without tail room; None where unknown.
    """

    roomy: PlacedForm
    bare: PlacedForm
    low: float
    high: float
    depth: float | None

    def shares_depth(self, low: float, high: float) -> bool:
        """Tell whether some depth lies both in the room and between ``low`` and ``high``."""
        return self.low < high and low < self.high


@dataclass(frozen=True, slots=True, eq=False)
class StandingZone:
    """A keep-clear zone in place."""

    declared: ClearAround
    part: PlacedForm


@dataclass(frozen=True, slots=True, eq=False)
class Standing:
    """One placed device with its shapes."""

    device: Device
    placed: Placed
    face: PlacedForm
    cutouts: tuple[PlacedForm, ...]
    fixings: tuple[PlacedForm, ...]
    rooms: tuple[BodyRoom, ...]
    clear_around: tuple[StandingZone, ...]

    @property
    def id(self) -> str:
        """Stable id of the device; the dotted path of reserved room."""
        return self.placed.device

    @property
    def is_room(self) -> bool:
        """Whether it is room that is kept for a device."""
        return "." in self.placed.device

    @property
    def name(self) -> str:
        """What people read."""
        return self.device.name or self.placed.device

    def box(self) -> Box:
        """Return the box about all of it: face, cut-outs, holes, bodies with their room, zones kept clear."""
        parts = (self.face, *self.cutouts, *self.fixings, *(room.roomy for room in self.rooms))
        return Box.around([part.box for part in (*parts, *(zone.part for zone in self.clear_around))])

    @property
    def held(self) -> bool:
        """Whether it is not the one to be moved."""
        pin = self.device.pin
        return self.device.work_state != "planned" or (pin is not None and pin.x is not None and pin.y is not None)


@dataclass(frozen=True, slots=True, eq=False)
class PanelStanding:
    """One panel and the devices that stand on it, in the project's order.

    Attributes
    ----------
    ground
        The sheet within its outline.
    holes
        Openings that stay: the panel's own and old holes that stay open.
    standing
        All that stands here; of a part that is judged alone, what stands near it.
    asked
        Ids of those that are judged; None for all.
    """

    project: Project
    id: str
    panel: Panel
    ground: PlacedForm
    holes: tuple[PlacedForm, ...]
    standing: tuple[Standing, ...]
    asked: frozenset[str] | None = None

    @property
    def judged(self) -> tuple[Standing, ...]:
        """Return those that are judged each for itself; two are judged together if either is near one of them."""
        return self.standing if self.asked is None else tuple(one for one in self.standing if one.id in self.asked)

    def around(self, asked: frozenset[str], reach_mm: float) -> PanelStanding | None:
        """Return the part of the panel that judges some devices: they and what stands within a reach of any of them.

        None where none of them stands here.
        """
        boxes = {one.id: one.box() for one in self.standing}
        own = [boxes[one.id] for one in self.standing if one.id in asked]
        if not own:
            return None
        near = (one for one in self.standing if any(boxes[one.id].gap_mm(box) <= reach_mm for box in own))
        return replace(self, standing=tuple(near), asked=asked)

    @property
    def name(self) -> str:
        """What people read."""
        return self.panel.name or self.id

    @property
    def outline(self) -> Path:
        """Outline of the sheet."""
        return self.ground.form.path

    def by_id(self) -> Mapping[str, Standing]:
        """Return the devices that stand here, by id."""
        return {one.id: one for one in self.standing}


def panels_standing(project: Project, arrangement: Arrangement) -> tuple[PanelStanding, ...]:
    """Return every panel of the project with what the arrangement puts on it, devices first, then reserved room."""
    rooms = stand_ins(project)
    places = room_places(project, arrangement)
    panels = []
    for key, panel in project.panels.items():
        openings = [placed_form(f"hole {i + 1}", shape_form(shape)) for i, shape in enumerate(panel.holes)]
        openings += [
            placed_form(old.name or name, shape_form(old.shape))
            for name, old in panel.old_holes.items()
            if old.fate == "open"
        ]
        here = [
            standing(project.devices[name], placed)
            for name, placed in ((name, arrangement.placed.get(name)) for name in project.devices)
            if placed is not None and placed.panel == key and project.devices[name].face is not None
        ]
        here += [standing(rooms[name], placed) for name, placed in places.items() if placed.panel == key]
        ground = placed_form(key, shape_form(panel.outline))
        panels.append(PanelStanding(project, key, panel, ground, tuple(openings), tuple(here)))
    return tuple(panels)


def standing(device: Device, placed: Placed) -> Standing:
    """Return a device with all its shapes where the arrangement puts it.

    Raises
    ------
    ValueError
        When the device has no face.
    """
    if device.face is None:
        raise ValueError(f"a device on a panel has a face, {placed.device} has none")
    owner, x, y, turn = placed.device, placed.x, placed.y, placed.turn
    bodies = device.behind if device.mount == "cut-in" else ()
    tail = device.plug_room or NO_TAIL
    rooms = tuple(
        BodyRoom(
            roomy=placed_form(owner, roomy_form(body.shape, tail, turn), x, y),
            bare=placed_form(owner, shape_form(body.shape, turn), x, y),
            low=body.from_depth,
            high=math.inf if body.depth is None else body.depth + (tail.depth or 0.0),
            depth=body.depth,
        )
        for body in bodies
    )
    return Standing(
        device=device,
        placed=placed,
        face=placed_form(owner, shape_form(device.face, turn), x, y),
        cutouts=tuple(placed_form(owner, shape_form(shape, turn), x, y) for shape in device.cutout),
        fixings=tuple(placed_form(owner, hole_form(hole.drill, hole.at, turn), x, y) for hole in device.fixings),
        rooms=rooms,
        clear_around=tuple(
            StandingZone(zone, placed_form(owner, shape_form(zone.shape, turn), x, y)) for zone in device.clear_around
        ),
    )


def takes_layer(layers: tuple[Layer, ...], layer: Layer) -> bool:
    """Tell whether something declared for ``layers`` holds in ``layer``."""
    return layer in layers or Layer.ALL in layers
