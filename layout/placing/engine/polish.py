"""Polish: keep every side that an arrangement has, and let the exact solver set the millimetres."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from layout.placing.engine.stage_result import Result, Status
from layout.placing.engine.verified import verified

if TYPE_CHECKING:
    from layout.placing.engine.problem import Problem
    from layout.placing.engine.stage_result import Limit, Positions


@dataclass(frozen=True, slots=True, kw_only=True)
class Polish:
    """The stage: the best arrangement in the order of ``start``.

    Turns and presence stay. A side that does not hold in ``start`` is open, so that an arrangement with
    small violations can be mended too.
    """

    start: Positions

    def __call__(self, problem: Problem, limit: Limit, seed: int) -> Result:
        """Solve; ``ORDER_OPTIMAL`` when that order has no better, ``NOT_PROVEN`` when nothing was found."""
        from layout.placing.engine.cpsat.hard_part import exact_model  # noqa: PLC0415 - ortools is slow to import
        from layout.placing.engine.cpsat.objective import objective  # noqa: PLC0415
        from layout.placing.engine.cpsat.solver import run_cpsat  # noqa: PLC0415

        model = exact_model(problem, order=self.start)
        objective(model)
        model.hint(self.start)
        answer = run_cpsat(model, work=limit.work, wall_s=limit.wall_s, seed=seed, workers=1)
        work = f"{answer.work:.2f} deterministic"
        if answer.arrangement is None:
            return Result(
                stage="polish",
                status=Status.NOT_PROVEN,
                nearest=self.start,
                seed=seed,
                work=work,
                clock_struck=answer.clock_struck,
            )
        status = Status.ORDER_OPTIMAL if answer.proven else Status.NO_BOUND
        return verified(
            problem,
            answer.arrangement,
            stage="polish",
            status=status,
            seed=seed,
            work=work,
            clock_struck=answer.clock_struck,
        )
