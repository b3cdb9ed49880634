"""The planner of a backbone: OR-Tools CP-SAT on the problem in whole numbers, in three steps.

1. Without the electrical part, which is fast. If the answer keeps every limit it is the optimum.
2. With it, each place opened once.
3. Where step 2 costs more than step 1: with places that may be opened twice, for less than step 2.

The model is exact but for the order of tees inside one station: there it counts one contact and leaves the others
out, so its cost is a bound from below. Each answer is reckoned again tee by tee; one that breaks a limit by those
contacts is cut off and the search goes on. What comes back as optimal is therefore optimal and keeps every limit.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from layout.wiring.net.problem import AGAIN, Figures, Plan, Problem, Station, cost_mm, figures, reopened

if TYPE_CHECKING:
    from layout.wiring.net.planner_model import Answer

Proof = Literal["optimal", "within", "none exists", "not found"]

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

    plan: Plan | None = None
    figures: Figures | None = None
    cost_mm: int | None = None
    bound_mm: int | None = None
    proof: Proof
    cuts: int = 0


def plan_backbone(problem: Problem, *, work: float = 30.0, seed: int = 1) -> Planned:
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
    if any(not hook.drops_mm for hook in problem.hooks) or problem.lens > 2 * problem.limits.side_lens:
        return Planned(proof="none exists")
    light = _search(problem, electrical=False, work=work, seed=seed)
    if light.plan is not None or light.proof == "none exists":
        return light
    once = _search(problem, electrical=True, work=work, seed=seed)
    if once.proof == "not found" or (once.cost_mm is not None and once.cost_mm == light.bound_mm):
        return once
    below = None if once.cost_mm is None else once.cost_mm - 1
    twice = _search(reopened(problem), electrical=True, work=work, seed=seed, most_mm=below)
    if twice.plan is not None:
        stations = (replace(s, spot=s.spot.removesuffix(AGAIN)) for s in twice.plan.stations)
        return replace(twice, plan=Plan(stations=tuple(stations)))
    if once.plan is None:
        return replace(twice, cuts=once.cuts + twice.cuts)
    if twice.proof == "none exists" and once.proof == "optimal":
        return once
    return replace(once, proof="within", bound_mm=min(twice.bound_mm or 0, once.bound_mm or 0))


def _search(
    problem: Problem, *, electrical: bool, work: float, seed: int, most_mm: int | None = None
) -> Planned:
    """Search one form of the problem, cutting off answers that the tees' contacts spoil.

    Without the electrical part the first answer decides: ``cuts`` is 1 if it breaks a limit.
    """
    from layout.wiring.net.planner_model import Model  # noqa: PLC0415  (the solver is heavy)

    model = Model(problem, electrical=electrical, most_mm=most_mm)
    for cuts in range(MOST_CUTS if electrical else 1):
        answer = model.solve(work=work, seed=seed)
        if answer.stations is None:
            none = answer.status == "none exists"
            return Planned(
                proof="none exists" if none else "not found", bound_mm=None if none else answer.bound, cuts=cuts
            )
        plan = arranged(problem, answer)
        if figures(problem, plan).keeps(problem.limits):
            return _result(problem, plan, answer.bound, cuts)
        if electrical:
            model.cut_off(answer)
    return Planned(proof="not found", bound_mm=answer.bound, cuts=cuts + 1)


def _result(problem: Problem, plan: Plan, bound: int, cuts: int) -> Planned:
    cost = cost_mm(problem, plan)
    return Planned(
        plan=plan,
        figures=figures(problem, plan),
        cost_mm=cost,
        bound_mm=min(bound, cost),
        proof="optimal" if cost <= bound else "within",
        cuts=cuts,
    )


def arranged(problem: Problem, answer: Answer) -> Plan:
    """Return the plan of an answer, the tees in each station in their best order.

    The tap stands between the devices of its two sides. Within a station the tees with the largest LEN stand nearest
    the tap, so that the least current passes the following contacts; equal ones by the longer drop. What is built
    keeps its order, and new tees stand on its side away from the tap.
    """
    stations = answer.stations or ()
    hooks = {hook.id: hook for hook in problem.hooks}
    spot_of = {device: spot for spot, devices in stations for device in devices}

    def outward(devices: list[str]) -> list[str]:
        return sorted(devices, key=lambda d: (-hooks[d].lens, -hooks[d].drops_mm[spot_of[d]], d))

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
    return Plan(stations=tuple(found))
