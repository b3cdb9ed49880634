"""Shapes as people declare them, in their owner's frame (origin at its centre or the panel's datum)."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from layout.light_dataclass import dataclass
from layout.project.model.edge import exactly_one
from layout.quantity import Degrees, Gap, Mm, Size

if TYPE_CHECKING:
    from layout.geometry.path import Path

Pair = tuple[Mm, Mm]
"""x and y, mm."""
Dimensions = tuple[Size, Size]
"""Width and height, mm, both more than 0."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerance:
    """How much larger or smaller than nominal a size may be, over its whole width, mm."""

    plus: Gap = 0.0
    minus: Gap = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Corner:
    """One corner of a path; with a radius it is rounded by an arc that touches both its sides."""

    at: Pair
    radius: Gap = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ArcTo:
    """An arc from the corner before to ``arc_to``, through a point on the way."""

    arc_to: Pair
    through: Pair


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A closed shape: exactly one of rect, circle, slot, polygon, path.

    Attributes
    ----------
    rect
        Width and height, centred on ``at``; ``radius`` rounds the corners.
    circle
        Diameter, centred on ``at``.
    slot
        Length over the round ends and width, lengthways along x, centred on ``at``.
    polygon
        Corners in order.
    path
        Corners in order, each ``[x, y]``, ``{at, radius}`` or ``{arc_to, through}``.
    at, turn
        Where the shape's origin lies, and its turn counter-clockwise about it, degrees.
    """

    rect: Dimensions | None = None
    radius: Gap = 0.0
    circle: Size | None = None
    slot: Dimensions | None = None
    polygon: tuple[Pair, ...] = ()
    path: tuple[Corner | ArcTo | Pair, ...] = ()
    at: Pair = (0.0, 0.0)
    turn: Degrees = 0.0

    def __post_init__(self) -> None:
        kind = self.kind
        if self.radius and kind != "rect":
            raise ValueError(f"radius goes with rect, not with {kind}; give each corner of a path its own radius")
        if self.rect and self.radius > min(self.rect) / 2 + 1e-9:
            raise ValueError(f"radius {self.radius:g} mm is more than half of the shorter side, {min(self.rect):g} mm")
        if self.slot and self.slot[0] < self.slot[1]:
            raise ValueError(f"slot is [length, width] with length at least width, found {list(self.slot)}")
        for name in ("polygon", "path"):
            least = 2 if name == "path" and any(isinstance(step, ArcTo) for step in self.path) else 3
            if getattr(self, name) and len(getattr(self, name)) < least:
                raise ValueError(f"{name} takes at least 3 corners, or 2 with an arc; found {len(getattr(self, name))}")

    @property
    def kind(self) -> str:
        """Which of the five it is."""
        choices: dict[str, Any] = {name: getattr(self, name) for name in ("rect", "circle", "slot", "polygon", "path")}
        return exactly_one("a shape", choices)

    def to_path(self) -> Path:
        """Return the closed path, counter-clockwise, in the owner's frame.

        Raises
        ------
        ValueError
            If corners of a path leave no room for their radii or cross.
        """
        from layout.geometry import shapes

        if self.rect:
            made = shapes.rectangle(*self.rect, radius_mm=self.radius)
        elif self.circle:
            made = shapes.circle(self.circle)
        elif self.slot:
            made = shapes.slot(*self.slot)
        elif self.polygon:
            made = shapes.polygon(self.polygon)
        else:
            made = shapes.path_through(tuple(_step(step) for step in self.path))
        return made.turned(self.turn).moved(*self.at)


def _step(step: Corner | ArcTo | Pair) -> tuple[str, Pair, Any]:
    if isinstance(step, Corner):
        return ("corner", step.at, step.radius)
    if isinstance(step, ArcTo):
        return ("arc", step.arc_to, step.through)
    return ("corner", step, 0.0)
