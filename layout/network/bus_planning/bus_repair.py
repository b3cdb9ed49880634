"""Local search for a plan that keeps every limit, from a short one that does not.

It gives the exact search a first answer and a cost to beat; it proves nothing itself. Every step is the best of its
neighbourhood, in a fixed order, so that the same plan comes out every time.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.network.bus_planning.bus_problem import BusCourse, Station, cost_mm, figures

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.network.bus_planning.bus_problem import CourseProblem

MOST_STEPS = 60

Draft = tuple[tuple[str, tuple[str, ...]], ...]
"""Stations in order: spot, and the devices there; the tap stands apart."""


@dataclass(frozen=True, slots=True)
class _State:
    """Stations without the tap, the station that holds it, and how many of its devices stand before it."""

    draft: Draft
    tap: int
    before: int


def repaired(problem: CourseProblem, plan: BusCourse) -> BusCourse | None:
    """Return a plan that keeps every limit, found near the given one; None if the search ends without."""
    if problem.block:
        return None
    state = _state(plan)
    best = _rank(problem, state)
    for _ in range(MOST_STEPS):
        found = None
        for neighbour in _neighbours(problem, state):
            rank = _rank(problem, neighbour)
            if rank < best:
                best, found = rank, neighbour
        if found is None:
            break
        state = found
    return _plan(problem, state) if best[0] == 0 else None


def _state(plan: BusCourse) -> _State:
    draft = tuple((s.spot, tuple(tee for tee in s.tees if tee is not None)) for s in plan.stations)
    tap = next(index for index, station in enumerate(plan.stations) if None in station.tees)
    return _State(draft, tap, plan.stations[tap].tees.index(None))


def _plan(problem: CourseProblem, state: _State) -> BusCourse:
    """Return the plan of a state, tees with the largest LEN nearest the tap."""
    hooks = {hook.id: hook for hook in problem.hooks}
    stations: list[Station] = []
    for index, (spot, devices) in enumerate(state.draft):
        order = sorted(devices, key=lambda d: (hooks[d].load_units, hooks[d].drops_mm[spot], d))
        if index < state.tap:
            tees: list[str | None] = [*order]
        elif index > state.tap:
            tees = [*reversed(order)]
        else:
            left = [d for d in order if d in devices[: state.before]]
            right = [d for d in order if d not in left]
            tees = [*left, None, *reversed(right)]
        stations.append(Station(spot=spot, tees=tuple(tees)))
    return BusCourse(stations=tuple(stations))


def _rank(problem: CourseProblem, state: _State) -> tuple[float, int]:
    """Return by what share the limits are passed together, and the cost."""
    plan = _plan(problem, state)
    found, limits = figures(problem, plan), problem.limits
    pairs = (
        (found.drops_mm, limits.drops_mm),
        (found.reach_mm, limits.backbone_mm),
        (found.side_lens, limits.side_lens),
        (found.fall, limits.fall),
    )
    over = sum(max(0.0, value / max(limit, 1) - 1.0) for value, limit in pairs)
    return round(over, 9), cost_mm(problem, plan)


def _neighbours(problem: CourseProblem, state: _State) -> Iterator[_State]:
    yield from _tap_moves(problem, state)
    yield from _course_moves(state)
    yield from _device_moves(problem, state)


def _tap_moves(problem: CourseProblem, state: _State) -> Iterator[_State]:
    """Move the tap to each station and each way of sharing its devices, or to a new station anywhere."""
    draft = tuple(entry for i, entry in enumerate(state.draft) if entry[1] or i != state.tap)
    for index, (spot, devices) in enumerate(draft):
        if spot in problem.feeds_mm:
            ordered = tuple(sorted(devices))
            for before in range(len(devices) + 1):
                yield _State((*draft[:index], (spot, ordered), *draft[index + 1 :]), index, before)
    there = {spot for spot, _ in draft}
    for spot in problem.feeds_mm:
        if spot not in there:
            for index in range(len(draft) + 1):
                yield _State((*draft[:index], (spot, ()), *draft[index:]), index, 0)


def _course_moves(state: _State) -> Iterator[_State]:
    """Turn each stretch of the course round, and move each station to each other position."""
    draft, count = state.draft, len(state.draft)
    for low in range(count):
        for high in range(low + 2, count + 1):
            turned = (*draft[:low], *reversed(draft[low:high]), *draft[high:])
            tap = low + high - 1 - state.tap if low <= state.tap < high else state.tap
            yield _State(turned, tap, state.before)
    for index in range(count):
        rest = (*draft[:index], *draft[index + 1 :])
        for place in range(count):
            if place != index:
                moved = (*rest[:place], draft[index], *rest[place:])
                yield _State(moved, moved.index(draft[state.tap]), state.before)


def _device_moves(problem: CourseProblem, state: _State) -> Iterator[_State]:
    """Hang each device at each other station within its drop, or at a new station anywhere."""
    hooks = {hook.id: hook for hook in problem.hooks}
    tap_spot = state.draft[state.tap][0]
    for at, (spot, devices) in enumerate(state.draft):
        for device in devices:
            left = (spot, tuple(d for d in devices if d != device))
            rest = [*state.draft[:at], left, *state.draft[at + 1 :]]
            if not left[1] and at != state.tap:
                del rest[at]
            for other in hooks[device].drops_mm:
                if other == spot:
                    continue
                here = next((i for i, (name, _) in enumerate(rest) if name == other), None)
                options = [here] if here is not None else range(len(rest) + 1)
                for place in options:
                    made = list(rest)
                    if here is not None:
                        made[place] = (other, (*made[place][1], device))
                    else:
                        made.insert(place, (other, (device,)))
                    tap = next(i for i, (name, _) in enumerate(made) if name == tap_spot)
                    yield _State(tuple(made), tap, min(state.before, len(made[tap][1])))
