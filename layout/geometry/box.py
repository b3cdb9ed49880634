"""An upright rectangle."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable

Point = tuple[float, float]
"""A position (x, y) in mm, x to the right and y up."""


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle from its lower left (x0, y0) to its upper right corner (x1, y1), in mm.

    Raises
    ------
    ValueError
        When a side would be negative or a coordinate is not a number.
    """

    x0: float
    y0: float
    x1: float
    y1: float

    def __post_init__(self) -> None:
        if not (self.x0 <= self.x1 and self.y0 <= self.y1):
            raise ValueError(f"a box runs from lower left to upper right, got {self}")

    @classmethod
    def around(cls, boxes: Iterable[Box]) -> Box:
        """Return the smallest box that holds all of ``boxes``, of which there is at least one."""
        held = tuple(boxes)
        if not held:
            raise ValueError("a box around nothing has no size")
        return cls(
            min(box.x0 for box in held),
            min(box.y0 for box in held),
            max(box.x1 for box in held),
            max(box.y1 for box in held),
        )

    @property
    def width(self) -> float:
        """Size in x, in mm."""
        return self.x1 - self.x0

    @property
    def height(self) -> float:
        """Size in y, in mm."""
        return self.y1 - self.y0

    @property
    def centre(self) -> Point:
        """Middle of the box."""
        return ((self.x0 + self.x1) / 2, (self.y0 + self.y1) / 2)

    def grown(self, by_mm: float) -> Box:
        """Return the box with every side moved outwards by ``by_mm`` (inwards where negative)."""
        return Box(self.x0 - by_mm, self.y0 - by_mm, self.x1 + by_mm, self.y1 + by_mm)

    def moved(self, dx: float, dy: float) -> Box:
        """Return the box shifted by (dx, dy) mm."""
        return Box(self.x0 + dx, self.y0 + dy, self.x1 + dx, self.y1 + dy)

    def gap_mm(self, other: Box) -> float:
        """Return the shortest distance to ``other`` in mm, 0 where they touch or overlap."""
        dx = max(0.0, other.x0 - self.x1, self.x0 - other.x1)
        dy = max(0.0, other.y0 - self.y1, self.y0 - other.y1)
        return float((dx * dx + dy * dy) ** 0.5)
