"""Polish: keep every side that an arrangement has, and let the exact solver set the millimetres.

Lines that nearly agree are brought together, and gaps in the rows that the arrangement has are made equal.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.engine import recount
from layout.placing.engine.look_terms import EvenTerm, LinesTerm

if TYPE_CHECKING:
    from layout.placing.engine.problem import Problem
    from layout.placing.engine.stage_result import Positions


@dataclass(frozen=True, slots=True, kw_only=True)
class Polished:
    """Outcome of a polish.

    Attributes
    ----------
    arrangement
        The better of the start and what was found; None when neither is valid.
    order_proven
        Whether no arrangement with the same turns and sides is better. Never where the look of the whole counts:
        of lines, only those that are near each other are looked at.
    work
        Deterministic time.
    """

    arrangement: Positions | None
    order_proven: bool
    work: float


def polish(problem: Problem, start: Positions, *, seed: int = 1, work: float = 0.5) -> Polished:
    """Polish an arrangement.

    Turns and presence stay. A side that does not hold in ``start`` is open, so that an arrangement with
    small violations can be mended too.
    """
    from layout.placing.engine.cpsat.hard_part import exact_model
    from layout.placing.engine.cpsat.objective import objective
    from layout.placing.engine.cpsat.solver import run_cpsat

    model = exact_model(problem, order=start)
    objective(model)
    model.hint(start)
    answer = run_cpsat(model, work=work, seed=seed, workers=1)
    found = [one for one in (answer.arrangement, start) if one is not None and not recount.broken(problem, one)]
    best = min(found, key=lambda one: recount.value(problem, one), default=None)
    looks = any(isinstance(term, LinesTerm | EvenTerm) for term in problem.terms)
    return Polished(
        arrangement=best,
        order_proven=answer.proven and best is not None and best is answer.arrangement and not looks,
        work=answer.work,
    )
