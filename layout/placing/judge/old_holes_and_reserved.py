"""Old holes that are to vanish, and room that is kept for later."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from layout.geometry.convex import allowed_offsets_inside, forbidden_offsets
from layout.geometry.distance import inset_mm
from layout.geometry.offset import offset
from layout.geometry.shapes import rectangle
from layout.placing.judge.placed_form import (
    FLOAT_SLACK_MM,
    clearance,
    form_of,
    inside_polygon_of,
    outside_polygon_of,
    placed_form,
    shape_form,
)
from layout.placing.judge.reporting import as_mm, device_key, geometry_finding, way_out
from layout.placing.judge.standing import takes_layer
from layout.placing.judge.zones import entered
from layout.placing.rule_table import rule_mm
from layout.project.model.panel import Layer

if TYPE_CHECKING:
    from collections.abc import Iterator

    from shapely.geometry.base import BaseGeometry

    from layout.findings.finding import Finding
    from layout.placing.judge.limits import JudgeLimits
    from layout.placing.judge.placed_form import Form, PlacedForm
    from layout.placing.judge.standing import PanelStanding
    from layout.placing.judge.zones import Entering
    from layout.project.model.panel import OldHole, Reserved

OLD_HOLE_MM = 2e-4
"""By how much less than its size reserved room is looked for, mm."""


def kept(here: PanelStanding, limits: JudgeLimits) -> Iterator[Finding]:
    """Find old holes that show or are cut into, and reserved room that is taken or not to be found."""
    for key, old in here.panel.old_holes.items():
        if old.fate != "open":  # an open one counts as a hole of the panel
            yield from _old_hole(here, limits, key, old)
    for key, reserved in here.panel.reserved.items():
        if reserved.at is None:
            yield from _somewhere(here, key, reserved)
        else:
            size = form_of(rectangle(*reserved.size))
            room = placed_form(f"reserved {key}", size, *reserved.at)
            name = f"the room reserved for {reserved.name or key}"
            yield from entered(
                here,
                "panel 25",
                (room, name),
                _taking(here, reserved),
                f"panels.{here.id}.reserved.{key}",
            )


def _old_hole(here: PanelStanding, limits: JudgeLimits, key: str, old: OldHole) -> Iterator[Finding]:
    hole = placed_form(f"old hole {key}", shape_form(old.shape))
    name, path_key = old.name or key, f"panels.{here.id}.old_holes.{key}"
    over: str | None = None
    if old.fate == "cover":
        over = next((one.id for one in here.standing if _covers(one.face, hole)), None)
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
    grown = offset(hole.path(), rule_mm(here.project, "web"))
    return placed_form(hole.owner, form_of(grown[0].outer))


def _taking(here: PanelStanding, reserved: Reserved) -> list[Entering]:
    taking: list[Entering] = []
    if takes_layer(reserved.layer, Layer.FRONT):
        taking.append(("the face of ", [one.face for one in here.standing]))
    if takes_layer(reserved.layer, Layer.SHEET):
        taking.append(("the cut-out of ", [part for one in here.standing for part in one.cutouts]))
    if takes_layer(reserved.layer, Layer.REAR):
        deep = [
            room.roomy
            for one in here.standing
            for room in one.rooms
            if reserved.depth is None or room.low < reserved.depth
        ]
        taking.append(("the body of ", deep))
    return taking


def _somewhere(here: PanelStanding, key: str, reserved: Reserved) -> Iterator[Finding]:
    """Look for a free place anywhere inside the outline: exact positions by sums of convex pieces."""
    import shapely  # noqa: PLC0415  (heavy)
    from shapely.affinity import translate  # noqa: PLC0415  (heavy)

    width, height = reserved.size
    # A hair less, so that room that fits exactly leaves an area of positions and not only a line.
    size = (width - OLD_HOLE_MM, height - OLD_HOLE_MM)
    taken = [part for _, parts in _taking(here, reserved) for part in parts]
    refused = [translate(_refused(part.form, size), part.x, part.y) for part in (*taken, *here.holes)]
    places = _allowed(here.ground.form, size).difference(shapely.union_all(refused))
    if places.is_empty:
        yield geometry_finding(
            here.project,
            "panel 26",
            f"no place of {as_mm(width)} x {as_mm(height)} mm is left on {here.name} for {reserved.name or key}",
            (f"panels.{here.id}.reserved.{key}",),
            limit=min(width, height),
            remedy="move devices together, or reserve less",
        )


@lru_cache(maxsize=4096)
def _refused(form: Form, size: tuple[float, float]) -> BaseGeometry:
    """Return where the centre of an upright rectangle may not lie, for it to stay off a form about its origin."""
    import shapely  # noqa: PLC0415  (heavy)

    x, y = size[0] / 2, size[1] / 2
    if form.upright:
        return shapely.box(form.box.x0 - x, form.box.y0 - y, form.box.x1 + x, form.box.y1 + y)
    return forbidden_offsets(outside_polygon_of(placed_form("", form)), shapely.box(-x, -y, x, y))


@lru_cache(maxsize=64)
def _allowed(ground: Form, size: tuple[float, float]) -> BaseGeometry:
    """Return where the centre of an upright rectangle may lie, for it to stay inside a sheet's outline."""
    import shapely  # noqa: PLC0415  (heavy)

    x, y = size[0] / 2, size[1] / 2
    return allowed_offsets_inside(inside_polygon_of(placed_form("", ground)), shapely.box(-x, -y, x, y))
