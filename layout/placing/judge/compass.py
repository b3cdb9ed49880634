"""Distance in space of magnetic parts from a compass."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from layout.geometry.distance import contains_point, path_distance_to_point_mm
from layout.placing.judge.placed_form import FLOAT_SLACK_MM
from layout.placing.judge.reporting import as_mm, device_key, geometry_finding, more_mm

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.findings.finding import Finding
    from layout.placing.judge.placed_form import PlacedForm
    from layout.placing.judge.standing import PanelStanding, Standing
    from layout.project.model.panel import Compass

MagneticBody = tuple["PlacedForm", float, float]
"""A part and the z between which it stands, low and high, mm; z is 0 at the sheet's front, towards the viewer."""


def compass(here: PanelStanding) -> Iterator[Finding]:
    """Find devices nearer to a compass of the panel than they may be."""
    for key, declared in here.panel.compasses.items():
        name, path_key = declared.name or key, f"panels.{here.id}.compasses.{key}"
        for one in here.judged:
            safe = one.device.compass_safe
            if safe is None:
                if "magnet" in one.device.classes:
                    yield geometry_finding(
                        here.project,
                        "panel 18",
                        f"{one.name} has a magnet, and how near to compass {name} it may be is not known",
                        (device_key(one), path_key),
                        remedy="give its compass_safe distance from the maker's papers",
                    )
                continue
            yield from _too_near(here, one, safe, (declared, name, path_key))


def _too_near(here: PanelStanding, one: Standing, safe: float, what: tuple[Compass, str, str]) -> Iterator[Finding]:
    declared, name, path_key = what
    keys = (device_key(one), path_key)
    apart = min(to_compass_mm(solid, declared.at) for solid in solids(here, one, 0.0))
    if apart < safe - FLOAT_SLACK_MM:
        yield geometry_finding(
            here.project,
            "panel 17",
            f"{one.name} is {as_mm(apart)} mm from compass {name}, the least is {as_mm(safe)} mm",
            keys,
            measured=apart,
            limit=safe,
            remedy=f"move {one.name} at least {more_mm(safe - apart)} mm farther from the compass",
        )
    elif one.device.front_height is None:
        apart = min(to_compass_mm(solid, declared.at) for solid in solids(here, one, math.inf))
        if apart < safe - FLOAT_SLACK_MM:
            yield geometry_finding(
                here.project,
                "panel 10",
                f"how far {one.name} stands out is not known; compass {name} asks {as_mm(safe)} mm from all of it",
                keys,
                limit=safe,
                remedy="give its front_height",
            )


def solids(here: PanelStanding, one: Standing, unknown_height_mm: float) -> list[MagneticBody]:
    """Return the device as upright solids: its face in front of the sheet, its bodies behind it."""
    rear, height = -here.panel.thickness, one.device.front_height
    face = (one.face, 0.0, unknown_height_mm if height is None else height)
    depths = [(room.bare, math.inf if room.depth is None else room.depth) for room in one.rooms]
    return [face, *((part, rear - depth, rear) for part, depth in depths)]


def to_compass_mm(solid: MagneticBody, point: tuple[float, float, float]) -> float:
    """Return the distance in space of a point from an upright solid, mm."""
    part, low, high = solid
    x, y, z = point
    path = part.path()
    flat = 0.0 if contains_point(path, (x, y)) else path_distance_to_point_mm(path, (x, y))
    return math.hypot(flat, max(0.0, low - z, z - high))
