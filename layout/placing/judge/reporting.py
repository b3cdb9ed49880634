"""How the judge words what it finds."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from layout.placing.judge.placed_form import FLOAT_SLACK_MM, clearance, outside_polygon_of, overlap
from layout.project.model.keys import owner_of

if TYPE_CHECKING:
    from layout.findings.finding import Finding
    from layout.geometry.box import Point
    from layout.placing.judge.placed_form import PlacedForm
    from layout.placing.judge.standing import Standing
    from layout.project.model.project import Project

WAYS: dict[str, Point] = {"right": (1.0, 0.0), "left": (-1.0, 0.0), "up": (0.0, 1.0), "down": (0.0, -1.0)}
"""The four ways a device can be moved, seen from the front."""


def as_mm(value: float) -> str:
    """Return a length as people read it, to a thousandth at most."""
    return f"{round(value, 3) + 0.0:g}"


def more_mm(value: float) -> str:
    """Return a length rounded up to a tenth, so that following it is enough."""
    return f"{math.ceil(round(value * 10, 4)) / 10:g}"


def geometry_finding(
    project: Project,
    code: str,
    message: str,
    keys: tuple[str, ...],
    *,
    measured: float | None = None,
    limit: float | None = None,
    remedy: str | None = None,
) -> Finding:
    """Return a finding about the entries ``keys`` (dotted, ``devices.radio``), located at the first.

    Lengths are in mm; ``measured`` is negative by how much things overlap.
    """
    rooms = (key for key in keys if ".reserved." in key)
    return project.finding(
        code,
        keys[0],
        message,
        remedy=remedy,
        measured=None if measured is None else round(measured, 6) + 0.0,
        limit=limit,
        unit="mm" if measured is not None or limit is not None else "",
        related=keys[1:],
        subjects=(*map(owner_of, keys[1:]), *rooms),
    )


def device_key(one: Standing) -> str:
    """Return the dotted path of a placed device or of reserved room."""
    return one.id if one.is_room else f"devices.{one.id}"


def apart_text(
    first: PlacedForm, second: PlacedForm, names: tuple[str, str], limit_mm: float, where: str
) -> tuple[str, float]:
    """Return how near two parts are, in words and in mm (negative by how much they overlap)."""
    common = overlap(first, second)
    if common is not None:
        deep = min(common.width, common.height)
        size = f"{as_mm(common.width)} x {as_mm(common.height)} mm"
        return f"{names[0]} and {names[1]} overlap by {size}{where}", -deep
    way = clearance(first, second, math.inf)
    apart = 0.0 if way is None else way.distance_mm
    return (
        f"{names[0]} and {names[1]} are {as_mm(apart)} mm apart{where}, the least is {as_mm(limit_mm)} mm",
        apart,
    )


def way_out(still: PlacedForm, moving: PlacedForm, name: str, limit_mm: float) -> str:
    """Return which way, and how far at least, a part is to be moved to stand ``limit_mm`` off another."""
    a, b = still.box, moving.box
    enough = {
        "right": a.x1 + limit_mm - b.x0,
        "left": b.x1 + limit_mm - a.x0,
        "up": a.y1 + limit_mm - b.y0,
        "down": b.y1 + limit_mm - a.y0,
    }
    way = min(enough, key=lambda side: enough[side])
    need = enough[way]
    if not (still.form.upright and moving.form.upright):
        need = _least(still, moving, WAYS[way], need, limit_mm)
    return f"move {name} {way} by at least {more_mm(need)} mm"


def _least(still: PlacedForm, moving: PlacedForm, way: Point, enough_mm: float, limit_mm: float) -> float:
    """Return the shortest move along ``way`` that suffices, to 0.01 mm, knowing one that does."""
    fixed, low, high = outside_polygon_of(still), 0.0, enough_mm
    while high - low > 0.01:
        middle = (low + high) / 2
        moved = outside_polygon_of(moving, shift=(way[0] * middle, way[1] * middle))
        clear = fixed.distance(moved) >= limit_mm - FLOAT_SLACK_MM and fixed.intersection(moved).area <= FLOAT_SLACK_MM
        low, high = (low, middle) if clear else (middle, high)
    return high


def remedy_for(first: Standing, second: Standing, parts: tuple[PlacedForm, PlacedForm], limit_mm: float) -> str:
    """Return the remedy for two devices that are too near: the later one is moved unless it is held."""
    if second.held and not first.held:
        return way_out(parts[1], parts[0], first.name, limit_mm)
    return way_out(parts[0], parts[1], second.name, limit_mm)
