"""The problem as a linear program: positions anywhere in their ranges, wishes, hard linear rules, and rows added."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from layout.placing.engine.look_terms import LinesTerm
from layout.placing.engine.problem import AbsTerm, HingeTerm

if TYPE_CHECKING:
    from layout.placing.engine.bounds.cut import BoundRow
    from layout.placing.engine.problem import Linear, Problem, StepBox, Term


class Program:
    """The problem as a linear program: positions anywhere in their ranges, wishes, hard linear rules."""

    def __init__(self, problem: Problem, within: list[StepBox]) -> None:
        from ortools.linear_solver import pywraplp

        self._solver: Any = pywraplp.Solver.CreateSolver("GLOP")
        self._within = within
        self._at = [
            (self._solver.NumVar(box.x0, box.x1, ""), self._solver.NumVar(box.y0, box.y1, "")) for box in within
        ]
        self._costs: list[Any] = []
        self._optional = [item.absent_cost is not None for item in problem.items]
        infinity = self._solver.infinity()
        for term in problem.terms:
            cost = self._solver.NumVar(self._least(term), infinity, "")
            self._costs.append(cost)
            self._solver.Objective().SetCoefficient(cost, 1)
            if not isinstance(term, AbsTerm | HingeTerm) or self._may_miss(term.expr):
                continue
            self._row(term.expr, sign=1, cost=cost, weight=term.weight, slack=_slack(term))
            if isinstance(term, AbsTerm):
                self._row(term.expr, sign=-1, cost=cost, weight=term.weight, slack=term.slack)
        for rule in problem.rules:
            if not self._may_miss(rule.expr):
                self._row(rule.expr, sign=1, cost=None, weight=1, slack=0)
        self._solver.Objective().SetMinimization()

    def _least(self, term: Term) -> int:
        if not isinstance(term, LinesTerm) or any(self._optional[item] for item in term.items()):
            return 0
        return term.least

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
