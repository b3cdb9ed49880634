"""An area with holes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from layout.geometry.box import Box, Point
    from layout.geometry.path import Path


@dataclass(frozen=True, slots=True)
class Region:
    """The area inside ``outer`` less that inside each of ``holes``.

    Attributes
    ----------
    outer
        Closed path, counter-clockwise.
    holes
        Closed paths inside the outer one, counter-clockwise too.

    Raises
    ------
    ValueError
        When a path is open or encloses nothing. A clockwise path is turned round.
    """

    outer: Path
    holes: tuple[Path, ...] = ()

    def __post_init__(self) -> None:
        for path in (self.outer, *self.holes):
            if path.area() == 0:
                raise ValueError(f"a region is bounded by paths that enclose something, got {path}")
        object.__setattr__(self, "outer", self.outer.counter_clockwise())
        object.__setattr__(self, "holes", tuple(hole.counter_clockwise() for hole in self.holes))

    def area(self) -> float:
        """Return the area in mm2, holes taken off."""
        return self.outer.area() - sum(hole.area() for hole in self.holes)

    def bounds(self) -> Box:
        """Return the smallest upright box that holds the region."""
        return self.outer.bounds()

    def moved(self, dx: float, dy: float) -> Region:
        """Return the region shifted by (dx, dy) mm."""
        return Region(self.outer.moved(dx, dy), tuple(hole.moved(dx, dy) for hole in self.holes))

    def turned(self, degrees: float, about: Point = (0.0, 0.0)) -> Region:
        """Return the region turned counter-clockwise about ``about``."""
        return Region(self.outer.turned(degrees, about), tuple(hole.turned(degrees, about) for hole in self.holes))

    def mirrored_x(self, x: float = 0.0) -> Region:
        """Return the mirror image across the upright line at ``x``."""
        return Region(self.outer.mirrored_x(x), tuple(hole.mirrored_x(x) for hole in self.holes))
