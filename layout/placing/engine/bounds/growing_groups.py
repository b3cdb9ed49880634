"""Bounds from groups that grow by what the bound does not explain yet.

Take the best arrangement known and the linear relaxation: where their costs differ most, the
relaxation misses most. A group starts with the two items of the largest difference and takes in one item
after another, each panel on its own; every group is solved exactly and its row added, which makes the
next one quicker and moves the differences. Two searches work on a group beside each other.
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING, Any

from layout.light_dataclass import dataclass
from layout.placing.engine import recount
from layout.placing.engine.bounds.cut import BoundRow, rows_inside
from layout.placing.engine.subset import Subset, items_of, restricted

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from layout.placing.engine.bounds.program import Program
    from layout.placing.engine.problem import Problem
    from layout.placing.engine.stage_result import Positions

VAIN = 3
"""A panel's group stops growing after so many that could not be solved to the end."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Growth:
    """How much work may go into one group, and into all: deterministic time of the two searches together."""

    work: float = 0.4
    total: float = 3.0


def chain_cuts(
    problem: Problem,
    program: Program,
    best: Positions,
    panels: Sequence[Sequence[int]],
    growth: Growth,
    *,
    known: Sequence[BoundRow],
    go_on: Callable[[], bool],
) -> tuple[list[BoundRow], float]:
    """Add a row for each group to the program; return the rows and the deterministic time spent.

    Parameters
    ----------
    program
        The relaxation with the rows that are ``known``; it is added to.
    best
        A valid arrangement, near the optimum if possible.
    panels
        Items that can meet, apart; items that may be left out are not among them.
    go_on
        Asked before each group.
    """
    costs = [cost for _, cost in recount.costs(problem, best)]
    found: list[BoundRow] = []
    spent = 0.0

    def missed() -> dict[int, float]:
        shown = program.costs()
        total = {k: 0.0 for panel in panels for k in panel}
        for t, term in enumerate(problem.terms):
            items = items_of(term)
            for k in items:
                if k in total:
                    total[k] += (costs[t] - shown[t]) / len(items)
        return total

    first = missed()
    for panel in sorted(panels, key=lambda panel: (-sum(first[k] for k in panel), panel)):
        pinned = [k for k in panel if problem.items[k].pin is not None]
        free = [k for k in panel if problem.items[k].pin is None]
        group: list[int] = []
        vain = 0
        while len(group) < len(free) and vain < VAIN and spent < growth.total and go_on():
            weight = missed()
            wanted = sorted((k for k in free if k not in group), key=lambda k: (-weight[k], k))
            group += wanted[: 1 if group else 2]
            part = restricted(problem, [*group, *pinned])
            low, solved, work = _least(part, rows_inside([*known, *found], part.terms), growth.work)
            spent += work
            vain += not solved
            cut = BoundRow(costs=tuple((t, 1) for t in part.terms), low=low)
            if low > 0:
                found.append(cut)
                program.add(cut)
                program.solve()
    return found, spent


def _least(part: Subset, rows: Sequence[BoundRow], work: float) -> tuple[int, bool, float]:
    """Return a lower bound of a group's cost, whether it is the exact least, and the work spent."""
    from layout.placing.engine.cpsat.hard_part import exact_model
    from layout.placing.engine.cpsat.objective import objective
    from layout.placing.engine.cpsat.solver import CpsatAnswer, run_cpsat
    from layout.placing.engine.cpsat.strengthen import add_cuts, add_side_costs

    if not part.terms:
        return 0, True, 0.0

    def search(lifting: bool) -> CpsatAnswer:
        model = exact_model(part.problem)
        _, costs = objective(model)
        add_side_costs(model, costs)
        add_cuts(model, costs, rows)

        def tune(parameters: Any) -> None:
            parameters.optimize_with_lb_tree_search = lifting

        return run_cpsat(model, work=work, workers=1, tune=tune)

    with ThreadPoolExecutor(2) as pool:
        answers = list(pool.map(search, (False, True)))
    lows = [0 if answer.infeasible else int(answer.bound + 1e-6) for answer in answers]
    return max(lows), any(answer.proven for answer in answers), sum(answer.work for answer in answers)
