"""What writers need to know of an arc: sweep, Bezier pieces, bulge."""

from __future__ import annotations

from math import ceil, cos, pi, sin, tan
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from layout.geometry.path import Arc, Point

MOST_SWEEP = pi / 4
"""Arcs are cut into pieces of at most 45 degrees: a cubic then leaves the circle by 4e-6 of its radius."""


def beziers(arc: Arc) -> list[tuple[Point, Point, Point]]:
    """Return cubic pieces (two control points and the end) that follow ``arc`` from its start."""
    count = max(1, ceil(abs(arc.sweep) / MOST_SWEEP - 1e-9))
    step = arc.sweep / count
    reach = 4 / 3 * tan(step / 4) * arc.radius
    pieces = []
    for index in range(count):
        first, second = arc.start_angle + index * step, arc.start_angle + (index + 1) * step
        begin = arc.start if index == 0 else arc.at_angle(first)
        end = arc.end if index == count - 1 else arc.at_angle(second)
        pieces.append(
            (
                (begin[0] - reach * sin(first), begin[1] + reach * cos(first)),
                (end[0] + reach * sin(second), end[1] - reach * cos(second)),
                end,
            )
        )
    return pieces


def bulge(arc: Arc) -> float:
    """Return the DXF bulge of ``arc``: the tangent of a quarter of its sweep, positive counter-clockwise."""
    return tan(arc.sweep / 4)
