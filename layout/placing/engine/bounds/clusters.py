"""Bounds from groups of items solved exactly on their own.

What a group costs at least, with the panel to itself, it costs at least among the others. The groups
grow from each item by what is most in conflict with it; small groups come first and their rows make the
larger ones quick. A linear program over all rows then gives the bound of the whole.
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.engine.bounds.cut import BoundRow, rows_inside
from layout.placing.engine.problem import AbsTerm, HingeTerm
from layout.placing.engine.subset import items_of, restricted

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from layout.placing.engine.problem import Problem
    from layout.placing.engine.subset import Subset


MOST_IN_CLUSTER = 12
"""Groups of one size at most."""

CLUSTER_THREADS = 2
"""Groups solved at a time. The outcome does not depend on it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Groups:
    """How many groups may be solved, and with how much work.

    ``sizes`` in the order they are tried; ``work`` is the deterministic time of one group, ``total`` of all.
    """

    sizes: tuple[int, ...] = (3, 5, 6, 8)
    work: float = 0.1
    total: float = 1.5


def cluster_cuts(
    problem: Problem,
    pairs: Sequence[BoundRow],
    groups: Groups,
    *,
    go_on: Callable[[], bool] = lambda: True,
) -> tuple[list[BoundRow], float]:
    """Return a row for each group that costs more than its parts, and the deterministic time spent.

    Items that may be left out are in no group. ``pairs`` are the rows known already, used to choose the
    groups and inside them. ``go_on`` is asked before each size of group.
    """
    from layout.placing.engine.cpsat.hard_part import exact_model
    from layout.placing.engine.cpsat.objective import objective
    from layout.placing.engine.cpsat.solver import run_cpsat
    from layout.placing.engine.cpsat.strengthen import add_cuts, add_side_costs

    pull = _pull(problem, pairs)
    pinned = [k for k, item in enumerate(problem.items) if item.pin is not None and item.absent_cost is None]
    must = [k for k, item in enumerate(problem.items) if item.pin is None and item.absent_cost is None]
    found: list[BoundRow] = []
    spent = 0.0

    def least(part: Subset, inner: list[BoundRow]) -> tuple[int, float]:
        model = exact_model(part.problem)
        _, costs = objective(model)
        add_side_costs(model, costs)
        add_cuts(model, costs, inner)
        answer = run_cpsat(model, work=groups.work, workers=1)
        return (0 if answer.infeasible else int(answer.bound + 1e-6)), answer.work

    with ThreadPoolExecutor(CLUSTER_THREADS) as pool:
        for size in groups.sizes:
            if size > len(must) or spent >= groups.total or not go_on():
                break
            parts = [
                part for chosen in _groups(pull, must, pinned, size) if (part := restricted(problem, chosen)).terms
            ]
            inner = [rows_inside([*pairs, *found], part.terms) for part in parts]
            answers = list(pool.map(least, parts, inner))
            spent += sum(work for _, work in answers)
            for part, (low, _) in zip(parts, answers, strict=True):
                cut = BoundRow(costs=tuple((t, 1) for t in part.terms), low=low)
                if low > 0 and not _implied(cut, found):
                    found.append(cut)
    return found, spent


def _pull(problem: Problem, pairs: Sequence[BoundRow]) -> list[list[int]]:
    """Return how strongly two items bear on each other: wishes in common, and what they cost together."""
    n = len(problem.items)
    pull = [[0] * n for _ in range(n)]

    def add(items: Sequence[int], amount: int) -> None:
        for i in items:
            for j in items:
                if i != j:
                    pull[i][j] += amount

    for term in problem.terms:
        items = items_of(term)
        if 2 <= len(items) <= 8:
            add(items, 10 * term.weight if isinstance(term, AbsTerm | HingeTerm) else term.weight)
    for cut in pairs:
        both = sorted({item for term, _ in cut.costs for item in items_of(problem.terms[term])})
        if len(both) == 2:
            add(both, cut.low)
    return pull


def _groups(pull: list[list[int]], must: Sequence[int], pinned: Sequence[int], size: int) -> list[tuple[int, ...]]:
    """Grow a group from each item by whatever bears most on it, and take the weightiest that differ.

    Items that may be left out take no part. Pinned items are in every group: they narrow it at no cost.
    """
    grown: dict[tuple[int, ...], int] = {}
    for start in must:
        group, inner = [start], 0
        force = list(pull[start])
        while len(group) < size:
            best = max((k for k in must if k not in group), key=lambda k: (force[k], -k))
            inner += force[best]
            group.append(best)
            force = [a + b for a, b in zip(force, pull[best], strict=True)]
        grown[tuple(sorted(group))] = inner
    chosen: list[tuple[int, ...]] = []
    for members in sorted(grown, key=lambda members: (-grown[members], members)):
        if len(chosen) < MOST_IN_CLUSTER:
            chosen.append(members)
    return [tuple(sorted([*members, *pinned])) for members in chosen]


def _implied(cut: BoundRow, others: Sequence[BoundRow]) -> bool:
    terms = {term for term, _ in cut.costs}
    return any(other.low >= cut.low and all(term in terms for term, _ in other.costs) for other in others)
