"""Millimetres on a panel and whole steps in the engine's plane, where the panels lie side by side."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.engine.problem import SCALE, AllowedRoom, ForbiddenRegion

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from layout.geometry.box import Point
    from layout.placing.engine.problem import HalfPlane

GRID_MM = 1 / SCALE
"""Distance between two neighbouring positions."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """Where one panel lies in the engine's plane.

    Attributes
    ----------
    panel, index
        Id and number of the panel.
    x0
        Of its datum, in steps.
    width_mm, height_mm
        Of its outline's bounding box.
    """

    panel: str
    index: int
    x0: int
    width_mm: float
    height_mm: float

    def steps(self, at: Point) -> tuple[int, int]:
        """Return the nearest grid position to a point of the panel, in steps; halves go up."""
        return self.x0 + math.floor(at[0] * SCALE + 0.5), math.floor(at[1] * SCALE + 0.5)

    def mm(self, x: int, y: int) -> Point:
        """Return a grid position in panel coordinates."""
        return (x - self.x0) / SCALE, y / SCALE

    def room(self, rows: Iterable[HalfPlane]) -> AllowedRoom:
        """Return a room from rows in the panel's own steps."""
        return AllowedRoom(tuple(_shifted(rows, self.x0)), self.index)

    def region(self, rows: Iterable[HalfPlane], rule: str) -> ForbiddenRegion:
        """Return a region from rows in the panel's own steps."""
        return ForbiddenRegion(tuple(_shifted(rows, self.x0)), rule)


def _shifted(rows: Iterable[HalfPlane], x0: int) -> list[HalfPlane]:
    return [(a, b, c + a * x0) for a, b, c in rows]


def frames_apart(panels: Sequence[tuple[str, float, float]], *, reach_mm: float) -> tuple[Frame, ...]:
    """Return frames for panels ``(id, width, height)`` so far apart that nothing on one reaches another.

    Parameters
    ----------
    reach_mm
        Largest distance at which two positions can matter to each other.
    """
    frames, x0 = [], 0
    for index, (panel, width, height) in enumerate(panels):
        frames.append(Frame(panel=panel, index=index, x0=x0, width_mm=width, height_mm=height))
        x0 += math.ceil((width + reach_mm) * SCALE) + 1
    return tuple(frames)
