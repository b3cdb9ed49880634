"""Whether any arrangement exists: two exact searches without wishes, in rounds that get longer.

Each search is one worker (two that take turns were measured ten times slower on full boxes). One reasons
more about areas than the other; each round has new seeds, for luck varies. The outcome does not depend
on which ends first: within a round the first search's arrangement is preferred, and only its success
ends the other.
"""

from __future__ import annotations

from concurrent.futures import FIRST_COMPLETED, ThreadPoolExecutor, wait
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from layout.light_dataclass import dataclass, field
from layout.placing.engine.cpsat.hard_part import exact_model
from layout.placing.engine.cpsat.solver import CpsatAnswer, run_cpsat

if TYPE_CHECKING:
    from collections.abc import Callable

    from layout.placing.engine.problem import Problem

FIRST_ROUND = 0.5
"""Deterministic time of each search in the first round; every second round is twice as long."""


@dataclass(slots=True)
class _Board:
    solvers: list[Any] = field(default_factory=list)
    stopped: bool = False

    def stop(self) -> None:
        self.stopped = True
        for solver in self.solvers:
            solver.stop_search()


def first_layout(
    problem: Problem,
    *,
    work: float,
    seed: int = 1,
    go_on: Callable[[], bool] = lambda: True,
) -> CpsatAnswer:
    """Look for any arrangement, or the proof that there is none.

    Parameters
    ----------
    work
        Deterministic time of each of the two searches, over all rounds.
    go_on
        Asked now and then; False ends both searches.
    """
    spent, total, length, turn = 0.0, 0.0, FIRST_ROUND, 0
    while spent < work and go_on():
        length_now = min(length, work - spent)
        answer = _round(problem, length_now, seed + 2 * turn, go_on)
        total += answer.work
        if answer.proven or answer.arrangement is not None:
            return replace(answer, work=total)
        spent += length_now
        length *= 1 + turn % 2
        turn += 1
    return CpsatAnswer(arrangement=None, proven=False, bound=0, work=total)


def _round(problem: Problem, work: float, seed: int, go_on: Callable[[], bool]) -> CpsatAnswer:
    board = _Board()

    def search(by_area: bool) -> CpsatAnswer:
        def tune(parameters: Any) -> None:
            if by_area:
                parameters.use_energetic_reasoning_in_no_overlap_2d = True
                parameters.use_area_energetic_reasoning_in_no_overlap_2d = True
                parameters.use_timetabling_in_no_overlap_2d = True
                parameters.use_try_edge_reasoning_in_no_overlap_2d = True

        own_seed = seed if by_area else seed + 1
        return run_cpsat(exact_model(problem), work=work, seed=own_seed, workers=1, tune=tune, board=board)

    with ThreadPoolExecutor(2) as pool:
        first, second = pool.submit(search, True), pool.submit(search, False)
        pending = {first, second}
        try:
            while pending:
                done, pending = wait(pending, timeout=0.1, return_when=FIRST_COMPLETED)
                settled = any(job.result().infeasible for job in done)
                if settled or (first in done and first.result().arrangement is not None) or not go_on():
                    board.stop()
        except KeyboardInterrupt:
            board.stop()
        answers = [first.result(), second.result()]
    decided = next((one for one in answers if one.arrangement is not None or one.infeasible), None)
    if decided is None:
        return CpsatAnswer(arrangement=None, proven=False, bound=0, work=sum(one.work for one in answers))
    spent = 2 * decided.work if answers[0] is decided or decided.infeasible else sum(one.work for one in answers)
    return CpsatAnswer(arrangement=decided.arrangement, proven=decided.infeasible, bound=0, work=spent)
