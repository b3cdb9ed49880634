"""Least cost of two items together: they cannot both be where each alone would be cheapest.

For a pair, all wishes that look at no other item are minimised over each of the four sides on which one
can lie of the other. Along x and along y the cost is convex and straight in pieces, so its least value
is at a corner of the pieces, and trying those is exact.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING

from layout.placing.engine.bounds.cut import Cut
from layout.placing.engine.boxes import box_region
from layout.placing.engine.problem import AbsTerm, AnyZeroTerm, HingeTerm

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.placing.engine.cores import Cores
    from layout.placing.engine.problem import Box, Problem

Piece = tuple[int, int, int, int]
"""``weight * max(0, p * x_i + q * x_j + c)`` as ``(weight, p, q, c)``, along one axis."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Axis:
    """The wishes of a pair along one axis, and the ranges of the two positions."""

    pieces: tuple[Piece, ...]
    first: tuple[int, int]
    second: tuple[int, int]

    def least(self, side: tuple[int, int] | None) -> int:
        """Return the least cost; ``side`` (sign, c) asks for ``sign * (x_j - x_i) >= c``. At least ``FAR`` if none."""
        lines = [(1, 0, -v) for v in self.first] + [(0, 1, -v) for v in self.second]
        lines += [(p, q, c) for _, p, q, c in self.pieces]
        if side is not None:
            lines.append((-side[0], side[0], -side[1]))
        best = _NONE
        for a, b in _crossings(sorted(set(lines))):
            x, y, d = a[0], a[1], b
            if not (self.first[0] * d <= x <= self.first[1] * d and self.second[0] * d <= y <= self.second[1] * d):
                continue
            if side is not None and side[0] * (y - x) < side[1] * d:
                continue
            total = sum(w * max(0, p * x + q * y + c * d) for w, p, q, c in self.pieces)
            best = min(best, -(-total // d))
        return best


_NONE = 1 << 60


def _crossings(lines: Sequence[tuple[int, int, int]]) -> list[tuple[tuple[int, int], int]]:
    found = []
    for at, (a, b, c) in enumerate(lines):
        for e, f, g in lines[at + 1 :]:
            d = a * f - b * e
            if d:
                x, y = b * g - c * f, c * e - a * g
                found.append(((x, y), d) if d > 0 else ((-x, -y), -d))
    return found


def pair_cuts(problem: Problem, cores: Sequence[Cores], ranges: Sequence[Box]) -> list[Cut]:
    """Return a row for each pair whose wishes cost more together than each alone.

    Items that may be left out, or that have no core, are passed over; so are wishes with turn constants
    for items of more than one turn, which count as 0.
    """
    alone, together = _sorted_terms(problem)
    usable = [k for k, item in enumerate(problem.items) if cores[k] is not None and item.absent_cost is None]
    found = []
    for at, i in enumerate(usable):
        for j in usable[at + 1 :]:
            terms = [*alone[i], *alone[j], *together.get((i, j), ())]
            if not terms:
                continue
            low = _least(problem, i, j, terms=terms, cores=cores, ranges=ranges)
            if low > 0:
                found.append(Cut(costs=tuple((t, 1) for t in sorted(terms)), low=low))
    return found


def _sorted_terms(problem: Problem) -> tuple[list[list[int]], dict[tuple[int, int], list[int]]]:
    alone: list[list[int]] = [[] for _ in problem.items]
    together: dict[tuple[int, int], list[int]] = {}
    for t, term in enumerate(problem.terms):
        if isinstance(term, AnyZeroTerm) or not term.weight or _axis(term) is None or not _plain(problem, term):
            continue
        items = term.expr.items()
        if len(items) == 1:
            alone[items[0]].append(t)
        elif len(items) == 2:
            together.setdefault((items[0], items[1]), []).append(t)
    return alone, together


def _axis(term: AbsTerm | HingeTerm) -> int | None:
    axes = {axis for _, axis, _ in term.expr.terms}
    return axes.pop() if len(axes) == 1 else None


def _plain(problem: Problem, term: AbsTerm | HingeTerm) -> bool:
    return all(len(set(constants)) == 1 for _, constants in term.expr.by_turn) and bool(problem.items)


def _pieces(term: AbsTerm | HingeTerm, i: int, j: int) -> list[Piece]:
    p = sum(coef for item, _, coef in term.expr.terms if item == i)
    q = sum(coef for item, _, coef in term.expr.terms if item == j)
    c = term.expr.const + sum(constants[0] for _, constants in term.expr.by_turn)
    if isinstance(term, HingeTerm):
        return [(term.weight, p, q, c)]
    return [(term.weight, p, q, c - term.slack), (term.weight, -p, -q, -c - term.slack)]


def _least(problem: Problem, i: int, j: int, *, terms: list[int], cores: Sequence[Cores], ranges: Sequence[Box]) -> int:
    pieces: tuple[list[Piece], list[Piece]] = ([], [])
    for t in terms:
        term = problem.terms[t]
        if not isinstance(term, AnyZeroTerm):
            pieces[_axis(term) or 0].extend(_pieces(term, i, j))
    one, two = ranges[i], ranges[j]
    along_x = _Axis(pieces=tuple(pieces[0]), first=(one.x0, one.x1), second=(two.x0, two.x1))
    along_y = _Axis(pieces=tuple(pieces[1]), first=(one.y0, one.y1), second=(two.y0, two.y1))
    free_x, free_y = along_x.least(None), along_y.least(None)
    best = _NONE
    for first, second in product(cores[i] or (), cores[j] or ()):
        (_, _, right), (_, _, left), (_, _, above), (_, _, below) = box_region(first, second).rows
        best = min(
            best,
            along_x.least((1, right)) + free_y,
            along_x.least((-1, left)) + free_y,
            along_y.least((1, above)) + free_x,
            along_y.least((-1, below)) + free_x,
        )
        if best <= free_x + free_y:
            return 0
    return best if best < _NONE else 0
