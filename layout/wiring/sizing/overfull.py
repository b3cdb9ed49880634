"""What repair can't empty: CP-SAT over a few ways for each segment in an overfull wireway and in those it could take.

The work is bounded by CP-SAT's deterministic time, so the same project gives the same routes.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from layout.standards.conduit import fill_limit_percent
from layout.wiring.routing.fill import inner_mm2
from layout.wiring.sizing.rerouting import Occupancy, cable_area_mm2

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layout.exact_solver import cp_model
    from layout.project.model.project import Project
    from layout.wiring.routing.routes import Route, Router
    from layout.wiring.sizing.segment_state import SegmentState

_MOST_SEGMENTS = 300
"""At most so many segments are moved at once; those in overfull wireways come first."""
MOST_WAYS = 6
"""Ways tried for each segment, shortest first, besides the one it has."""
WORK = 4.0
"""CP-SAT's deterministic time limit."""
PER_MM2 = 100
"""Whole steps in a square millimetre of cable."""


def make_room(project: Project, plans: Iterable[SegmentState], router: Router) -> list[SegmentState]:
    """Reroute segments so that no wireway is overfull, with the least length; return those that moved.

    Nothing moves where no such choice of ways is found.
    """
    everything = [plan for plan in plans if plan.route]
    occupancy = Occupancy(project, everything)
    movable, ways = _movable(occupancy, router)
    if not movable:
        return []
    chosen = _choose(project, occupancy, movable, ways, router)
    moved = []
    for name, route in chosen.items():
        plan = movable[name]
        if route != plan.route:
            plan.route = route
            plan.moves += 1
            moved.append(plan)
    return moved


def _movable(occupancy: Occupancy, router: Router) -> tuple[dict[str, SegmentState], dict[str, list[Route]]]:
    """Return the segments in overfull wireways, then those in the ways they could take, as many as are allowed."""
    ways: dict[str, list[Route]] = {}
    movable: dict[str, SegmentState] = {}
    wireways = occupancy.overfull()
    while wireways:
        found = {name: plan for key in wireways for name, plan in occupancy.inside[key].items() if _moves(plan)}
        found = {name: plan for name, plan in found.items() if name not in movable}
        if len(movable) + len(found) > _MOST_SEGMENTS:
            break
        movable |= found
        ways |= {name: _ways(plan, router) for name, plan in found.items()}
        touched = dict.fromkeys(key for name in found for route in ways[name] for key in route)
        wireways = [key for key in touched if key in occupancy.inside]
        if not found:
            break
    return movable, ways


def _moves(plan: SegmentState) -> bool:
    return not plan.fixed_route and cable_area_mm2(plan) > 0


def _ways(plan: SegmentState, router: Router) -> list[Route]:
    start, end = (site.location for site in plan.sites)
    assert start is not None
    assert end is not None
    found = router.several(plan.segment.run_class, start, end, MOST_WAYS)
    return list(dict.fromkeys((*found, plan.route or ())))


def _choose(
    project: Project,
    occupancy: Occupancy,
    movable: Mapping[str, SegmentState],
    ways: Mapping[str, list[Route]],
    router: Router,
) -> dict[str, Route]:
    from layout.exact_solver import cp_model  # kept out of start-up

    model = cp_model.CpModel()
    picks = {name: [model.new_bool_var(f"{name} {at}") for at in range(len(routes))] for name, routes in ways.items()}
    for variables in picks.values():
        model.add_exactly_one(variables)
    touched = dict.fromkeys(key for routes in ways.values() for route in routes for key in route)
    for key in touched:
        inner = inner_mm2(project.wireways[key])
        if inner is None:
            continue
        gone = sum(cable_area_mm2(plan) for name, plan in occupancy.inside.get(key, {}).items() if name in movable)
        stay = occupancy.area_mm2(key) - gone
        room = math.floor(PER_MM2 * (inner * _limit(project, key) - stay))
        terms = _terms(key, movable, ways, picks)
        model.add(sum(area * variable for area, variable in terms) <= room)
    lengths = {name: [round(router.length_mm(route)) for route in routes] for name, routes in ways.items()}
    model.minimize(
        sum(
            movable[name].cables * length * variable
            for name, variables in picks.items()
            for length, variable in zip(lengths[name], variables, strict=True)
        )
    )
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = WORK
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return {}
    return {
        name: next(route for route, variable in zip(ways[name], variables, strict=True) if solver.value(variable))
        for name, variables in picks.items()
    }


def _limit(project: Project, key: str) -> float:
    """Return the share for three cables or more, or the owner's lower one; a wireway with two is judged at the end."""
    own = project.wireways[key].fill_limit
    many = fill_limit_percent(3) / 100
    return many if own is None else min(many, own)


def _terms(
    key: str,
    movable: Mapping[str, SegmentState],
    ways: Mapping[str, list[Route]],
    picks: Mapping[str, list[cp_model.IntVar]],
) -> list[tuple[int, cp_model.IntVar]]:
    return [
        (math.ceil(PER_MM2 * cable_area_mm2(movable[name])), variable)
        for name, routes in ways.items()
        for route, variable in zip(routes, picks[name], strict=True)
        if key in route
    ]
