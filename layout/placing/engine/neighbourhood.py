"""Better an arrangement by freeing a few items at a time and solving those exactly.

All others keep their sides (they may still shift). Which few: one that costs much, with those that stand
nearest or with any others. Five at a time was measured best: most such rounds are proven within a
tenth of a second, and on full panels they undo in seconds what annealing cannot, for there every
exchange of two leads through a large overlap. Two lines of rounds work beside each other from the same
arrangement; after each epoch both go on from the better one.
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from random import Random
from typing import TYPE_CHECKING

from layout.placing.engine import recount
from layout.placing.engine.subset import items_of

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from layout.placing.engine.problem import Problem
    from layout.placing.engine.stage_result import Positions

LINES = 2
"""Lines of rounds beside each other; the outcome depends on it, so it is fixed."""

EPOCH = 6
"""Rounds of each line between two comparisons."""

IDLE = 2
"""Epochs without a better arrangement after which the search ends."""

FREED_SIZES = (5, 5, 4, 6)
"""Items freed, round by round."""

ROUND_WORK = 0.06
"""Deterministic time of one round."""

NEAR = 0.5
"""Share of rounds that free neighbours; the others free any."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bettered:
    """The best arrangement, and how many rounds it took."""

    arrangement: Positions
    rounds: int


def better(
    problem: Problem,
    starts: Sequence[Positions],
    *,
    rounds: int,
    seed: int,
    halted: Callable[[], bool],
    tell: Callable[[Positions], None],
) -> Bettered:
    """Better the best of some valid arrangements of a problem with at least two items that are not pinned.

    Parameters
    ----------
    starts
        Best first. The first epoch's lines begin at different ones, if there are several.
    rounds
        At most so many of all lines together.
    halted
        Asked before each round.
    tell
        Called after an epoch with a better arrangement.
    """
    best, done, idle, epoch = starts[0], 0, 0, 0
    value = recount.value(problem, best)
    while done < rounds and idle < IDLE and not halted():
        begin = [starts[line % len(starts)] if epoch == 0 else best for line in range(LINES)]
        with ThreadPoolExecutor(LINES) as pool:
            ends = list(
                pool.map(
                    lambda line, epoch=epoch, begin=begin: _line(
                        problem, begin[line], Random(f"{seed}/{epoch}/{line}"), halted
                    ),
                    range(LINES),
                )
            )
        done += LINES * EPOCH
        epoch += 1
        least, _, found = min((recount.value(problem, one), line, one) for line, one in enumerate(ends))
        idle = idle + 1 if least >= value else 0
        if least < value:
            best, value = found, least
            tell(best)
    return Bettered(arrangement=best, rounds=done)


def _line(problem: Problem, start: Positions, chance: Random, halted: Callable[[], bool]) -> Positions:
    best = start
    for number in range(EPOCH):
        if halted():
            break
        chosen = _few(problem, best, chance, FREED_SIZES[number % len(FREED_SIZES)])
        best = _solved(problem, best, chosen) or best
    return best


def _few(problem: Problem, at: Positions, chance: Random, size: int) -> list[int]:
    """Choose items to free: one by its cost, and those nearest to it or any others."""
    movable = [k for k, item in enumerate(problem.items) if item.pin is None]
    weight = _weights(problem, at)
    first = _drawn(movable, [weight[k] for k in movable], chance)
    rest = [k for k in movable if k != first]
    if chance.random() < NEAR:
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


def _solved(problem: Problem, at: Positions, free: list[int]) -> Positions | None:
    """Return a better arrangement with these items set free, or None."""
    from layout.placing.engine.cpsat.hard_part import exact_model  # noqa: PLC0415 - ortools is slow to import
    from layout.placing.engine.cpsat.objective import objective  # noqa: PLC0415
    from layout.placing.engine.cpsat.solver import run_cpsat  # noqa: PLC0415
    from layout.placing.engine.cpsat.strengthen import add_side_costs  # noqa: PLC0415

    model = exact_model(problem, order=at, free=free)
    total, costs = objective(model)
    add_side_costs(model, costs)
    model.cp.add(total <= recount.value(problem, at) - 1)
    return run_cpsat(model, work=ROUND_WORK, wall_s=10.0, workers=1).arrangement
