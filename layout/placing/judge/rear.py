"""What lies behind the sheet: bodies apart, inside the depth, AC apart from DC and covered."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.placing.judge.apart import pairs_too_near
from layout.placing.judge.depth import depth_under_mm
from layout.placing.judge.placed_form import FLOAT_SLACK_MM
from layout.placing.judge.reporting import as_mm, device_key, geometry_finding, more_mm
from layout.placing.rule_table import rule_mm
from layout.project.model.panel import Layer

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.findings.finding import Finding
    from layout.placing.judge.limits import JudgeLimits
    from layout.placing.judge.placed_form import PlacedForm
    from layout.placing.judge.standing import BodyRoom, PanelStanding, Standing


def rear(here: PanelStanding, limits: JudgeLimits) -> Iterator[Finding]:
    """Find what is wrong behind the sheet of one panel, and how high devices stand in front of it."""
    rooms = {room.roomy: room for one in here.standing for room in one.rooms}

    def none_shared(first: PlacedForm, second: PlacedForm) -> bool:
        return not rooms[first].shares_depth(rooms[second].low, rooms[second].high)

    reach = limits.reach(Layer.REAR)
    yield from pairs_too_near(
        here,
        "panel 5",
        list(rooms),
        limits.rear_gap,
        what="behind the sheet, ",
        reach_mm=reach,
        allowed=none_shared,
    )
    yield from pairs_too_near(
        here, "panel 15", list(rooms), limits.ac_dc, what="behind the sheet, AC and DC: ", reach_mm=reach
    )
    for one in here.judged:
        yield from _depths(here, one)
        yield from _front(here, one)
        yield from _covered(here, one)


def _depths(here: PanelStanding, one: Standing) -> Iterator[Finding]:
    key = device_key(one)
    if one.is_room:  # one that says no depth takes all there is
        for room in (room for room in one.rooms if room.depth is not None):
            yield from _too_deep(here, one, room, key)
        return
    if one.device.mount == "cut-in" and not one.rooms:
        yield geometry_finding(
            here.project,
            "panel 7",
            f"{one.name} goes through {here.name}, and no body says how deep it is",
            (key,),
            remedy="give its body with shape and depth",
        )
        return
    if one.rooms and (one.device.plug_room is None or one.device.plug_room.depth is None):
        yield geometry_finding(
            here.project,
            "panel 8",
            f"{one.name} on {here.name} has no tail depth, so its plugs and bending cables are not checked for depth",
            (key,),
            remedy="give plug_room: depth, 0 if nothing plugs in behind",
        )
    for index, room in enumerate(one.rooms):
        if room.depth is None:
            yield geometry_finding(
                here.project,
                "panel 7",
                f"the depth of {one.name}'s body is not known, so whether it fits behind {here.name} is open",
                (f"{key}.behind.{index}",),
                remedy="measure the body's depth and give it",
            )
        else:
            yield from _too_deep(here, one, room, f"{key}.behind.{index}")


def _too_deep(here: PanelStanding, one: Standing, room: BodyRoom, key: str) -> Iterator[Finding]:
    free = depth_under_mm(here.panel, room.roomy)
    panel_key = f"panels.{here.id}"
    if free is None:
        yield geometry_finding(
            here.project,
            "panel 7",
            f"the free depth behind {here.name} where {one.name} stands is not known",
            (panel_key, key),
            remedy="give the panel's depth, depth_steps or depth_at there",
        )
        return
    spare = rule_mm(here.project, "depth_spare")
    need = room.high + spare
    if need > free + FLOAT_SLACK_MM:
        yield geometry_finding(
            here.project,
            "panel 6",
            f"{one.name} needs {as_mm(need)} mm behind {here.name} ({as_mm(room.high)} mm with tail room,"
            f" {as_mm(spare)} mm to spare) and has {as_mm(free)} mm",
            (key, panel_key),
            measured=free,
            limit=need,
            remedy=f"move {one.name} to where it is deeper by at least {more_mm(need - free)} mm",
        )


def _front(here: PanelStanding, one: Standing) -> Iterator[Finding]:
    room, height = here.panel.front_room, one.device.front_height
    if room is None:
        return
    keys = (device_key(one), f"panels.{here.id}")
    if height is None:
        yield geometry_finding(
            here.project,
            "panel 10",
            f"how far {one.name} stands out is not known, and {here.name} has only {as_mm(room)} mm in front",
            keys,
            limit=room,
            remedy="give its front_height",
        )
    elif height > room + FLOAT_SLACK_MM:
        yield geometry_finding(
            here.project,
            "panel 9",
            f"{one.name} stands out {as_mm(height)} mm, and {here.name} has only {as_mm(room)} mm in front",
            keys,
            measured=height,
            limit=room,
            remedy=f"make {more_mm(height - room)} mm more room in front, or mount it elsewhere",
        )


def _covered(here: PanelStanding, one: Standing) -> Iterator[Finding]:
    if "ac" not in one.device.classes or one.device.rear_covered:
        return
    state = "does not say whether" if one.device.rear_covered is None else "says that not all of"
    yield geometry_finding(
        here.project,
        "panel 16",
        f"{one.name} on {here.name} carries AC and {state} its terminals are enclosed and finger-safe",
        (device_key(one),),
        remedy="enclose the terminals so that only a tool opens them, then say rear_covered: true",
    )
