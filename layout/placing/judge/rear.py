"""What lies behind the sheet: bodies apart, inside the depth, AC apart from DC and covered."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.placing.judge.apart import pairs_too_near
from layout.placing.judge.depth import free_depth_mm
from layout.placing.judge.form import SLACK_MM
from layout.placing.judge.say import device_key, found, mm, more_mm
from layout.placing.rules import limit_mm
from layout.project.model.panel import Layer

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.findings.finding import Finding
    from layout.placing.judge.form import Part
    from layout.placing.judge.limits import Limits
    from layout.placing.judge.scene import Room, Scene, Standing


def rear(scene: Scene, limits: Limits) -> Iterator[Finding]:
    """Find what is wrong behind the sheet of one panel, and how high devices stand in front of it."""
    rooms = {room.roomy: room for one in scene.standing for room in one.rooms}

    def none_shared(first: Part, second: Part) -> bool:
        return not rooms[first].shares_depth(rooms[second].low, rooms[second].high)

    reach = limits.reach(Layer.REAR)
    yield from pairs_too_near(
        scene, "GEO005", list(rooms), limits.rear_gap, what="behind the sheet, ", reach_mm=reach, allowed=none_shared
    )
    yield from pairs_too_near(
        scene, "GEO015", list(rooms), limits.ac_dc, what="behind the sheet, AC and DC: ", reach_mm=reach
    )
    for one in scene.standing:
        yield from _depths(scene, one)
        yield from _front(scene, one)
        yield from _covered(scene, one)


def _depths(scene: Scene, one: Standing) -> Iterator[Finding]:
    key = device_key(one)
    if one.device.mount == "cut-in" and not one.rooms:
        yield found(
            scene.project,
            "GEO007",
            f"{one.name} goes through {scene.name}, and no body says how deep it is",
            (key,),
            remedy="give its body with shape and depth",
        )
        return
    if one.rooms and (one.device.tail is None or one.device.tail.depth is None):
        yield found(
            scene.project,
            "GEO008",
            f"{one.name} on {scene.name} has no tail depth, so its plugs and bending cables are not checked for depth",
            (key,),
            remedy="give tail: depth, 0 if nothing plugs in behind",
        )
    for index, room in enumerate(one.rooms):
        if room.depth is None:
            yield found(
                scene.project,
                "GEO007",
                f"the depth of {one.name}'s body is not known, so whether it fits behind {scene.name} is open",
                (f"{key}.body.{index}",),
                remedy="measure the body's depth and give it",
            )
        else:
            yield from _too_deep(scene, one, room, f"{key}.body.{index}")


def _too_deep(scene: Scene, one: Standing, room: Room, key: str) -> Iterator[Finding]:
    free = free_depth_mm(scene.panel, room.roomy)
    panel_key = f"panels.{scene.id}"
    if free is None:
        yield found(
            scene.project,
            "GEO007",
            f"the free depth behind {scene.name} where {one.name} stands is not known",
            (panel_key, key),
            remedy="give the panel's depth, depth_steps or depth_at there",
        )
        return
    spare = limit_mm(scene.project, "depth_spare")
    need = room.high + spare
    if need > free + SLACK_MM:
        yield found(
            scene.project,
            "GEO006",
            f"{one.name} needs {mm(need)} mm behind {scene.name} ({mm(room.high)} mm with tail room,"
            f" {mm(spare)} mm to spare) and has {mm(free)} mm",
            (key, panel_key),
            measured=free,
            limit=need,
            remedy=f"move {one.name} to where it is deeper by at least {more_mm(need - free)} mm",
        )


def _front(scene: Scene, one: Standing) -> Iterator[Finding]:
    room, height = scene.panel.front_room, one.device.front_height
    if room is None:
        return
    keys = (device_key(one), f"panels.{scene.id}")
    if height is None:
        yield found(
            scene.project,
            "GEO010",
            f"how far {one.name} stands out is not known, and {scene.name} has only {mm(room)} mm in front",
            keys,
            limit=room,
            remedy="give its front_height",
        )
    elif height > room + SLACK_MM:
        yield found(
            scene.project,
            "GEO009",
            f"{one.name} stands out {mm(height)} mm, and {scene.name} has only {mm(room)} mm in front",
            keys,
            measured=height,
            limit=room,
            remedy=f"make {more_mm(height - room)} mm more room in front, or mount it elsewhere",
        )


def _covered(scene: Scene, one: Standing) -> Iterator[Finding]:
    if "ac" not in one.device.classes or one.device.rear_covered:
        return
    state = "does not say whether" if one.device.rear_covered is None else "says that not all of"
    yield found(
        scene.project,
        "GEO016",
        f"{one.name} on {scene.name} carries AC and {state} its terminals are enclosed and finger-safe",
        (device_key(one),),
        remedy="enclose the terminals so that only a tool opens them, then say rear_covered: true",
    )
