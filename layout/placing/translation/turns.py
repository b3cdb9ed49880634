"""The ways a thing may stand: rooms and bans of each turn on each panel."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.engine.problem import SCALE, ForbiddenRegion, StepBox, TurnOption
from layout.placing.engine.rows import bounds as room_bounds
from layout.placing.rule_table import rule_mm
from layout.placing.translation import old_holes
from layout.placing.translation.ground import area_pieces
from layout.placing.translation.site import AllowedSite, inside_area, site

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.placing.engine.problem import HalfPlane
    from layout.placing.translation.frame import Frame
    from layout.placing.translation.layout_index import LayoutIndex, Thing
    from layout.placing.translation.site import Ban
    from layout.placing.translation.turned_shapes import TurnedShapes
    from layout.project.model.panel import Panel
    from layout.project.model.rules import Relation


NO_PLACE = AllowedSite(rows=((1, 0, -1), (-1, 0, 0)), bans=())
"""No position at all: the side of a hinge on a panel that has none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One way a thing may stand: at a turn on a panel, with the engine's turn for it."""

    stand: TurnedShapes
    frame: Frame
    turn: TurnOption


def options_of(index: LayoutIndex, thing: Thing, grow_mm: float) -> tuple[tuple[Option, ...], tuple[str, ...]]:
    """Return each way a thing may stand, and the rules that keep it off altogether elsewhere.

    Parameters
    ----------
    grow_mm
        Half the smallest gap: how far a core reaches past the face.
    """
    found: list[Option] = []
    why: list[str] = []
    for stand in thing.stands:
        for key in thing.panels:
            panel, frame = index.panels[key], index.frame(key)
            margins = index.margins(thing, panel)
            where = site(
                stand,
                panel,
                index.grounds[key],
                margins=margins,
                swing=index.swings.get(key),
                side=index.side,
            )
            if isinstance(where, str):
                why.append(where)
                continue
            zones = _zones(index, thing, stand, frame)
            steps = [("face-in-panel", where.rows), ("position-held", _held_rows(thing))]
            steps += [("relation", zone.rows) for _, zone in zones]
            room = frame.room(row for _, rows in steps for row in rows)
            box = room_bounds(room)
            if box is None:
                why.append(_lacking(frame, steps))
                continue
            bans = [*where.bans, *_old(index, panel, stand, margins.web)]
            bans += [(ban, name) for name, zone in zones for ban, _ in zone.bans]
            regions = [frame.region(ban, rule) for ban, rule in bans]
            turn = TurnOption(
                degrees=stand.turn,
                rooms=(room,),
                forbidden=tuple(region for region in regions if _meets(box, region)),
                core=_core(stand, grow_mm),
            )
            found.append(Option(stand=stand, frame=frame, turn=turn))
    return tuple(found), tuple(dict.fromkeys(why))


def _old(index: LayoutIndex, panel: Panel, stand: TurnedShapes, web_mm: float) -> tuple[Ban, ...]:
    return old_holes.bans(panel, stand, web_mm=web_mm, plate_web_mm=rule_mm(index.project, "hole_gap"), side=index.side)


def _lacking(frame: Frame, steps: Sequence[tuple[str, tuple[HalfPlane, ...]]]) -> str:
    """Return the first rule with whose rows no position is left."""
    rows: list[HalfPlane] = []
    for rule, more in steps:
        rows += more
        if rows and room_bounds(frame.room(rows)) is None:
            return rule
    return steps[-1][0]


def _meets(box: StepBox, region: ForbiddenRegion) -> bool:
    """Say whether a region can hold a position in a box; only upright rows are looked at."""
    low = {(1, 0): box.x0, (-1, 0): -box.x1, (0, 1): box.y0, (0, -1): -box.y1}
    return all((a, b) not in low or low[(a, b)] < c for a, b, c in region.rows)


def _held_rows(thing: Thing) -> tuple[HalfPlane, ...]:
    held = thing.held
    rows: list[HalfPlane] = []
    if held is not None:
        for axis, value in enumerate((held.x, held.y)):
            if value is not None:
                at = math.floor((value - thing.shift[axis]) * SCALE + 0.5)
                unit = (1, 0) if axis == 0 else (0, 1)
                rows += [(*unit, at), (-unit[0], -unit[1], -at)]
    return tuple(rows)


def _zones(index: LayoutIndex, thing: Thing, stand: TurnedShapes, frame: Frame) -> list[tuple[str, AllowedSite]]:
    """Return the zones and sides that relations hold a thing to."""
    found = []
    for k, relation in enumerate(index.project.rules.relations):
        if thing.name not in relation.devices:
            continue
        if relation.zone is not None:
            found.append((f"relation {k}", inside_area(area_pieces(relation.zone, index.side), stand, index.side)))
        if relation.side is not None:
            found.append((f"relation {k}", _half(index.panels[frame.panel], relation, frame, stand)))
    return found


def _half(panel: Panel, relation: Relation, frame: Frame, stand: TurnedShapes) -> AllowedSite:
    if panel.hinge is None and relation.side in ("hinge", "opening"):
        return NO_PLACE
    side = plain_side(panel, relation.side or "left")
    x0, y0, x1, y1 = stand.box
    middle = {"left": frame.width_mm / 2 - x1, "right": x0 - frame.width_mm / 2}
    middle |= {"bottom": frame.height_mm / 2 - y1, "top": y0 - frame.height_mm / 2}
    unit = {"left": (1, 0), "right": (-1, 0), "bottom": (0, 1), "top": (0, -1)}[side]
    return AllowedSite(rows=((*unit, math.floor(SCALE * middle[side] + 1e-6)),), bans=())


def plain_side(panel: Panel, side: str) -> str:
    """Return the plain side of a panel for hinge and opening.

    Raises
    ------
    ValueError
        When the panel has no hinge.
    """
    if side not in ("hinge", "opening"):
        return side
    if panel.hinge is None:
        raise ValueError(f"panel {panel.id} has no hinge, so it has no {side} side")
    against = {"left": "right", "right": "left", "top": "bottom", "bottom": "top"}
    return panel.hinge.side if side == "hinge" else against[panel.hinge.side]


def _core(stand: TurnedShapes, grow_mm: float) -> StepBox | None:
    if len(stand.face) != 1:
        return None
    x0, y0, x1, y1 = stand.box
    face = stand.face[0]
    cut = face.radius * (1 - math.sqrt(0.5)) if len(face.points) < 3 else 0.0
    grow = grow_mm - cut
    low = [math.ceil(SCALE * (edge - grow) - 1e-6) for edge in (x0, y0)]
    high = [math.floor(SCALE * (edge + grow) + 1e-6) for edge in (x1, y1)]
    return StepBox(low[0], low[1], high[0], high[1]) if low[0] < high[0] and low[1] < high[1] else None
