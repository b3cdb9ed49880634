"""What a panel that opens on its hinge sweeps past.

In the plane square to the hinge pin the pin is the origin, u runs from it across the shut panel and z
towards the viewer. Opening turns everything that is fixed to the panel counter-clockwise there.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

from layout.geometry.box import Box
from layout.geometry.distance import nearest_segments, nearest_to_point
from layout.geometry.segment import JOIN_MM, Arc, Line, turned_point
from layout.placing.judge.form import SLACK_MM
from layout.placing.judge.say import device_key, found, mm, more_mm
from layout.placing.rules import limit_mm

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.findings.finding import Finding
    from layout.geometry.box import Point
    from layout.placing.judge.scene import Scene, Standing
    from layout.project.model.panel import Hinge, Obstacle

Stretch = tuple[float, float]
"""From where to where along the pin, mm."""


def swing(scene: Scene) -> Iterator[Finding]:
    """Find what meets an obstacle, or passes it too near, while the panel opens."""
    hinge = scene.panel.hinge
    if hinge is None or not hinge.obstacles:
        return
    for one in scene.standing:
        yield from _device(scene, hinge, one)
    yield from _loom(scene, hinge)


def swept_clearance_mm(moving: Box, still: Box, opens_deg: float, *, enough_mm: float = math.inf) -> float:
    """Return the least distance of a box from another while it turns about the origin, mm.

    The box turns counter-clockwise from where it is by ``opens_deg``. Exact: two convex shapes are
    nearest at a corner of one, so either a corner of the moving one on its arc is nearest to the
    still one, or a corner of the still one, on its arc backwards, to the moving one. Distances that
    are plainly ``enough_mm`` or more are not worked out, and count as endless.
    """
    if moving.gap_mm(still) == 0:
        return 0.0
    ways = [
        *(_arc_clearance_mm(corner, opens_deg, still, enough_mm) for corner in _corners(moving)),
        *(_arc_clearance_mm(corner, -opens_deg, moving, enough_mm) for corner in _corners(still)),
    ]
    return min(ways)


def _arc_clearance_mm(corner: Point, degrees: float, box: Box, enough_mm: float) -> float:
    """Return the least distance of a point from a box while it turns about the origin."""
    if box.gap_mm(Box(*corner, *corner)) == 0:
        return 0.0
    if math.hypot(*corner) <= JOIN_MM:
        return min(nearest_to_point(side, corner).distance_mm for side in _sides(box))
    arc = Arc(corner, turned_point(corner, degrees), (0.0, 0.0), ccw=degrees > 0)
    if arc.bounds().gap_mm(box) >= enough_mm:
        return math.inf
    return min(nearest_segments(arc, side).distance_mm for side in _sides(box))


def _corners(box: Box) -> tuple[Point, ...]:
    return (box.x0, box.y0), (box.x1, box.y0), (box.x1, box.y1), (box.x0, box.y1)


def _sides(box: Box) -> list[Line]:
    """Return the sides of a box; a flat one has fewer."""
    corners = _corners(box)
    return [Line(a, b) for a, b in pairwise((*corners, corners[0])) if a != b]


def _device(scene: Scene, hinge: Hinge, one: Standing) -> Iterator[Finding]:
    key, rear = device_key(one), -scene.panel.thickness
    height = one.device.front_height
    if height is None:
        yield found(
            scene.project,
            "GEO010",
            f"how far {one.name} stands out is not known, so whether it passes when {scene.name} opens is open",
            (key,),
            remedy="give its front_height",
        )
    boxes = [(one.face.box, 0.0, height or 0.0, f"the face of {one.name}")]
    boxes += [
        (room.roomy.box, rear - room.high, rear - room.low, f"the body of {one.name}")
        for room in one.rooms
        if math.isfinite(room.high)  # an unknown depth is an error of its own
    ]
    for name, obstacle in hinge.obstacles.items():
        meetings = [(_pass_mm(scene, hinge, box, (low, high), obstacle), text) for box, low, high, text in boxes]
        yield from _met(scene, (key, f"panels.{scene.id}.hinge.obstacles.{name}"), obstacle.name or name, meetings)


def _loom(scene: Scene, hinge: Hinge) -> Iterator[Finding]:
    panel_key = f"panels.{scene.id}"
    if not scene.panel.loom or hinge.loom_depth is None:
        lacking = "way" if not scene.panel.loom else "depth"
        yield found(
            scene.project,
            "GEO021",
            f"the {lacking} of the loom behind {scene.name} is not known, so its swing past obstacles is not checked",
            (panel_key,),
            remedy="give the panel's loom and the hinge's loom_depth",
        )
        return
    rear = -scene.panel.thickness
    legs = [
        Box(min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))
        for chain in scene.panel.loom
        for a, b in pairwise(chain)
    ]
    for name, obstacle in hinge.obstacles.items():
        depths = (rear - hinge.loom_depth, rear)
        meetings = [(_pass_mm(scene, hinge, leg, depths, obstacle), f"the loom of {scene.name}") for leg in legs]
        yield from _met(scene, (panel_key, f"{panel_key}.hinge.obstacles.{name}"), obstacle.name or name, meetings)


def _met(scene: Scene, keys: tuple[str, str], obstacle: str, meetings: list[tuple[float, str]]) -> Iterator[Finding]:
    spare = limit_mm(scene.project, "swing_spare")
    measured, text = min(meetings, default=(math.inf, ""))
    if measured >= spare - SLACK_MM:
        return
    if measured <= SLACK_MM:
        message = f"{text} meets {obstacle} when {scene.name} opens; {mm(spare)} mm are to stay between"
    else:
        message = f"{text} passes {obstacle} at {mm(measured)} mm when {scene.name} opens, the least is {mm(spare)} mm"
    yield found(
        scene.project,
        "GEO020",
        message,
        keys,
        measured=measured,
        limit=spare,
        remedy=f"move it along or away from the hinge until at least {more_mm(spare - measured)} mm more are clear",
    )


def _pass_mm(scene: Scene, hinge: Hinge, seen: Box, z: Stretch, obstacle: Obstacle) -> float:
    """Return how near a box (seen from the front, between two z) passes an obstacle.

    Endless past its ends along the pin, and where it is plain that enough stays clear.
    """
    moving, along = _square_to_pin(scene, hinge, seen)
    still, there = _square_to_pin(
        scene, hinge, Box(obstacle.low[0], obstacle.low[1], obstacle.high[0], obstacle.high[1])
    )
    if along[0] >= there[1] - SLACK_MM or there[0] >= along[1] - SLACK_MM:
        return math.inf
    up = hinge.pin[1]
    turning = Box(moving[0], z[0] - up, moving[1], z[1] - up)
    standing = Box(still[0], obstacle.low[2] - up, still[1], obstacle.high[2] - up)
    return swept_clearance_mm(turning, standing, hinge.opens, enough_mm=limit_mm(scene.project, "swing_spare"))


def _square_to_pin(scene: Scene, hinge: Hinge, seen: Box) -> tuple[Stretch, Stretch]:
    """Return from where to where a box seen from the front reaches, across from the pin and along it."""
    ground, out = scene.ground.box, hinge.pin[0]
    if hinge.side == "left":
        return (seen.x0 - ground.x0 + out, seen.x1 - ground.x0 + out), (seen.y0, seen.y1)
    if hinge.side == "right":
        return (ground.x1 + out - seen.x1, ground.x1 + out - seen.x0), (seen.y0, seen.y1)
    if hinge.side == "bottom":
        return (seen.y0 - ground.y0 + out, seen.y1 - ground.y0 + out), (seen.x0, seen.x1)
    return (ground.y1 + out - seen.y1, ground.y1 + out - seen.y0), (seen.x0, seen.x1)
