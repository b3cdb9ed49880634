"""The planner of a backbone: OR-Tools CP-SAT on the problem in whole numbers, step by step.

1. Without the electrical part, which is fast. If the answer keeps every limit it is the optimum (of courses that open
   each place once; with cable cut to length no other can be shorter, with bought lengths rounding may let it).
   If not, a local search bends it until it does: a first plan, and a cost to beat.
2. With the electrical part, each place opened once, for less than that and not below step 1.
3. Where step 2 costs more than step 1: with places that may be opened twice, for less than step 2.

The model is exact but for the order of tees inside one station: there it counts one contact and leaves the others
out, so its cost is a bound from below. Each answer is reckoned again tee by tee; one that breaks a limit by those
contacts is cut off and the search goes on. What comes back as optimal is therefore optimal and keeps every limit.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from layout.light_dataclass import dataclass
from layout.network.bus_planning.bus_problem import (
    AGAIN,
    BusCourse,
    CourseProblem,
    Figures,
    Station,
    cost_mm,
    figures,
    reopened,
)
from layout.network.bus_planning.bus_repair import repaired

if TYPE_CHECKING:
    from layout.network.bus_planning.bus_planner_model import Answer

_Proof = Literal["optimal", "within", "none exists", "not found"]

MOST_CUTS = 400
"""Answers cut off before the search gives up its claim to the optimum."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """Result of planning.

    Attributes
    ----------
    plan, figures, cost_mm
        None where nothing was found.
    bound_mm
        Proven least cost; None where there is none.
    proof
        ``optimal``; ``within`` (of ``bound_mm``); ``none exists``; ``not found`` within the work limit.
    """

    plan: BusCourse | None = None
    figures: Figures | None = None
    cost_mm: int | None = None
    bound_mm: int | None = None
    proof: _Proof
    cuts: int = 0


def plan_backbone(problem: CourseProblem, *, work: float = 8.0, seed: int = 1) -> Planned:
    """Return the backbone of least cost that keeps every limit.

    Parameters
    ----------
    problem
        Spots, devices, limits.
    work
        Limit on work in the solver's deterministic units (about seconds), for each search.
    seed
        Of the solver; the same seed gives the same plan.
    """
    if any(not hook.drops_mm for hook in problem.hooks) or problem.load_units > 2 * problem.limits.side_lens:
        return Planned(proof="none exists")
    light = _search(problem, electrical=False, work=work, seed=seed)
    if light.proof == "none exists":
        return light
    if light.plan is not None and figures(problem, light.plan).keeps(problem.limits):
        return light
    least = light.bound_mm or 0
    first = repaired(problem, light.plan) if light.plan is not None else None
    best = Planned(proof="not found", bound_mm=least) if first is None else _result(problem, first, least, 0)
    once = _search(problem, electrical=True, work=work, seed=seed, least_mm=least, most_mm=_below(best))
    best, done = _better(best, once)
    if not done or best.cost_mm == least:
        return best
    again = reopened(problem)
    if again.spots == problem.spots:
        return _proven(best)
    twice = _search(again, electrical=True, work=work, seed=seed, least_mm=least, most_mm=_below(best))
    if twice.plan is not None:
        stations = (replace(s, spot=s.spot.removesuffix(AGAIN)) for s in twice.plan.stations)
        twice = replace(twice, plan=BusCourse(stations=tuple(stations)))
    best, done = _better(best, twice)
    return _proven(best) if done else best


def _below(best: Planned) -> int | None:
    return None if best.cost_mm is None else best.cost_mm - 1


def _better(best: Planned, found: Planned) -> tuple[Planned, bool]:
    """Return the better of the best plan and what a search for less found, and whether that search was finished."""
    if found.plan is not None:
        return found, found.proof == "optimal"
    return replace(best, cuts=best.cuts + found.cuts), found.proof == "none exists"


def _proven(best: Planned) -> Planned:
    """Return the best plan as proven: nothing cheaper exists, or nothing at all."""
    if best.plan is None:
        return replace(best, proof="none exists", bound_mm=None)
    return replace(best, proof="optimal", bound_mm=best.cost_mm)


def _search(
    problem: CourseProblem,
    *,
    electrical: bool,
    work: float,
    seed: int,
    least_mm: int | None = None,
    most_mm: int | None = None,
) -> Planned:
    """Search one form of the problem, cutting off answers that the tees' contacts spoil.

    Without the electrical part the first answer is returned, whether it keeps every limit or not.
    """
    from layout.network.bus_planning.bus_planner_model import Model  # the solver is heavy

    model = Model(problem, electrical=electrical, least_mm=least_mm, most_mm=most_mm)
    bound = least_mm or 0
    for cuts in range(MOST_CUTS):
        answer = model.solve(work=work, seed=seed)
        if answer.stations is None:
            none = answer.status == "none exists"
            return Planned(proof="none exists" if none else "not found", bound_mm=bound, cuts=cuts)
        bound = max(bound, answer.bound)
        plan = arranged(problem, answer)
        if not electrical or figures(problem, plan).keeps(problem.limits):
            return _result(problem, plan, bound, cuts)
        model.cut_off(answer)
    return Planned(proof="not found", bound_mm=bound, cuts=MOST_CUTS)


def _result(problem: CourseProblem, plan: BusCourse, bound: int, cuts: int) -> Planned:
    cost = cost_mm(problem, plan)
    return Planned(
        plan=plan,
        figures=figures(problem, plan),
        cost_mm=cost,
        bound_mm=min(bound, cost),
        proof="optimal" if cost <= bound else "within",
        cuts=cuts,
    )


def arranged(problem: CourseProblem, answer: Answer) -> BusCourse:
    """Return the plan of an answer, the tees in each station in their best order.

    The tap stands between the devices of its two sides. Within a station the tees with the largest LEN stand nearest
    the tap, so that the least current passes the following contacts; equal ones by the longer drop. What is built
    keeps its order, and new tees stand on its side away from the tap.
    """
    stations = answer.stations or ()
    hooks = {hook.id: hook for hook in problem.hooks}
    spot_of = {device: spot for spot, devices in stations for device in devices}

    def outward(devices: list[str]) -> list[str]:
        return sorted(devices, key=lambda d: (-hooks[d].load_units, -hooks[d].drops_mm[spot_of[d]], d))

    found: list[Station] = []
    passed = False
    for spot, devices in stations:
        fixed = problem.fixed.get(spot, ())
        new = [device for device in devices if device not in fixed]
        if spot == answer.tap:
            left = [device for device in new if device in answer.before_tap]
            right = [device for device in new if device not in answer.before_tap]
            tees = [*reversed(outward(left)), *(fixed or (None,)), *outward(right)]
            passed = True
        else:
            tees = [*fixed, *outward(new)] if passed else [*reversed(outward(new)), *fixed]
        found.append(Station(spot=spot, tees=tuple(tees)))
    return BusCourse(stations=tuple(found))
