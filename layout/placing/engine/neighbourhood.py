"""Better an arrangement by freeing a few items at a time and solving those exactly.

All others keep their sides (they may still shift). Which few: one that costs much, with those that stand
nearest or with any others. It is for very full panels: there every exchange of two leads through a large
overlap, which annealing seldom passes. On others it gains next to nothing, and ends soon.
"""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.engine import recount
from layout.placing.engine.subset import items_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from layout.placing.engine.problem import Problem
    from layout.placing.engine.stage_result import Positions

IDLE = 12
"""Rounds without a better arrangement after which the search ends."""

FREED_SIZES = (4, 3, 4)
"""Items freed, round by round."""

ROUND_WORK = 0.06
"""Deterministic time of one round."""

_NEAR = 0.5
"""Share of rounds that free neighbours; the others free any."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bettered:
    """The best arrangement, how many rounds it took, and their deterministic time."""

    arrangement: Positions
    rounds: int
    work: float


def better(
    problem: Problem,
    start: Positions,
    *,
    rounds: int,
    seed: int,
    halted: Callable[[], bool],
    tell: Callable[[Positions], object],
) -> Bettered:
    """Better a valid arrangement of a problem with at least two items that are not pinned.

    Parameters
    ----------
    rounds
        At most so many.
    halted
        Asked before each round.
    tell
        Called with each better arrangement.
    """
    best, done, idle, work = start, 0, 0, 0.0
    value, chance = recount.value(problem, best), Random(f"{seed}/few")
    while done < rounds and idle < IDLE and not halted():
        found, spent = _solved(problem, best, _few(problem, best, chance, FREED_SIZES[done % len(FREED_SIZES)]))
        done, idle, work = done + 1, idle + 1, work + spent
        if found is not None and recount.value(problem, found) < value:
            best, value, idle = found, recount.value(problem, found), 0
            tell(best)
    return Bettered(arrangement=best, rounds=done, work=work)


def _few(problem: Problem, at: Positions, chance: Random, size: int) -> list[int]:
    """Choose items to free: one by its cost, and those nearest to it or any others."""
    movable = [k for k, item in enumerate(problem.items) if item.pin is None]
    weight = _weights(problem, at)
    first = _drawn(movable, [weight[k] for k in movable], chance)
    rest = [k for k in movable if k != first]
    if chance.random() < _NEAR:
        x, y = at.positions[first]
        rest.sort(key=lambda k: (abs(at.positions[k][0] - x) + abs(at.positions[k][1] - y), k))
        return [first, *rest[: size - 1]]
    chosen = [first]
    while rest and len(chosen) < size:
        chosen.append(rest.pop(int(chance.random() * len(rest))))
    return chosen


def _weights(problem: Problem, at: Positions) -> list[float]:
    """Return for each item the share of the costs that it has a part in, and an even share for all."""
    costs = recount.costs(problem, at)
    weight = [0.0] * len(problem.items)
    for t, term in enumerate(problem.terms):
        items = items_of(term)
        for k in items:
            weight[k] += costs[t][1] / len(items)
    even = sum(weight) / max(1, len(weight)) + 1
    return [one + even for one in weight]


def _drawn(items: list[int], weight: list[float], chance: Random) -> int:
    left = chance.random() * sum(weight)
    for k, share in zip(items, weight, strict=True):
        left -= share
        if left < 0:
            return k
    return items[-1]


def _solved(problem: Problem, at: Positions, free: list[int]) -> tuple[Positions | None, float]:
    """Return a better arrangement with these items set free, or None, and the deterministic time."""
    from layout.placing.engine.cpsat.hard_part import exact_model
    from layout.placing.engine.cpsat.objective import objective
    from layout.placing.engine.cpsat.solver import run_cpsat
    from layout.placing.engine.cpsat.strengthen import add_side_costs

    model = exact_model(problem, order=at, free=free)
    total, costs = objective(model)
    add_side_costs(model, costs)
    model.cp.add(total <= recount.value(problem, at) - 1)
    answer = run_cpsat(model, work=ROUND_WORK, workers=1)
    return answer.arrangement, answer.work
