"""Zones that others must not enter: keep-outs of the panel, keep-clears of devices."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from layout.placing.judge.near import near
from layout.placing.judge.placed_form import overlap, placed_form, shape_form
from layout.placing.judge.reporting import as_mm, device_key, geometry_finding, way_out
from layout.placing.judge.standing import takes_layer
from layout.project.model.panel import Layer

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.findings.finding import Finding
    from layout.placing.judge.placed_form import PlacedForm
    from layout.placing.judge.standing import PanelStanding, Standing, StandingZone

TOUCHING_MM = 1e-3
"""Reach within which boxes are looked at for overlap, mm."""

Entering = tuple[str, list["PlacedForm"]]
"""What enters, for the message, and the parts of all devices that may."""


def zones(here: PanelStanding) -> Iterator[Finding]:
    """Find parts of devices in keep-outs of the panel and in keep-clears of other devices."""
    faces: Entering = ("the face of ", [one.face for one in here.standing])
    cutouts: Entering = ("the cut-out of ", [part for one in here.standing for part in one.cutouts])
    fixings: Entering = ("a fixing hole of ", [part for one in here.standing for part in one.fixings])
    rooms = [room for one in here.standing for room in one.rooms]
    for key, declared in here.panel.no_go.items():
        entering = [faces] if takes_layer(declared.layer, Layer.FRONT) else []
        if takes_layer(declared.layer, Layer.SHEET) or declared.kind == "batten":
            entering += [cutouts, fixings]
        if takes_layer(declared.layer, Layer.REAR):
            deep = [room.roomy for room in rooms if room.high > declared.from_depth]
            entering.append(("the body of ", deep))
        zone = placed_form(f"keep-out {key}", shape_form(declared.shape))
        name = f"the keep-out {declared.name or key}"
        yield from entered(here, "panel 11", (zone, name), entering, f"panels.{here.id}.no_go.{key}")
    for one in here.standing:
        for index, zone_of in enumerate(one.clear_around):
            kept = zone_of.declared
            entering = [faces] if takes_layer(kept.layer, Layer.FRONT) else []
            if takes_layer(kept.layer, Layer.SHEET):
                entering.append(cutouts)
            if takes_layer(kept.layer, Layer.REAR):
                high = math.inf if kept.depth is None else kept.depth
                deep = [room.bare for room in rooms if room.shares_depth(kept.from_depth, high)]
                entering.append(("the body of ", deep))
            key = f"{device_key(one)}.clear_around.{index}"
            yield from entered(here, "panel 12", (zone_of.part, _clear_name(one, zone_of)), entering, key)


def _clear_name(owner: Standing, zone: StandingZone) -> str:
    what_for = zone.declared.name or (zone.declared.against if zone.declared.against != "other" else "")
    return f"the room kept clear of {owner.name}" + (f" for {what_for}" if what_for else "")


def entered(
    here: PanelStanding, code: str, zone: tuple[PlacedForm, str], entering: list[Entering], key: str
) -> Iterator[Finding]:
    """Find, for each device, the part of each kind that enters a zone deepest.

    Parameters
    ----------
    zone
        Its shape and its name in the message.
    entering
        Parts that must not overlap it, but for those of the zone's own owner.
    key
        Dotted path of the zone.
    """
    standing = here.by_id()
    area, name = zone
    for what, parts in entering:
        deepest: dict[str, tuple[float, PlacedForm, str]] = {}
        for _, index in near([area], parts, TOUCHING_MM):
            part = parts[index]
            common = overlap(area, part)
            if common is None:
                continue
            deep = min(common.width, common.height)
            if part.owner not in deepest or deep > deepest[part.owner][0]:
                deepest[part.owner] = (deep, part, f"{as_mm(common.width)} x {as_mm(common.height)} mm")
        for owner, (deep, part, size) in deepest.items():
            one = standing[owner]
            yield geometry_finding(
                here.project,
                code,
                f"{what}{one.name} enters {name} on {here.name} by {size}",
                (device_key(one), key),
                measured=-deep,
                limit=0.0,
                remedy=way_out(area, part, one.name, 0.0),
            )
