"""Chains of lines and true arcs, open or closed.

A closed path that runs counter-clockwise has a positive area and its inside on the left.
"""

from __future__ import annotations

from layout.geometry.box import Box, Point
from layout.geometry.segment import JOIN_MM, Arc, Line, Segment, distance_mm
from layout.light_dataclass import dataclass, field

__all__ = ["Arc", "Box", "Line", "Path", "Point", "Segment"]


@dataclass(frozen=True, slots=True)
class Path:
    """Pieces that follow each other end to start.

    Attributes
    ----------
    segments
        At least one; each starts where the one before ends (within ``JOIN_MM``).
    closed
        True when the last piece ends where the first starts.

    Raises
    ------
    ValueError
        When there is no piece, or two neighbours do not meet.
    """

    segments: tuple[Segment, ...]
    closed: bool
    _box: Box | None = field(default=None, init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        if not self.segments:
            raise ValueError("a path has at least one line or arc")
        befores = self.segments if self.closed else self.segments[:-1]
        afters = self.segments[1:] + self.segments[:1] if self.closed else self.segments[1:]
        for before, after in zip(befores, afters, strict=True):
            if not distance_mm(before.end, after.start) <= JOIN_MM:
                raise ValueError(f"a path's pieces meet, but {before.end} is not {after.start}")

    @property
    def start(self) -> Point:
        """Where the path starts."""
        return self.segments[0].start

    @property
    def end(self) -> Point:
        """Where the path ends; the start again when it is closed."""
        return self.start if self.closed else self.segments[-1].end

    def bounds(self) -> Box:
        """Return the smallest upright box that holds the path, arcs' bulges included."""
        if self._box is None:
            object.__setattr__(self, "_box", Box.around(segment.bounds() for segment in self.segments))
        box: Box = self._box  # type: ignore[assignment]  # set above
        return box

    def area(self) -> float:
        """Return the enclosed area in mm2 with true arcs, positive when counter-clockwise.

        Raises
        ------
        ValueError
            When the path is open.
        """
        if not self.closed:
            raise ValueError("an open path encloses no area")
        # Taken about the first corner, so that a shape far from the datum loses no digits.
        x, y = self.start
        return sum(segment.moved(-x, -y).swept_area() for segment in self.segments)

    def length(self) -> float:
        """Return the length along lines and arcs in mm."""
        return sum(segment.length() for segment in self.segments)

    def reversed(self) -> Path:
        """Return the same path travelled the other way."""
        return Path(tuple(segment.reversed() for segment in reversed(self.segments)), self.closed)

    def counter_clockwise(self) -> Path:
        """Return the closed path with its inside on the left."""
        return self if self.area() >= 0 else self.reversed()

    def moved(self, dx: float, dy: float) -> Path:
        """Return the path shifted by (dx, dy) mm."""
        return Path(tuple(segment.moved(dx, dy) for segment in self.segments), self.closed)

    def turned(self, degrees: float, about: Point = (0.0, 0.0)) -> Path:
        """Return the path turned counter-clockwise by ``degrees`` about ``about``; quarter turns are exact."""
        return Path(tuple(segment.turned(degrees, about) for segment in self.segments), self.closed)

    def mirrored_x(self, x: float = 0.0) -> Path:
        """Return the mirror image across the upright line at ``x``; its sense of travel changes."""
        return Path(tuple(segment.mirrored_x(x) for segment in self.segments), self.closed)

    def points(self, tolerance_mm: float) -> tuple[Point, ...]:
        """Return a chain of points on the path that leaves it by at most ``tolerance_mm``.

        The first point is not repeated at the end of a closed path.
        """
        chain = [point for segment in self.segments for point in segment.points(tolerance_mm)]
        if not self.closed:
            chain.append(self.segments[-1].end)
        return tuple(chain)
