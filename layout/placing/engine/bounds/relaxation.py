"""A linear relaxation that grows by the rows its own answer breaks; gives the rows and a bound."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor
from typing import TYPE_CHECKING, Any

from layout.placing.engine.bounds.area_rows import packings, together
from layout.placing.engine.bounds.clusters import Groups, cluster_cuts
from layout.placing.engine.bounds.growing_groups import Growth, chain_cuts
from layout.placing.engine.bounds.pairwise import pair_cuts
from layout.placing.engine.cores import sound_cores
from layout.placing.engine.problem import AbsTerm, AnyZeroTerm, StepBox
from layout.placing.engine.rows import turn_bounds
from layout.placing.engine.slabs import around

if TYPE_CHECKING:
    from collections.abc import Callable

    from layout.placing.engine.bounds.cut import BoundRow
    from layout.placing.engine.problem import Linear, Problem
    from layout.placing.engine.stage_result import Positions

FEW_ITEMS = 14
"""Up to so many items, groups of all sizes do better; above, groups that grow where the bound misses most."""

CUT_ROUNDS = 20
"""How often the relaxation is solved and rows are added."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """Rows for the exact model, the bound that they give, and the one without them."""

    cuts: tuple[BoundRow, ...] = ()
    value: int = 0
    plain: int = 0


def ranges(problem: Problem) -> list[StepBox] | None:
    """Return a box around every position of each item, or None when one has no position."""
    found = []
    for item in problem.items:
        if item.pin is not None:
            found.append(StepBox(item.pin.x, item.pin.y, item.pin.x, item.pin.y))
            continue
        boxes = [box for turn in item.turns if (box := turn_bounds(turn)) is not None]
        if not boxes:
            return None
        found.append(around(boxes))
    return found


def bound(
    problem: Problem,
    best: Positions | None = None,
    *,
    growth: Growth | None = None,
    go_on: Callable[[], bool] = lambda: True,
) -> Bound:
    """Return rows that hold in every valid arrangement and a lower bound of the value.

    The linear programs are solved in floating point; the bound is taken one part in a million and one
    unit lower for that. The rows are whole and exact.

    Parameters
    ----------
    best
        A valid arrangement; with it, groups of items are solved on their own. None leaves that out.
    growth
        How much work may go into those groups.
    go_on
        Asked between two of them.
    """
    within = ranges(problem)
    if within is None or not problem.terms:
        return Bound()
    cores = sound_cores(problem)
    program = Program(problem, within)
    plain = program.solve()
    kept = pair_cuts(problem, cores, within)
    for cut in kept:
        program.add(cut)
    value = program.solve()
    panels = packings(problem, cores)
    for _ in range(CUT_ROUNDS if panels and value is not None else 0):
        at = program.positions()
        fresh = [cut for panel in panels for cut in panel.cuts(at) if cut not in kept]
        if not fresh:
            break
        for cut in fresh:
            program.add(cut)
        kept += fresh
        value = program.solve()
        if value is None:
            break
    if best is not None and value is not None:
        growth = growth or Growth()
        few = len(problem.items) <= FEW_ITEMS
        groups = Groups(total=growth.total / 2) if few else Groups(sizes=(3,), total=growth.total / 8)
        small = cluster_cuts(problem, kept, groups, go_on=go_on)
        for cut in small:
            program.add(cut)
        program.solve()
        kept += small
        if not few:
            panels_items = [group for _, group in together(problem, cores)]
            kept += chain_cuts(problem, program, best, panels_items, growth, known=kept, go_on=go_on)
        value = program.solve()
    return Bound(cuts=tuple(kept), value=_safe(value), plain=_safe(plain))


def _safe(value: float | None) -> int:
    return 0 if value is None else max(0, floor(value * (1 - 1e-6)) - 1)


class Program:
    """The problem as a linear program: positions anywhere in their ranges, wishes, hard linear rules."""

    def __init__(self, problem: Problem, within: list[StepBox]) -> None:
        from ortools.linear_solver import pywraplp  # noqa: PLC0415 - slow to import

        self._solver: Any = pywraplp.Solver.CreateSolver("GLOP")
        self._within = within
        self._at = [
            (self._solver.NumVar(box.x0, box.x1, ""), self._solver.NumVar(box.y0, box.y1, "")) for box in within
        ]
        self._costs: list[Any] = []
        self._optional = [item.absent_cost is not None for item in problem.items]
        infinity = self._solver.infinity()
        for term in problem.terms:
            cost = self._solver.NumVar(0, infinity, "")
            self._costs.append(cost)
            self._solver.Objective().SetCoefficient(cost, 1)
            if isinstance(term, AnyZeroTerm) or self._may_miss(term.expr):
                continue
            self._row(term.expr, sign=1, cost=cost, weight=term.weight, slack=_slack(term))
            if isinstance(term, AbsTerm):
                self._row(term.expr, sign=-1, cost=cost, weight=term.weight, slack=term.slack)
        for rule in problem.rules:
            if not self._may_miss(rule.expr):
                self._row(rule.expr, sign=1, cost=None, weight=1, slack=0)
        self._solver.Objective().SetMinimization()

    def _may_miss(self, expr: Linear) -> bool:
        return any(self._optional[item] for item in expr.items())

    def _row(self, expr: Linear, *, sign: int, cost: Any, weight: int, slack: int) -> None:
        """Add ``cost >= weight * (sign * expr - slack)``, turn constants at their least; cost None stands for 0."""
        const = sign * expr.const + sum(min(sign * c for c in constants) for _, constants in expr.by_turn)
        row = self._solver.Constraint(weight * (const - slack), self._solver.infinity())
        if cost is not None:
            row.SetCoefficient(cost, 1)
        for item, axis, coef in _merged(expr.terms):
            row.SetCoefficient(self._at[item][axis], -weight * sign * coef)

    def add(self, cut: BoundRow) -> None:
        """Add a row; turn constants at their greatest, which is never too strict."""
        low = cut.low - sum(max(constants) for _, constants in cut.by_turn)
        scale = max((abs(coef) for _, _, coef in cut.terms), default=1)
        row = self._solver.Constraint(low / scale, self._solver.infinity())
        for item, axis, coef in _merged(cut.terms):
            row.SetCoefficient(self._at[item][axis], coef / scale)
        for term, coef in cut.costs:
            row.SetCoefficient(self._costs[term], coef / scale)

    def solve(self) -> float | None:
        """Return the least value, or None when the program does not say."""
        status = self._solver.Solve()
        return float(self._solver.Objective().Value()) if status == self._solver.OPTIMAL else None

    def costs(self) -> list[float]:
        """Return the cost of each wish in the last answer."""
        return [float(cost.solution_value()) for cost in self._costs]

    def positions(self) -> list[tuple[float, float]]:
        """Return the positions of the last answer."""
        return [(x.solution_value(), y.solution_value()) for x, y in self._at]


def _slack(term: Any) -> int:
    return term.slack if isinstance(term, AbsTerm) else 0


def _merged(terms: tuple[tuple[int, int, int], ...]) -> list[tuple[int, int, int]]:
    sums: dict[tuple[int, int], int] = {}
    for item, axis, coef in terms:
        sums[item, axis] = sums.get((item, axis), 0) + coef
    return [(item, axis, coef) for (item, axis), coef in sums.items()]
