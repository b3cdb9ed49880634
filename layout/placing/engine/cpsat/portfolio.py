"""Two exact searches beside each other: one that finds and refutes, one that lifts the bound.

Each is a single worker with counted work, so each repeats exactly. Which one ends first may differ from
run to run, so the outcome is chosen by a rule that does not depend on it: while nothing better than the
start is found, a proof by either ends both and the start is kept. When one proves a better optimum,
the other goes on to its own end, and the first search's arrangement is taken if it has that value.
"""

from __future__ import annotations

from concurrent.futures import FIRST_COMPLETED, ThreadPoolExecutor, wait
from math import ceil
from typing import TYPE_CHECKING, Any

from layout.light_dataclass import dataclass, field
from layout.placing.engine import recount
from layout.placing.engine.cpsat.hard_part import exact_model
from layout.placing.engine.cpsat.objective import objective
from layout.placing.engine.cpsat.solver import CpsatAnswer, run_cpsat
from layout.placing.engine.cpsat.strengthen import add_cuts, add_side_costs, order_equals

if TYPE_CHECKING:
    from collections.abc import Callable

    from layout.placing.engine.bounds.relaxation import Bound
    from layout.placing.engine.cpsat.model import ExactModel
    from layout.placing.engine.problem import Problem
    from layout.placing.engine.stage_result import Positions


@dataclass(slots=True)
class Board:
    """What both searches share: the best bound, and whether to stop."""

    bound: int
    solvers: list[Any] = field(default_factory=list)
    stopped: bool = False

    def stop(self) -> None:
        """End both searches."""
        self.stopped = True
        for solver in self.solvers:
            solver.stop_search()


@dataclass(frozen=True, slots=True, kw_only=True)
class ProofOutcome:
    """The best arrangement and bound of both searches; ``proven`` when they meet, or when there is none."""

    arrangement: Positions | None
    bound: int
    proven: bool
    work: float


def strong_model(problem: Problem, known: Bound, start: Positions | None) -> ExactModel:
    """Build the model with wishes and all that is known beforehand; the start bounds the value from above.

    The start is no hint: with one, CP-SAT proved 8 of 16 panels of six devices that it proves 15 of without.
    """
    model = exact_model(problem)
    if not model.possible:
        return model
    total, costs = objective(model)
    add_side_costs(model, costs)
    add_cuts(model, costs, known.cuts)
    order_equals(model)
    if isinstance(total, int):
        return model
    if known.value:
        model.cp.add(total >= known.value)
    if start is not None:
        model.cp.add(total <= recount.value(problem, start))
    return model


def alone(problem: Problem, known: Bound, start: Positions, *, work: float, seed: int) -> ProofOutcome:
    """Search for the optimum with one worker: the quickest proof for a few items."""
    model = strong_model(problem, known, start)
    answer = run_cpsat(model, work=work, seed=seed, workers=1)
    return _verdict(problem, [answer], start, known, only_bounds=model.only_bounds, work=answer.work)


def side_by_side(
    problem: Problem,
    known: Bound,
    start: Positions,
    *,
    work: float,
    seed: int,
    tell: Callable[[int], bool],
) -> ProofOutcome:
    """Search for the optimum and its proof from a start.

    Parameters
    ----------
    known
        Rows and bound from before.
    work
        Deterministic time of each of the two searches.
    tell
        Called now and then with the bound so far; True stops both.
    """
    first_value = recount.value(problem, start)
    board = Board(bound=known.value)
    models = [strong_model(problem, known, start) for _ in range(2)]

    def search(lifting: bool) -> CpsatAnswer:
        def tune(parameters: Any) -> None:
            parameters.optimize_with_lb_tree_search = lifting

        def on_bound(bound: float) -> None:
            board.bound = max(board.bound, ceil(bound - 1e-6))

        return run_cpsat(models[lifting], work=work, seed=seed, workers=1, tune=tune, board=board, on_bound=on_bound)

    with ThreadPoolExecutor(2) as pool:
        jobs = [pool.submit(search, False), pool.submit(search, True)]
        pending = set(jobs)
        try:
            while pending:
                done, pending = wait(pending, timeout=0.1, return_when=FIRST_COMPLETED)
                if tell(board.bound) or any(_settles(problem, job.result(), first_value) for job in done):
                    board.stop()
        except KeyboardInterrupt:
            board.stop()
        answers = [job.result() for job in jobs]
    settled = next((one for one in answers if _settles(problem, one, first_value)), None)
    spent = sum(one.work for one in answers) if settled is None else 2 * settled.work
    return _verdict(problem, answers, start, known, only_bounds=models[0].only_bounds, work=spent)


def _settles(problem: Problem, answer: CpsatAnswer, first_value: int | None) -> bool:
    """Say whether an answer proves the start optimal, or that there is no arrangement at all."""
    if not answer.proven:
        return False
    return answer.arrangement is None or recount.value(problem, answer.arrangement) == first_value


def _verdict(
    problem: Problem,
    answers: list[CpsatAnswer],
    start: Positions,
    known: Bound,
    *,
    only_bounds: bool,
    work: float,
) -> ProofOutcome:
    found = [start, *(answer.arrangement for answer in answers)]
    ranked = [(recount.value(problem, one), n, one) for n, one in enumerate(found) if one is not None]
    value, _, best = min(ranked, key=lambda entry: entry[:2])
    bounds = [known.value]
    for answer in answers:
        if answer.proven and answer.arrangement is None:
            bounds.append(value)  # nothing is as good as the start, within rounding: nothing is better
        elif answer.bound > -1e15:
            bounds.append(ceil(answer.bound - 1e-6))
    bound = min(max(bounds), value)
    proven = bound == value or (not only_bounds and any(answer.proven for answer in answers))
    return ProofOutcome(arrangement=best, bound=value if proven else bound, proven=proven, work=work)
