"""The one door through which a stage's arrangement becomes a result: counted afresh and checked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.placing.engine import recount
from layout.placing.engine.stage_result import Result

if TYPE_CHECKING:
    from layout.placing.engine.problem import Problem
    from layout.placing.engine.stage_result import Positions, Status


def verified(
    problem: Problem,
    arrangement: Positions,
    *,
    stage: str,
    status: Status,
    seed: int,
    work: float,
    bound: int | None = None,
) -> Result:
    """Return the result for a valid arrangement, its costs counted afresh.

    Raises
    ------
    RuntimeError
        When the arrangement is not valid: a fault of the stage, never of the user.
    """
    if faults := recount.broken(problem, arrangement):
        raise RuntimeError(f"{stage} returned an arrangement that breaks {faults[0][0]!r}")
    costs = recount.costs(problem, arrangement)
    return Result(
        stage=stage,
        status=status,
        arrangement=arrangement,
        value=sum(cost for _, cost in costs),
        costs=costs,
        bound=bound,
        seed=seed,
        work=work,
    )
