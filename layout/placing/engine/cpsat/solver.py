"""Run CP-SAT with work that is counted and the same every time."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor, wait
from typing import TYPE_CHECKING, Any, Protocol

from layout.exact_solver import cp_model
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable

    from layout.placing.engine.cpsat.model import ExactModel
    from layout.placing.engine.stage_result import Positions

WORKERS = 2
"""Fixed: CP-SAT picks its strategies by the number of workers, so "all cores" would not repeat."""


_HUGE = 1e18


class Stoppable(Protocol):
    """What keeps the running solvers so that they can be stopped."""

    solvers: list[Any]
    stopped: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CpsatAnswer:
    """Outcome of one solve. ``proven`` is True for an optimum or for infeasible."""

    arrangement: Positions | None
    proven: bool
    bound: float
    work: float

    @property
    def infeasible(self) -> bool:
        """True when it is proven that no arrangement exists."""
        return self.proven and self.arrangement is None


def run_cpsat(
    model: ExactModel,
    *,
    work: float,
    seed: int = 1,
    workers: int = WORKERS,
    watch: Callable[[Positions, int, float], bool] | None = None,
    tune: Callable[[Any], None] | None = None,
    board: Stoppable | None = None,
    stop: Callable[[], bool] | None = None,
    on_bound: Callable[[float], None] | None = None,
) -> CpsatAnswer:
    """Solve a model.

    Parameters
    ----------
    work
        Deterministic time; the only limit.
    watch
        Called with arrangement, objective and bound at each improvement; True stops.
    tune
        Called with the solver's parameters for what else is to be set.
    board
        Where another thread finds the solver to stop it.
    stop
        Asked ten times a second; True ends the search and keeps the best so far.
    on_bound
        Called with each better bound.
    """
    if not model.possible:
        return CpsatAnswer(arrangement=None, proven=True, bound=0, work=0)
    solver = cp_model.CpSolver()
    parameters = solver.parameters
    parameters.random_seed = seed
    parameters.num_workers = workers
    parameters.interleave_search = workers > 1
    parameters.max_deterministic_time = work
    parameters.catch_sigint_signal = False  # else the first Ctrl-C is lost on Python, and the second kills the program
    if tune is not None:
        tune(parameters)
    if on_bound is not None:
        solver.best_bound_callback = on_bound
    if board is not None:
        board.solvers.append(solver)
        if board.stopped:
            return CpsatAnswer(arrangement=None, proven=False, bound=-_HUGE, work=0)
    callback = _Callback(model, watch) if watch else None
    status = solver.solve(model.cp, callback) if stop is None else _stoppable(solver, model.cp, callback, stop)
    if status == cp_model.MODEL_INVALID:
        raise ValueError(f"the model is not valid: {model.cp.validate()}")
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    proven = status in (cp_model.OPTIMAL, cp_model.INFEASIBLE)
    return CpsatAnswer(
        arrangement=model.read(solver.value) if found else None,
        proven=proven,
        bound=solver.best_objective_bound if model.cp.has_objective() else -_HUGE,
        work=solver.response_proto.deterministic_time,
    )


def _stoppable(solver: Any, model: Any, callback: Any, stop: Callable[[], bool]) -> Any:
    """Solve in a thread of its own, so that this one can hear Ctrl-C and end the search."""
    with ThreadPoolExecutor(1) as pool:
        job = pool.submit(solver.solve, model, callback)
        while wait([job], timeout=0.1).not_done:
            if stop():
                solver.stop_search()
        return job.result()


class _Callback(cp_model.CpSolverSolutionCallback):
    def __init__(self, model: ExactModel, watch: Callable[[Positions, int, float], bool]) -> None:
        super().__init__()
        self._model = model
        self._watch = watch

    def on_solution_callback(self) -> None:
        """Report a solution and stop when told to."""
        arrangement = self._model.read(self.value)
        if self._watch(arrangement, round(self.objective_value), self.best_objective_bound):
            self.stop_search()
