"""Hatching as plain lines, so that every writer shows the same ones."""

from __future__ import annotations

from itertools import pairwise
from math import ceil, floor
from typing import TYPE_CHECKING

from layout.geometry.path import Line, Path
from layout.geometry.segment import turned_point

if TYPE_CHECKING:
    from layout.drawing.elements.scene import HatchPath
    from layout.geometry.path import Point

_TOLERANCE_MM = 0.01
"""Arcs are hatched as chains that leave them by at most this."""


def hatch_lines(hatch: HatchPath) -> list[Path]:
    """Return the lines of a hatching, each an open path, in order across the shape.

    Lines lie on a grid fixed to the origin, so that neighbouring shapes are hatched alike.
    """
    rings = [
        [turned_point(p, -hatch.turn_deg) for p in path.points(_TOLERANCE_MM)] for path in (hatch.path, *hatch.holes)
    ]
    ys = [y for ring in rings for _, y in ring]
    step = hatch.spacing_mm
    lines = []
    for row in range(ceil(min(ys) / step), floor(max(ys) / step) + 1):
        # A hair off the grid: a line through a corner would meet two sides there.
        y = row * step + step * 1e-4
        crossings = sorted(x for ring in rings for x in _crossings(ring, y))
        for low, high in zip(crossings[::2], crossings[1::2], strict=False):
            if high - low > _TOLERANCE_MM:
                lines.append((low, high, y))
    return [
        Path((Line(turned_point((a, y), hatch.turn_deg), turned_point((b, y), hatch.turn_deg)),), closed=False)
        for a, b, y in lines
    ]


def _crossings(ring: list[Point], y: float) -> list[float]:
    """Return where the closed chain crosses the level ``y``."""
    found = []
    for (xa, ya), (xb, yb) in pairwise([*ring, ring[0]]):
        if (ya > y) != (yb > y):
            found.append(xa + (y - ya) * (xb - xa) / (yb - ya))
    return found
