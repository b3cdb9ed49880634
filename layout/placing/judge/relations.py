"""Declared relations: order, row, column, side, zone, group, mirrored pair."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from layout.geometry.distance import inset_mm
from layout.placing.judge.placed_form import FLOAT_SLACK_MM, placed_form, shape_form
from layout.placing.judge.reporting import as_mm, device_key, geometry_finding, more_mm

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from layout.findings.finding import Finding
    from layout.geometry.box import Box
    from layout.placing.judge.limits import JudgeLimits
    from layout.placing.judge.standing import PanelStanding, Standing
    from layout.project.model.rules import Relation

SAME_MM = 0.5 - FLOAT_SLACK_MM
"""Two positions that are to be equal are so within this, mm: half a step of the grid."""

OPPOSITE = {"left": "right", "right": "left", "top": "bottom", "bottom": "top"}


def relations(panels: Sequence[PanelStanding], limits: JudgeLimits) -> Iterator[Finding]:
    """Find declared relations that do not hold; devices that are not placed are a finding elsewhere."""
    where = {one.id: (here, one) for here in panels for one in here.standing}
    for index, relation in enumerate(limits.project.rules.relations):
        key = f"rules.relations.{index}"
        placed = [where[name] for name in relation.devices if name in where]
        if not placed:
            continue
        here, standing = placed[0][0], [one for _, one in placed]
        away = [one for other, one in placed if other.id != here.id]
        if relation.kind in ("on_side", "in_zone"):
            for other, one in placed:
                yield from _SINGLE[relation.kind](other, one, relation, key)
        elif away:
            yield geometry_finding(
                here.project,
                "panel 33",
                f"{standing[0].name} stands on {here.name} and {away[0].name} does not, but they are to stand in"
                f" relation ({relation.kind.replace('_', ' ')})",
                (device_key(standing[0]), device_key(away[0]), key),
                remedy="place both on one panel",
            )
        elif relation.kind == "group":
            yield from _group(here, standing, relation, key, limits)
        elif relation.kind == "mirrored":
            yield from _mirrored(here, standing, relation, key)
        elif relation.kind in ("row", "column"):
            yield from _in_line(here, standing, relation, key)
        else:
            yield from _in_order(here, standing, relation, key)


def _in_order(here: PanelStanding, standing: list[Standing], relation: Relation, key: str) -> Iterator[Finding]:
    across = relation.kind == "left_to_right"
    for first, second in pairwise(standing):
        a, b = first.face.box, second.face.box
        apart = b.x0 - a.x1 if across else a.y0 - b.y1
        if apart < -FLOAT_SLACK_MM:
            place, way = ("to the right of", "right") if across else ("below", "down")
            yield geometry_finding(
                here.project,
                "panel 27",
                f"{second.name} is to stand {place} {first.name} on {here.name}, and reaches"
                f" {as_mm(-apart)} mm past it",
                (device_key(second), device_key(first), key),
                measured=apart,
                limit=0.0,
                remedy=f"move {second.name} {way} by at least {more_mm(-apart)} mm",
            )


def _level(box: Box, relation: Relation) -> float:
    upright = relation.kind == "row"
    low, high = (box.y0, box.y1) if upright else (box.x0, box.x1)
    return {"centre": (low + high) / 2, "low": low, "high": high}[relation.by]


def _in_line(here: PanelStanding, standing: list[Standing], relation: Relation, key: str) -> Iterator[Finding]:
    first = standing[0]
    ways = ("up", "down") if relation.kind == "row" else ("right", "left")
    part = {"centre": "centre", "low": "low edge", "high": "high edge"}[relation.by]
    for other in standing[1:]:
        off = _level(first.face.box, relation) - _level(other.face.box, relation)
        if abs(off) > SAME_MM:
            yield geometry_finding(
                here.project,
                "panel 28",
                f"{first.name} and {other.name} are to stand in one {relation.kind} by their {part} on {here.name},"
                f" and are {as_mm(abs(off))} mm off",
                (device_key(other), device_key(first), key),
                measured=abs(off),
                limit=0.0,
                remedy=f"move {other.name} {ways[0] if off > 0 else ways[1]} by {as_mm(abs(off))} mm",
            )


def _on_side(here: PanelStanding, one: Standing, relation: Relation, key: str) -> Iterator[Finding]:
    ground, box, side = here.ground.box, one.face.box, str(relation.side)
    hinge = here.panel.hinge
    if side in ("hinge", "opening"):
        if hinge is None:
            yield geometry_finding(
                here.project,
                "panel 29",
                f"{one.name} is to stand on the {side} side of {here.name}, which has no hinge",
                (device_key(one), key, f"panels.{here.id}"),
                remedy="give the panel a hinge, or name a side",
            )
            return
        side = hinge.side if side == "hinge" else OPPOSITE[hinge.side]
    middle_x, middle_y = ground.centre
    past, way = {
        "left": (box.x1 - middle_x, "left"),
        "right": (middle_x - box.x0, "right"),
        "top": (middle_y - box.y0, "up"),
        "bottom": (box.y1 - middle_y, "down"),
    }[side]
    if past > FLOAT_SLACK_MM:
        yield geometry_finding(
            here.project,
            "panel 29",
            f"{one.name} is to stand in the {side} half of {here.name}, and reaches {as_mm(past)} mm past the middle",
            (device_key(one), key),
            measured=-past,
            limit=0.0,
            remedy=f"move {one.name} {way} by at least {more_mm(past)} mm",
        )


def _in_zone(here: PanelStanding, one: Standing, relation: Relation, key: str) -> Iterator[Finding]:
    if relation.zone is None:
        return
    zone = placed_form("zone", shape_form(relation.zone))
    a, b = zone.box, one.face.box
    if zone.form.upright:
        inset = min(b.x0 - a.x0, b.y0 - a.y0, a.x1 - b.x1, a.y1 - b.y1)
    else:
        inset = inset_mm(one.face.path(), zone.path())
    if inset < -FLOAT_SLACK_MM:
        yield geometry_finding(
            here.project,
            "panel 30",
            f"{one.name} stands {as_mm(-inset)} mm out of the zone it is to stand in on {here.name}",
            (device_key(one), key),
            measured=inset,
            limit=0.0,
            remedy=f"move {one.name} into the zone by at least {more_mm(-inset)} mm",
        )


_SINGLE = {"on_side": _on_side, "in_zone": _in_zone}


def _group(
    here: PanelStanding, standing: list[Standing], relation: Relation, key: str, limits: JudgeLimits
) -> Iterator[Finding]:
    across = relation.run == "across"
    for first, second in pairwise(standing):
        a, b = first.face.box, second.face.box
        gap = (
            limits.face_gap(first.device, second.device, (first.id, second.id))
            if relation.gap is None
            else relation.gap
        )
        apart = b.x0 - a.x1 if across else b.y0 - a.y1
        off = b.centre[1] - a.centre[1] if across else b.centre[0] - a.centre[0]
        if abs(apart - gap) <= SAME_MM and abs(off) <= SAME_MM:
            continue
        place = "to the right of" if across else "above"
        yield geometry_finding(
            here.project,
            "panel 31",
            f"{second.name} is to stand {as_mm(gap)} mm {place} {first.name} on {here.name} with one centre line, and"
            f" stands {as_mm(apart)} mm from it, {as_mm(abs(off))} mm off the line",
            (device_key(second), device_key(first), key),
            measured=apart,
            limit=gap,
            remedy=f"move {second.name} by {as_mm(gap - apart)} mm {'across' if across else 'up'} and {as_mm(-off)} mm"
            f" {'up' if across else 'across'}",
        )


def _mirrored(here: PanelStanding, standing: list[Standing], relation: Relation, key: str) -> Iterator[Finding]:
    if len(standing) < 2:
        return
    first, second = standing
    line = here.ground.box.centre[0] if relation.about is None else relation.about
    (ax, ay), (bx, by) = first.face.box.centre, second.face.box.centre
    off_x, off_y = 2 * line - ax - bx, ay - by
    if max(abs(off_x), abs(off_y)) > SAME_MM:
        yield geometry_finding(
            here.project,
            "panel 32",
            f"{first.name} and {second.name} are to mirror each other about x = {as_mm(line)} mm on {here.name},"
            f" and are {as_mm(abs(off_x))} mm across and {as_mm(abs(off_y))} mm in height off",
            (device_key(second), device_key(first), key),
            measured=max(abs(off_x), abs(off_y)),
            limit=0.0,
            remedy=f"move {second.name} by {as_mm(off_x)} mm across and {as_mm(off_y)} mm up",
        )
