"""What a panel that opens on its hinge sweeps past.

In the plane square to the hinge pin the pin is the origin, u runs from it across the shut panel and z
towards the viewer. Opening turns everything that is fixed to the panel counter-clockwise there.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

from layout.geometry.box import Box
from layout.placing.judge.placed_form import FLOAT_SLACK_MM
from layout.placing.judge.reporting import as_mm, device_key, geometry_finding, more_mm
from layout.placing.rule_table import rule_mm

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.findings.finding import Finding
    from layout.geometry.box import Point
    from layout.placing.judge.standing import PanelStanding, Standing
    from layout.project.model.panel import Hinge, Obstacle

Span = tuple[float, float]
"""From where to where along the pin, mm."""


def swing(here: PanelStanding) -> Iterator[Finding]:
    """Find what meets an obstacle, or passes it too near, while the panel opens."""
    hinge = here.panel.hinge
    if hinge is None or not hinge.obstacles:
        return
    for one in here.judged:
        yield from _device(here, hinge, one)
    yield from _loom(here, hinge)


def swept_clearance_mm(moving: Box, still: Box, opens_deg: float) -> float:
    """Return the least distance of a box from another while it turns about the origin, mm.

    The box turns counter-clockwise from where it is by ``opens_deg``. Exact: two convex shapes are
    nearest at a corner of one, so either a corner of the moving one on its arc is nearest to the
    still one, or a corner of the still one, on its arc backwards, to the moving one.
    """
    if moving.gap_mm(still) == 0:
        return 0.0
    opens = math.radians(opens_deg)
    return min(
        *(_arc_clearance_mm(corner, opens, still) for corner in _corners(moving)),
        *(_arc_clearance_mm(corner, -opens, moving) for corner in _corners(still)),
    )


def _arc_clearance_mm(corner: Point, turn: float, box: Box) -> float:
    """Return the least distance of a point from a box while it turns about the origin by ``turn`` radians.

    It is taken on at an end of the arc, or where the arc heads straight for a corner or a side of the
    box, or where it meets a side.
    """
    radius, start = math.hypot(*corner), math.atan2(corner[1], corner[0])
    angles = [math.atan2(y, x) for x, y in _corners(box)]
    angles += [0.0, math.pi / 2, math.pi, -math.pi / 2]
    angles += [side * math.acos(x / radius) for x in (box.x0, box.x1) if abs(x) < radius for side in (1, -1)]
    for y in (box.y0, box.y1):
        if abs(y) < radius:
            angles += [math.asin(y / radius), math.pi - math.asin(y / radius)]
    passed = [start, start + turn]
    passed += [angle for angle in angles if (angle - start if turn > 0 else start - angle) % math.tau <= abs(turn)]
    return min(_off_mm(radius * math.cos(angle), radius * math.sin(angle), box) for angle in passed)


def _off_mm(x: float, y: float, box: Box) -> float:
    return math.hypot(max(0.0, box.x0 - x, x - box.x1), max(0.0, box.y0 - y, y - box.y1))


def _corners(box: Box) -> tuple[Point, ...]:
    return (box.x0, box.y0), (box.x1, box.y0), (box.x1, box.y1), (box.x0, box.y1)


def _device(here: PanelStanding, hinge: Hinge, one: Standing) -> Iterator[Finding]:
    key, rear = device_key(one), -here.panel.thickness
    height = one.device.front_height
    if height is None:
        yield geometry_finding(
            here.project,
            "panel 10",
            f"how far {one.name} stands out is not known, so whether it passes when {here.name} opens is open",
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
        meetings = [(_pass_mm(here, hinge, box, (low, high), obstacle), text) for box, low, high, text in boxes]
        yield from _met(here, (key, f"panels.{here.id}.hinge.obstacles.{name}"), obstacle.name or name, meetings)


def _loom(here: PanelStanding, hinge: Hinge) -> Iterator[Finding]:
    panel_key = f"panels.{here.id}"
    if not here.panel.loom or hinge.loom_depth is None:
        lacking = "way" if not here.panel.loom else "depth"
        yield geometry_finding(
            here.project,
            "panel 21",
            f"the {lacking} of the loom behind {here.name} is not known, so its swing past obstacles is not checked",
            (panel_key,),
            remedy="give the panel's loom and the hinge's loom_depth",
        )
        return
    rear = -here.panel.thickness
    legs = [
        Box(min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))
        for chain in here.panel.loom
        for a, b in pairwise(chain)
    ]
    for name, obstacle in hinge.obstacles.items():
        depths = (rear - hinge.loom_depth, rear)
        meetings = [(_pass_mm(here, hinge, leg, depths, obstacle), f"the loom of {here.name}") for leg in legs]
        yield from _met(here, (panel_key, f"{panel_key}.hinge.obstacles.{name}"), obstacle.name or name, meetings)


def _met(
    here: PanelStanding, keys: tuple[str, str], obstacle: str, meetings: list[tuple[float, str]]
) -> Iterator[Finding]:
    spare = rule_mm(here.project, "swing_spare")
    measured, text = min(meetings, default=(math.inf, ""))
    if measured >= spare - FLOAT_SLACK_MM:
        return
    if measured <= FLOAT_SLACK_MM:
        message = f"{text} meets {obstacle} when {here.name} opens; {as_mm(spare)} mm are to stay between"
    else:
        message = (
            f"{text} passes {obstacle} at {as_mm(measured)} mm when {here.name} opens, the least is {as_mm(spare)} mm"
        )
    yield geometry_finding(
        here.project,
        "panel 20",
        message,
        keys,
        measured=measured,
        limit=spare,
        remedy=f"move it along or away from the hinge until at least {more_mm(spare - measured)} mm more are clear",
    )


def _pass_mm(here: PanelStanding, hinge: Hinge, seen: Box, z: Span, obstacle: Obstacle) -> float:
    """Return how near a box (seen from the front, between two z) passes an obstacle.

    Endless past its ends along the pin, and where it is plain that enough stays clear.
    """
    moving, along = _square_to_pin(here, hinge, seen)
    still, there = _square_to_pin(
        here, hinge, Box(obstacle.low[0], obstacle.low[1], obstacle.high[0], obstacle.high[1])
    )
    if along[0] >= there[1] - FLOAT_SLACK_MM or there[0] >= along[1] - FLOAT_SLACK_MM:
        return math.inf
    up = hinge.pin[1]
    turning = Box(moving[0], z[0] - up, moving[1], z[1] - up)
    standing = Box(still[0], obstacle.low[2] - up, still[1], obstacle.high[2] - up)
    return swept_clearance_mm(turning, standing, hinge.opens)


def _square_to_pin(here: PanelStanding, hinge: Hinge, seen: Box) -> tuple[Span, Span]:
    """Return from where to where a box seen from the front reaches, across from the pin and along it."""
    ground, out = here.ground.box, hinge.pin[0]
    if hinge.side == "left":
        return (seen.x0 - ground.x0 + out, seen.x1 - ground.x0 + out), (seen.y0, seen.y1)
    if hinge.side == "right":
        return (ground.x1 + out - seen.x1, ground.x1 + out - seen.x0), (seen.y0, seen.y1)
    if hinge.side == "bottom":
        return (seen.y0 - ground.y0 + out, seen.y1 - ground.y0 + out), (seen.x0, seen.x1)
    return (ground.y1 + out - seen.y1, ground.y1 + out - seen.y0), (seen.x0, seen.x1)
