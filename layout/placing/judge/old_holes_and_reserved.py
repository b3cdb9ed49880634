"""Old holes that are to vanish, and room that is kept for later."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.geometry.distance import inset_mm
from layout.geometry.offset import offset
from layout.geometry.shapes import rectangle
from layout.placing.judge.placed_form import (
    FLOAT_SLACK_MM,
    clearance,
    form_of,
    placed_form,
    shape_form,
)
from layout.placing.judge.reporting import as_mm, device_key, geometry_finding, way_out
from layout.placing.judge.zones import entered
from layout.placing.rule_table import rule_mm
from layout.project.model.reserved_room import room_key

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.findings.finding import Finding
    from layout.placing.judge.limits import JudgeLimits
    from layout.placing.judge.placed_form import PlacedForm
    from layout.placing.judge.standing import PanelStanding
    from layout.placing.judge.zones import Entering
    from layout.project.model.panel import OldHole


def kept(here: PanelStanding, limits: JudgeLimits) -> Iterator[Finding]:
    """Find old holes that show or are cut into, and reserved room that has no place."""
    for key, old in here.panel.old_holes.items():
        if old.fate != "open":  # an open one counts as a hole of the panel
            yield from _old_hole(here, limits, key, old)
    placed = {one.id for one in here.standing}
    for key, reserved in here.panel.reserved.items():
        if room_key(here.id, key) not in placed:
            width, height = reserved.size
            yield geometry_finding(
                here.project,
                "panel 26",
                f"no place is set on {here.name} for the {as_mm(width)} x {as_mm(height)} mm reserved for"
                f" {reserved.name or key}",
                (room_key(here.id, key),),
                limit=min(width, height),
                remedy="place again; if it finds none, reserve less or move devices together",
            )


def _old_hole(here: PanelStanding, limits: JudgeLimits, key: str, old: OldHole) -> Iterator[Finding]:
    hole = placed_form(f"old hole {key}", shape_form(old.shape))
    name, path_key = old.name or key, f"panels.{here.id}.old_holes.{key}"
    over: str | None = None
    if old.fate == "cover":
        over = next((one.id for one in here.standing if not one.is_room and _covers(one.face, hole)), None)
        if over is None:
            yield geometry_finding(
                here.project,
                "panel 22",
                f"the old hole {name} of {here.name} lies under no face",
                (path_key,),
                remedy="move a face over it, or say fate: blank",
            )
    else:
        plate = _plate(here, old, hole)
        faces: Entering = ("the face of ", [one.face for one in here.standing])
        yield from entered(here, "panel 24", (plate, f"the blanking plate of old hole {name}"), [faces], path_key)
    for one in here.standing:
        if one.id == over:
            continue
        web = limits.web_of(one.device)
        for cutout in one.cutouts:
            way = clearance(hole, cutout, web)
            if way is not None:
                yield geometry_finding(
                    here.project,
                    "panel 23",
                    f"the cut-out of {one.name} is {as_mm(way.distance_mm)} mm from old hole {name} of {here.name},"
                    f" the least is {as_mm(web)} mm",
                    (device_key(one), path_key),
                    measured=way.distance_mm,
                    limit=web,
                    remedy=way_out(hole, cutout, one.name, web),
                )
                break


def _covers(face: PlacedForm, hole: PlacedForm) -> bool:
    """Tell whether a hole lies wholly under a face; it may reach its very edge."""
    a, b = face.box, hole.box
    if (
        b.x0 < a.x0 - FLOAT_SLACK_MM
        or b.y0 < a.y0 - FLOAT_SLACK_MM
        or b.x1 > a.x1 + FLOAT_SLACK_MM
        or b.y1 > a.y1 + FLOAT_SLACK_MM
    ):
        return False
    return face.form.upright or inset_mm(hole.path(), face.path()) >= -FLOAT_SLACK_MM


def _plate(here: PanelStanding, old: OldHole, hole: PlacedForm) -> PlacedForm:
    if old.blank is not None:
        return placed_form(hole.owner, form_of(rectangle(*old.blank)), *hole.box.centre)
    grown = offset(hole.path(), rule_mm(here.project, "hole_gap"))
    return placed_form(hole.owner, form_of(grown[0].outer))
