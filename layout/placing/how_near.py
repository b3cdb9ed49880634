"""Prove how near the best an arrangement is: only what ``spile prove`` and a thorough placing take the time for."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.by_components import solve_components
from layout.placing.engine.stage_result import Limit
from layout.placing.formulation import Formulation
from layout.placing.given_positions import given, still_at
from layout.placing.place import proof_of
from layout.placing.wishes.wanted import COST_PER_MM

if TYPE_CHECKING:
    from collections.abc import Callable

    from layout.placing.engine.stage_result import Watch
    from layout.project.model.arrangement import Arrangement, Placed
    from layout.project.model.project import Project

PROOF_LIMIT = Limit(runs=0, proof=30.0)
"""No search but the one for the bound; its work is what decides how far it comes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HowNear:
    """What is proven about an arrangement.

    Attributes
    ----------
    arrangement
        The one given, its value counted afresh, with what is proven about it.
    better
        A better one that was met on the way, with the same proof; None where there is none.
    """

    arrangement: Arrangement
    better: Arrangement | None = None


def prove_how_near(
    project: Project,
    arrangement: Arrangement,
    *,
    seed: int = 1,
    limit: Limit = PROOF_LIMIT,
    progress: Watch | None = None,
    stop: Callable[[], bool] | None = None,
) -> HowNear | None:
    """Prove how near the best an arrangement is.

    Parameters
    ----------
    arrangement
        One that holds all rules, on the grid and at the safe side of rounding as placing leaves it.

    Returns
    -------
    HowNear
        None when the arrangement is not one that the solver's own problem allows: it then has to be placed again.
    """
    from layout.placing.engine import recount

    held, faults = given(project, keep=(), chosen=arrangement)
    formulation = Formulation(project=project, held=held)
    if faults or formulation.safe.problem is None:
        return None
    safe = formulation.safe_problem
    start = formulation.safe.positions(_with_blanks(project, {**arrangement.placed, **arrangement.rooms}))
    if recount.broken(safe, start):
        return None
    found = solve_components(
        safe, formulation.for_bounds, limit=limit, seed=seed, watch=progress, stop=stop, start=start
    )
    value = recount.value(safe, start)
    shown = replace(formulation.arrangement(start, recount.costs(safe, start), seed=arrangement.seed), work=found.work)
    proven = _with_proof(shown, value, found.bound)
    if found.positions is None or found.value is None or found.value >= value:
        return HowNear(arrangement=proven)
    better = replace(formulation.arrangement(found.positions, found.costs, seed=seed), work=found.work)
    return HowNear(arrangement=proven, better=_with_proof(better, found.value, found.bound))


def _with_blanks(project: Project, places: dict[str, Placed]) -> dict[str, Placed]:
    """Return the places with those of wished blanks that are left beside them."""
    still = Formulation(project=project, held=still_at(places))
    if still.safe.problem is None or all(item.absent_cost is None for item in still.safe.problem.items):
        return places
    found = solve_components(still.safe_problem, still.for_bounds, limit=Limit(runs=1), seed=1)
    return places if found.positions is None else still.safe.placed(found.positions) | places


def _with_proof(arrangement: Arrangement, value: int, bound: int | None) -> Arrangement:
    proof, gap = proof_of(value, bound, order_proven=False)
    return replace(arrangement, proof=proof, gap=gap, bound=None if bound is None else round(bound / COST_PER_MM, 2))
