"""What stands still before a problem is built: which devices, at which turns, where each panel lies."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.engine.problem import SCALE
from layout.placing.rule_table import rule_mm
from layout.placing.translation.frame import Frame, frames_apart
from layout.placing.translation.ground import Ground, ground_of
from layout.placing.translation.pair_limits import edge_of, web_of
from layout.placing.translation.site import Margins
from layout.placing.translation.swing_bans import Swing
from layout.placing.translation.turned_shapes import TurnedShapes, bounds_of, turned_shapes
from layout.project.model.reserved_room import stand_ins

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from layout.geometry.box import Point
    from layout.placing.translation.pieces import Rounding
    from layout.project.model.device import Device, Turn
    from layout.project.model.panel import Panel
    from layout.project.model.project import Project


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenPosition:
    """Parts of a position that are given: by a pin, a hole that is cut, or because the device is kept."""

    x: float | None = None
    y: float | None = None
    turn: Turn | None = None
    panel: str | None = None


def pinned(device: Device) -> GivenPosition | None:
    """Return what the pin of a device gives of its position."""
    pin = device.pin
    return GivenPosition(x=pin.x, y=pin.y, turn=pin.turn, panel=pin.panel) if pin else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Thing:
    """Something that takes a place: a device, or reserved room that the solver finds.

    Attributes
    ----------
    name
        Device id, or ``panels.<panel>.reserved.<id>``.
    panels
        Ids of the panels it may stand on.
    stands
        One for each allowed turn.
    shift
        How far its own origin lies off the grid, mm.
    device
        The device it is; None for room.
    ruled
        What the rules of distance take it for: the device, or the one that reserved room is kept for.
    """

    name: str
    panels: tuple[str, ...]
    stands: tuple[TurnedShapes, ...]
    shift: Point = (0.0, 0.0)
    device: Device | None = None
    ruled: Device | None = None
    held: GivenPosition | None = None


class LayoutIndex:
    """Panels and things of a project, rounded to one side."""

    def __init__(
        self,
        project: Project,
        side: Rounding,
        held: Mapping[str, GivenPosition],
        extra: Sequence[Thing] = (),
        *,
        frames: tuple[Frame, ...] | None = None,
    ) -> None:
        self.project, self.side = project, side
        used = {panel for device in project.devices.values() for panel in device.panel}
        self.panels = {key: panel for key, panel in project.panels.items() if key in used or panel.reserved}
        self.grounds: dict[str, Ground] = {key: ground_of(panel, side) for key, panel in self.panels.items()}
        devices = [
            replace(self._thing(device, held.get(key)), device=device)
            for key, device in project.devices.items()
            if device.panel and not device.is_removed
        ]
        rooms = [self._thing(room, held.get(key) or pinned(room)) for key, room in stand_ins(project).items()]
        self.things = (*devices, *rooms, *extra)
        self.number = {thing.name: k for k, thing in enumerate(self.things)}
        if frames is not None:
            self.frames = frames

    def _thing(self, device: Device, held: GivenPosition | None) -> Thing:
        turns = (held.turn,) if held and held.turn is not None else tuple(dict.fromkeys(device.turns))
        shift = (_off_grid(held.x), _off_grid(held.y)) if held else (0.0, 0.0)
        panels = (held.panel,) if held and held.panel is not None else device.panel
        return Thing(
            name=device.id,
            panels=tuple(panel for panel in panels if panel in self.panels),
            stands=tuple(turned_shapes(device, turn, self.side, shift=shift) for turn in turns),
            shift=shift,
            ruled=device,
            held=held,
        )

    @cached_property
    def frames(self) -> tuple[Frame, ...]:
        """Where the panels lie, so far apart that nothing on one reaches another."""
        sizes = [(key, *self.size(key)) for key in self.panels]
        far = 0.0
        for thing in self.things:
            for stand in thing.stands:
                x0, y0, x1, y1 = bounds_of((*stand.everything, *stand.clear_front, *stand.clear_sheet, *stand.fixings))
                far = max(far, x1, y1, -x0, -y0)
        gaps = [rule_mm(self.project, name) for name in ("face_gap", "hole_gap", "rear_gap", "ac_dc", "fixing_edge")]
        gaps += [rule.gap for rule in self.project.rules.apart]
        gaps += [gap for t in self.things if t.ruled for gap in (t.ruled.face_gap, t.ruled.hole_gap) if gap is not None]
        widest = max((width for _, width, _ in sizes), default=0.0)
        return frames_apart(sizes, reach_mm=4 * far + max(gaps) + widest)

    def frame(self, panel: str) -> Frame:
        """Return where one panel lies."""
        return next(frame for frame in self.frames if frame.panel == panel)

    def size(self, panel: str) -> Point:
        """Return width and height of a panel's outline, mm."""
        xs, ys = zip(*self.grounds[panel].outline.corners, strict=True)
        return max(xs) - min(xs), max(ys) - min(ys)

    @cached_property
    def swings(self) -> dict[str, Swing]:
        """What each hinged panel with obstacles forbids."""
        spare = rule_mm(self.project, "swing_spare")
        return {
            key: Swing(panel, self.size(key), spare_mm=spare, side=self.side)
            for key, panel in self.panels.items()
            if panel.hinge and panel.hinge.obstacles
        }

    def margins(self, thing: Thing, panel: Panel) -> Margins:
        """Return what a thing keeps from a panel."""
        if thing.ruled is None:
            return Margins(edge=0.0, web=0.0, fixing=0.0, depth_spare=0.0)
        return Margins(
            edge=edge_of(self.project, thing.ruled, panel),
            web=web_of(self.project, thing.ruled),
            fixing=rule_mm(self.project, "fixing_edge"),
            depth_spare=rule_mm(self.project, "depth_spare"),
            compass=thing.ruled.compass_safe,
        )


def _off_grid(value: float | None) -> float:
    if value is None:
        return 0.0
    return round(value - math.floor(value * SCALE + 0.5) / SCALE, 9) + 0.0
