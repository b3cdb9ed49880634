"""Forbidden offsets between every two things that stand on a panel."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass, field
from layout.placing.engine.problem import ForbiddenRegion
from layout.placing.translation.pieces import Piece, Rounding, apart_rows, covered

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from layout.placing.engine.problem import HalfPlane
    from layout.placing.translation.pair_limits import PairLimits
    from layout.placing.translation.turned_shapes import SolidPiece, TurnedShapes
    from layout.placing.translation.turns import Option

PiecePair = tuple[Piece, Piece, float, str]
"""Piece of the first, piece of the second, gap in mm, and the rule."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StandPairs:
    """The pair rule of a project: each layer's own shapes and distances.

    Attributes
    ----------
    options
        ``options[item][turn]``.
    limits
        Distances of a pair ``(i, j)`` with i < j; a pair that is missing has no rule between it.
    side
        To which side the rows are rounded.
    cuts
        Further regions of a pair at two turns, ``(i, turn_i, j, turn_j)``: what the judge refused.
    """

    options: tuple[tuple[Option, ...], ...]
    limits: Mapping[tuple[int, int], PairLimits]
    side: Rounding
    cuts: Mapping[tuple[int, int, int, int], tuple[ForbiddenRegion, ...]] = field(default_factory=dict)
    _known: dict[tuple[int, int, int, int], tuple[ForbiddenRegion, ...]] = field(
        default_factory=dict, repr=False, compare=False
    )

    def between(self, i: int, turn_i: int, j: int, turn_j: int) -> tuple[ForbiddenRegion, ...]:
        """Return the regions that ``position_j - position_i`` may not be strictly inside; i < j always."""
        key = (i, turn_i, j, turn_j)
        if key not in self._known:
            limits = self.limits.get((i, j))
            found: tuple[ForbiddenRegion, ...] = ()
            one, other = self.options[i][turn_i], self.options[j][turn_j]
            if limits is not None and one.frame is other.frame:
                found = _regions_between(one.stand, other.stand, limits, self.side)
            self._known[key] = (*found, *self.cuts.get(key, ()))
        return self._known[key]


@lru_cache(maxsize=8192)
def _regions_between(
    first: TurnedShapes, second: TurnedShapes, limits: PairLimits, side: Rounding
) -> tuple[ForbiddenRegion, ...]:
    return _regions(clashes(first, second, limits), side)


def clashes(first: TurnedShapes, second: TurnedShapes, limits: PairLimits) -> Iterator[PiecePair]:
    """Yield every two pieces of two things that must stay apart, faces first."""
    yield from _each(first.face, second.face, limits.gap, "faces-apart")
    yield from _each(first.cutouts, second.cutouts, limits.web, "cut-outs-apart")
    for one in first.bodies:
        for other in second.bodies:
            if one.meets(other):
                yield one.piece, other.piece, max(limits.rear, limits.any_depth or 0.0), "bodies-apart"
            if limits.any_depth is not None:
                yield one.piece, other.piece, limits.any_depth, "ac-dc-apart"
    if limits.space is not None:
        yield from _each(first.everything, second.everything, limits.space, "apart-in-space")
    yield from _each(first.fixings, second.fixings, limits.holes, "holes-apart")
    yield from _each(first.fixings, second.cutouts, limits.holes, "fixing-in-solid")
    yield from _each(first.cutouts, second.fixings, limits.holes, "fixing-in-solid")
    yield from _each(first.clear_front, second.face, 0.0, "keep-clear")
    yield from _each(first.face, second.clear_front, 0.0, "keep-clear")
    yield from _each(first.clear_sheet, second.cutouts, 0.0, "keep-clear")
    yield from _each(first.cutouts, second.clear_sheet, 0.0, "keep-clear")
    yield from _deep(first.clear_rear, second.bare)
    yield from _deep(first.bare, second.clear_rear)


def _each(first: Iterable[Piece], second: tuple[Piece, ...], gap_mm: float, rule: str) -> Iterator[PiecePair]:
    for one in first:
        for other in second:
            yield one, other, gap_mm, rule


def _deep(first: Iterable[SolidPiece], second: tuple[SolidPiece, ...]) -> Iterator[PiecePair]:
    for one in first:
        for other in second:
            if one.meets(other):
                yield one.piece, other.piece, 0.0, "keep-clear"


def _regions(found: Iterable[PiecePair], side: Rounding) -> tuple[ForbiddenRegion, ...]:
    """Return the regions of some clashes, without those that another covers."""
    kept: list[tuple[tuple[HalfPlane, ...], PiecePair]] = []
    for clash in found:
        first, second, gap_mm, _ = clash
        if any(covered(rows, first, second, gap_mm) for rows, _ in kept):
            continue
        rows = apart_rows(first, second, gap_mm, side)
        if rows:
            kept = [(old, other) for old, other in kept if not covered(rows, other[0], other[1], other[2])]
            kept.append((rows, clash))
    return tuple(ForbiddenRegion(rows, clash[3]) for rows, clash in kept)
