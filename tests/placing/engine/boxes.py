"""Upright boxes as rooms and as a pair rule of one gap: what made-up problems are built of."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from layout.placing.engine.boxes import box_region
from layout.placing.engine.problem import AllowedRoom

if TYPE_CHECKING:
    from layout.placing.engine.problem import ForbiddenRegion, StepBox


def box_room(x0: int, y0: int, x1: int, y1: int, *, panel: int = 0) -> AllowedRoom:
    """Return the room of all positions from (x0, y0) to (x1, y1), both ends allowed."""
    return AllowedRoom(((1, 0, x1), (-1, 0, -x0), (0, 1, y1), (0, -1, -y0)), panel)


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxPairs:
    """The default pair rule: boxes apart by one gap, with other gaps or further regions for some pairs.

    Attributes
    ----------
    faces
        Extents of each item at each turn: ``faces[item][turn]``.
    gap
        Steps kept between any two.
    gaps
        Other gap for a pair ``(i, j)`` with i < j.
    extra
        Further regions for ``(i, turn_i, j, turn_j)`` with i < j.
    """

    faces: tuple[tuple[StepBox, ...], ...]
    gap: int = 0
    gaps: dict[tuple[int, int], int] = field(default_factory=dict)
    extra: dict[tuple[int, int, int, int], tuple[ForbiddenRegion, ...]] = field(default_factory=dict)
    rule: str = "gap"

    def between(self, i: int, turn_i: int, j: int, turn_j: int) -> tuple[ForbiddenRegion, ...]:
        """Return the box region of the pair, then its further regions."""
        gap = self.gaps.get((i, j), self.gap)
        region = box_region(self.faces[i][turn_i], self.faces[j][turn_j], gap=gap, rule=self.rule)
        return (region, *self.extra.get((i, turn_i, j, turn_j), ()))
