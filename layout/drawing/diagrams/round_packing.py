"""Round cables lying in a round or square hole, for the section drawing of a filled wireway.

Thickest first, each cable goes to the lowest place where it rests on two neighbours or walls. It is a picture of one
way they can lie, not a proof that more would not fit.

Frame: origin at the centre of the hole; x right, y up, mm.
"""

from __future__ import annotations

from itertools import combinations
from math import hypot, sqrt
from typing import TYPE_CHECKING, Protocol

from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from layout.geometry.path import Point

_TOUCH_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Lying:
    """One cable in its place; ``index`` counts in the order given."""

    index: int
    at: Point
    diameter_mm: float


class _Hole(Protocol):
    """The inside of a wireway."""

    def rests(self, radius_mm: float) -> Iterator[Point]:
        """Yield places where a circle rests on walls alone."""

    def along_wall(self, other: Lying, radius_mm: float) -> Iterator[Point]:
        """Yield places where a circle touches a wall and another circle."""

    def holds(self, at: Point, radius_mm: float) -> bool:
        """Tell whether a circle lies wholly inside."""


@dataclass(frozen=True, slots=True)
class Round:
    """A conduit's bore."""

    bore_mm: float

    def rests(self, radius_mm: float) -> Iterator[Point]:
        """Yield the lowest place."""
        if radius_mm <= self.bore_mm / 2 + _TOUCH_MM:
            yield (0.0, radius_mm - self.bore_mm / 2)

    def along_wall(self, other: Lying, radius_mm: float) -> Iterator[Point]:
        """Yield the two places beside another circle along the wall."""
        inner = self.bore_mm / 2 - radius_mm
        yield from _meet((0.0, 0.0), inner, other.at, other.diameter_mm / 2 + radius_mm)

    def holds(self, at: Point, radius_mm: float) -> bool:
        """Tell whether a circle lies wholly inside."""
        return hypot(*at) + radius_mm <= self.bore_mm / 2 + _TOUCH_MM


@dataclass(frozen=True, slots=True)
class Square:
    """A trunk's inside, or one compartment of it, from ``x0`` to ``x1`` and from ``y0`` up to ``y1``."""

    x0: float
    y0: float
    x1: float
    y1: float

    def rests(self, radius_mm: float) -> Iterator[Point]:
        """Yield the lower corners."""
        yield (self.x0 + radius_mm, self.y0 + radius_mm)
        yield (self.x1 - radius_mm, self.y0 + radius_mm)

    def along_wall(self, other: Lying, radius_mm: float) -> Iterator[Point]:
        """Yield the places beside another circle on the floor and at both sides."""
        reach = other.diameter_mm / 2 + radius_mm
        x, y = other.at
        floor = self.y0 + radius_mm
        if abs(floor - y) <= reach:
            across = sqrt(reach**2 - (floor - y) ** 2)
            yield (x - across, floor)
            yield (x + across, floor)
        for side in (self.x0 + radius_mm, self.x1 - radius_mm):
            if abs(side - x) <= reach:
                up = sqrt(reach**2 - (side - x) ** 2)
                yield (side, y + up)

    def holds(self, at: Point, radius_mm: float) -> bool:
        """Tell whether a circle lies wholly inside."""
        x, y = at
        return (
            self.x0 - _TOUCH_MM <= x - radius_mm
            and x + radius_mm <= self.x1 + _TOUCH_MM
            and self.y0 - _TOUCH_MM <= y - radius_mm
            and y + radius_mm <= self.y1 + _TOUCH_MM
        )


def pack(hole: _Hole, diameters_mm: Sequence[float]) -> tuple[tuple[Lying, ...], tuple[int, ...]]:
    """Lay cables into a hole.

    Parameters
    ----------
    diameters_mm
        Each above 0, in any order.

    Returns
    -------
    Cables in their places, thickest first, and the indices of those that found none.
    """
    lying: list[Lying] = []
    homeless: list[int] = []
    waiting = sorted(range(len(diameters_mm)), key=lambda index: (-diameters_mm[index], index))
    radius, places = 0.0, list[tuple[float, float, float]]()
    for index in waiting:
        if abs(diameters_mm[index] / 2 - radius) > 1e-9:
            radius = diameters_mm[index] / 2
            places = [key for at in _every(hole, lying, radius) if (key := _free(hole, lying, at, radius))]
        if not places:
            homeless.append(index)
            continue
        best = min(places)
        new = Lying(index, (best[2], best[0]), 2 * radius)
        before = tuple(lying)
        lying.append(new)
        places = [key for key in places if not _overlap((key[2], key[0]), radius, new)]
        places += [key for at in _beside(hole, before, new, radius) if (key := _free(hole, lying, at, radius))]
    return tuple(lying), tuple(sorted(homeless))


def bundle_mm(diameters_mm: Sequence[float]) -> float:
    """Return the diameter of a round bundle that holds all cables, to the next millimetre, as they are laid here."""
    wide = max(diameters_mm)
    size = float(int(max(wide, sqrt(sum(d * d for d in diameters_mm)))))
    while pack(Round(size), diameters_mm)[1]:
        size += 1.0
    return size


def _every(hole: _Hole, lying: Sequence[Lying], radius_mm: float) -> Iterator[Point]:
    yield from hole.rests(radius_mm)
    for other in lying:
        yield from hole.along_wall(other, radius_mm)
    for first, second in combinations(lying, 2):
        yield from _between(first, second, radius_mm)


def _beside(hole: _Hole, lying: Sequence[Lying], new: Lying, radius_mm: float) -> Iterator[Point]:
    yield from hole.along_wall(new, radius_mm)
    for other in lying:
        yield from _between(other, new, radius_mm)


def _between(first: Lying, second: Lying, radius_mm: float) -> Iterator[Point]:
    """Yield the two places where a circle touches two others."""
    yield from _meet(first.at, first.diameter_mm / 2 + radius_mm, second.at, second.diameter_mm / 2 + radius_mm)


def _free(hole: _Hole, lying: Sequence[Lying], at: Point, radius_mm: float) -> tuple[float, float, float] | None:
    """Return the key a place is chosen by (height, distance from the middle, x), None where it is not free."""
    if not hole.holds(at, radius_mm) or any(_overlap(at, radius_mm, other) for other in lying):
        return None
    x, y = round(at[0], 9), round(at[1], 9)
    return (y, abs(x), x)


def _overlap(at: Point, radius_mm: float, other: Lying) -> bool:
    reach = radius_mm + other.diameter_mm / 2 - _TOUCH_MM
    return (at[0] - other.at[0]) ** 2 + (at[1] - other.at[1]) ** 2 < reach * reach


def _meet(first: Point, first_mm: float, second: Point, second_mm: float) -> Iterator[Point]:
    """Yield where two circles (centres and radii) cross."""
    dx, dy = second[0] - first[0], second[1] - first[1]
    apart = hypot(dx, dy)
    if not (1e-9 < apart <= first_mm + second_mm and apart >= abs(first_mm - second_mm)) or first_mm < 0:
        return
    along = (first_mm**2 - second_mm**2 + apart**2) / (2 * apart)
    off = sqrt(max(first_mm**2 - along**2, 0.0))
    ux, uy = dx / apart, dy / apart
    for side in (1.0, -1.0):
        yield (first[0] + along * ux - side * off * uy, first[1] + along * uy + side * off * ux)
