"""Least cost of two items together: they cannot both be where each alone would be cheapest.

For a pair, all wishes that look at no other item are minimised over each of the sides on which one can
lie of the other. Along x and along y the cost is convex and straight in pieces, so its least value is
at a corner of the pieces, and trying those is exact.
"""

from __future__ import annotations

from itertools import product
from typing import TYPE_CHECKING

from layout.placing.engine.bounds.cut import BoundRow
from layout.placing.engine.boxes import box_region
from layout.placing.engine.problem import AbsTerm, HingeTerm
from layout.placing.engine.rows import split

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from layout.placing.engine.cores import Cores
    from layout.placing.engine.problem import ForbiddenRegion, HalfPlane, Problem, StepBox

CostPiece = tuple[int, int, int, int]
"""``weight * max(0, p * x_i + q * x_j + c)`` as ``(weight, p, q, c)``, along one axis."""

NEVER = 1 << 60
"""Cost of what is not possible."""


class PairCosts:
    """The wishes of each pair of a problem, and what they cost at least.

    Wishes over more than two items or both axes, and those whose turn constants differ, count as 0.
    """

    def __init__(self, problem: Problem, ranges: Sequence[StepBox]) -> None:
        self._problem, self._ranges = problem, ranges
        self._alone: list[list[int]] = [[] for _ in problem.items]
        self._together: dict[tuple[int, int], list[int]] = {}
        self._known: dict[tuple[object, ...], int] = {}
        for t, term in enumerate(problem.terms):
            if not isinstance(term, AbsTerm | HingeTerm) or not term.weight or not _is_plain(term):
                continue
            items = term.expr.items()
            if len(items) == 1:
                self._alone[items[0]].append(t)
            elif len(items) == 2:
                self._together.setdefault((items[0], items[1]), []).append(t)

    def terms(self, i: int, j: int) -> tuple[int, ...]:
        """Return the wishes that look at no item but these two, i < j."""
        return tuple(sorted([*self._alone[i], *self._alone[j], *self._together.get((i, j), ())]))

    def groups(self, i: int, j: int) -> list[tuple[int, ...]]:
        """Return sets of wishes worth a row each: all of the pair, and each that looks at both."""
        both: list[tuple[int, ...]] = [(t,) for t in self._together.get((i, j), ())]
        every = self.terms(i, j)
        return [every, *both] if every and [every] != both else both

    def free(self, i: int, j: int, group: tuple[int, ...]) -> int:
        """Return what wishes of a pair cost at least, wherever the two stand."""
        return sum(self._least(i, j, axis, None, group) for axis in (0, 1))

    def beside(self, i: int, j: int, row: HalfPlane, group: tuple[int, ...]) -> int:
        """Return what wishes of a pair cost at least when ``a*dx + b*dy >= c``; slanted rows say nothing."""
        a, b, c = row
        if a and b:
            return self.free(i, j, group)
        factor, axis = (a, 0) if a else (b, 1)
        side = (1 if factor > 0 else -1, -(-c // abs(factor)))
        return self._least(i, j, axis, side, group) + self._least(i, j, 1 - axis, None, group)

    def _least(self, i: int, j: int, axis: int, side: tuple[int, int] | None, group: tuple[int, ...]) -> int:
        key = (i, j, axis, side, group)
        if key not in self._known:
            pieces: list[CostPiece] = []
            for t in group:
                term = self._problem.terms[t]
                if isinstance(term, AbsTerm | HingeTerm) and term.expr.terms[0][1] == axis:
                    pieces.extend(_pieces(term, i, j))
            one, two = self._ranges[i], self._ranges[j]
            first, second = ((one.x0, one.x1), (two.x0, two.x1)) if axis == 0 else ((one.y0, one.y1), (two.y0, two.y1))
            self._known[key] = least(pieces, first, second, side)
        return self._known[key]


def least(
    pieces: Sequence[CostPiece], first: tuple[int, int], second: tuple[int, int], side: tuple[int, int] | None
) -> int:
    """Return the least cost of pieces along one axis.

    Parameters
    ----------
    first, second
        Least and greatest position of each of the two.
    side
        ``(sign, c)`` asks for ``sign * (x_j - x_i) >= c``; the cost is ``NEVER`` if that cannot be.
    """
    lines = [(1, 0, -v) for v in first] + [(0, 1, -v) for v in second]
    lines += [(p, q, c) for _, p, q, c in pieces]
    if side is not None:
        lines.append((-side[0], side[0], -side[1]))
    best = NEVER
    for x, y, d in _crossings(sorted(set(lines))):
        if not (first[0] * d <= x <= first[1] * d and second[0] * d <= y <= second[1] * d):
            continue
        if side is not None and side[0] * (y - x) < side[1] * d:
            continue
        total = sum(w * max(0, p * x + q * y + c * d) for w, p, q, c in pieces)
        best = min(best, -(-total // d))
    return best


def _crossings(lines: Sequence[tuple[int, int, int]]) -> Iterator[tuple[int, int, int]]:
    """Yield where two lines ``a*x + b*y + c == 0`` cross, as ``(x * d, y * d, d)`` with d > 0."""
    for at, (a, b, c) in enumerate(lines):
        for e, f, g in lines[at + 1 :]:
            d = a * f - b * e
            if d:
                x, y = b * g - c * f, c * e - a * g
                yield (x, y, d) if d > 0 else (-x, -y, -d)


def _is_plain(term: AbsTerm | HingeTerm) -> bool:
    one_axis = len({axis for _, axis, _ in term.expr.terms}) == 1
    return one_axis and all(len(set(constants)) == 1 for _, constants in term.expr.by_turn)


def _pieces(term: AbsTerm | HingeTerm, i: int, j: int) -> list[CostPiece]:
    p = sum(coef for item, _, coef in term.expr.terms if item == i)
    q = sum(coef for item, _, coef in term.expr.terms if item == j)
    c = term.expr.const + sum(constants[0] for _, constants in term.expr.by_turn)
    if isinstance(term, HingeTerm):
        return [(term.weight, p, q, c)]
    return [(term.weight, p, q, c - term.slack), (term.weight, -p, -q, -c - term.slack)]


def pair_cuts(problem: Problem, cores: Sequence[Cores], ranges: Sequence[StepBox]) -> list[BoundRow]:
    """Return a row for each pair whose wishes cost more together than each alone.

    Of a pair's regions, those that are upright boxes are looked at, and the cores. Items that may be left
    out are passed over.
    """
    costs = PairCosts(problem, ranges)
    usable = [k for k, item in enumerate(problem.items) if item.absent_cost is None]
    found = []
    for at, i in enumerate(usable):
        for j in usable[at + 1 :]:
            terms = costs.terms(i, j)
            if not terms:
                continue
            free = costs.free(i, j, terms)
            low = min(
                max([free, *(_around(costs, i, j, region, terms) for region in regions)])
                for regions in _boxes(problem, i, j, cores)
            )
            if free < low < NEVER:
                found.append(BoundRow(costs=tuple((t, 1) for t in terms), low=low))
    return found


def _around(costs: PairCosts, i: int, j: int, region: ForbiddenRegion, group: tuple[int, ...]) -> int:
    return min(costs.beside(i, j, row, group) for row in region.rows)


def _boxes(problem: Problem, i: int, j: int, cores: Sequence[Cores]) -> Iterator[list[ForbiddenRegion]]:
    """Yield for each two turns the regions of a pair that are upright boxes, the cores' among them."""
    first, second = cores[i], cores[j]
    for ti, tj in product(range(len(problem.items[i].turns)), range(len(problem.items[j].turns))):
        regions = [region for region in problem.pairs.between(i, ti, j, tj) if not split(region.rows, strict=True)[1]]
        if first is not None and second is not None:
            regions.append(box_region(first[ti], second[tj]))
        yield regions
