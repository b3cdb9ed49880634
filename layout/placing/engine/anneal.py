"""Annealing: several seeded runs of the compiled kernel, two at a time."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor, wait
from threading import Event
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass, field
from layout.placing.engine.kernel.runtime import Law, Machine

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from layout.placing.engine.kernel.problem_block import Tables
    from layout.placing.engine.kernel.runtime import Best


ANNEALING_THREADS = 2
"""Runs at a time. The outcome does not depend on it."""


STARTS = (32, 16, 64, 32)
"""Parts of the span that the runs are hot at first, in turn: no one start is best for all wishes."""


def main_law(made: Tables, run: int = 0) -> Law:
    """Return the law of a full run: from free flight through each other to exact contact."""
    pull = made.pull
    hot = max(4, made.span // STARTS[run % len(STARTS)])
    return Law(heat=(pull * hot, pull), push=(pull, 600 * pull), reach=made.span // 2)


def fit_law(made: Tables) -> Law:
    """Return the law of the search for any valid arrangement: violation is all that counts."""
    return Law(heat=(made.span // 4 + 2, 1), push=(1, 4), reach=made.span // 2)


def repair_law(made: Tables) -> Law:
    """Return the law that takes small violations out of an arrangement."""
    return Law(heat=(4 * made.pull, made.pull), push=(10 * made.pull, 1000 * made.pull), reach=made.span // 16)


def refine_law(made: Tables) -> Law:
    """Return the law that betters a valid arrangement without leaving its neighbourhood."""
    pull = made.pull
    hot = max(4, made.span // 128)
    return Law(heat=(pull * hot, 2 * pull), push=(8 * pull, 600 * pull), reach=made.span // 4)


@dataclass(slots=True)
class Halt:
    """Whether to go on: asked between pieces of work, by every run.

    Attributes
    ----------
    stop
        Says whether the user wants an end; called from any thread.
    """

    stop: Callable[[], bool] | None = None
    asked: Event = field(default_factory=Event)

    def now(self) -> bool:
        """Say whether to stop, and remember it."""
        if self.stop is not None and self.stop():
            self.asked.set()
        return self.asked.is_set()


def one_run(made: Tables, seed: int, moves: int, law: Law, *, halt: Halt, shown: list[Best]) -> Best:
    """Do one run: cool down; where a violation is left, repair and refine.

    ``shown`` gets the best state so far as the run goes on.
    """
    machine = Machine(made)

    def go(seed: int, moves: int, law: Law, *, from_state: bool = False, only_valid: bool = False) -> Best:
        machine.begin(seed, moves, law, from_state=from_state, only_valid=only_valid)
        while not halt.now() and machine.run():
            shown[:] = [machine.best()]
        return machine.best()

    best = go(seed, moves, law)
    for again in (1, 2):
        if best.valid or halt.now():
            break
        best = go(seed + again, moves // 4 + 1, repair_law(made), from_state=True, only_valid=True)
        if best.valid:
            best = go(seed + again, moves // 2 + 1, refine_law(made), from_state=True)
    return best


def first_valid(made: Tables, seed: int, moves: int, halt: Halt) -> Best:
    """Look for any valid arrangement, with no notice of wishes: tries that get longer, up to ``moves`` in all."""
    machine = Machine(made)
    best, spent, length, attempt = None, 0, max(1, min(moves, 20_000)), 0
    while spent < moves and not halt.now():
        machine.begin(seed + attempt, length, fit_law(made), only_valid=True)
        while not halt.now() and machine.run():
            pass
        found = machine.best()
        if found.valid:
            return found
        if best is None or found.violation < best.violation:
            best = found
        spent, length, attempt = spent + length, length * 2, attempt + 1
    return best or machine.best()


def anneal_side_by_side(
    made: Tables, runs: Sequence[int], moves: int, seed: int, *, halt: Halt, tell: Callable[[Best], bool] | None = None
) -> list[Best]:
    """Do runs of the main law two at a time; returns the best state of each in order.

    ``tell`` is told of the lowest valid cost and of each improvement. Ctrl-C, or its returning True, ends
    the runs early and keeps what they have.
    """
    shown: list[list[Best]] = [[] for _ in runs]
    least: int | None = None

    def job(place: int) -> Best:
        run = runs[place]
        return one_run(made, seed * 1000 + 10 * run, moves, main_law(made, run), halt=halt, shown=shown[place])

    with ThreadPoolExecutor(ANNEALING_THREADS) as pool:
        work = [pool.submit(job, place) for place in range(len(runs))]
        try:
            while wait(work, timeout=0.05).not_done:
                valid = [best for one in shown for best in one[:1] if best.valid]
                lowest = min(valid, key=lambda best: best.cost, default=None)
                if tell is None or lowest is None or (least is not None and lowest.cost >= least):
                    continue
                least = lowest.cost
                if tell(lowest):
                    halt.asked.set()
        except KeyboardInterrupt:
            halt.asked.set()
        return [one.result() for one in work]
