"""Spare tees of a plan: where they go, and how many find room within the limits."""

from __future__ import annotations

from dataclasses import replace

from layout.network.bus_planning.bus_problem import BusCourse, CourseProblem, Hook, Station, figures

SPARE = "spare "
"""Names of spare tees in a plan begin so."""


def with_spares(problem: CourseProblem, plan: BusCourse, count: int, lens: int) -> tuple[CourseProblem, BusCourse]:
    """Gang spare tees where most devices are, each with ``load_units``; of equal stations where the fall is least.

    They lengthen nothing. Tees that no limit leaves room for are left out.
    """
    for number in range(1, count + 1):
        best: tuple[tuple[int, int], CourseProblem, BusCourse] | None = None
        for index, station in enumerate(plan.stations):
            hook = Hook(id=f"{SPARE}{number}", load_units=lens, drops_mm={station.spot: 0})
            wider = replace(problem, hooks=(*problem.hooks, hook))
            for tees in _inserted(plan, index, hook.id):
                stations = (*plan.stations[:index], replace(station, tees=tees), *plan.stations[index + 1 :])
                longer = BusCourse(stations=stations)
                found = figures(wider, longer)
                rank = (-sum(tee is not None and not tee.startswith(SPARE) for tee in tees), found.fall)
                if found.keeps(problem.limits) and (best is None or rank < best[0]):
                    best = (rank, wider, longer)
        if best is None:
            break
        _, problem, plan = best
    return problem, plan


def _inserted(plan: BusCourse, index: int, name: str) -> list[tuple[str | None, ...]]:
    """Return the tees of a station with one more on its side away from the tap, or on either side of the tap."""
    station: Station = plan.stations[index]
    if None in station.tees:
        return [(*station.tees, name), (name, *station.tees)]
    tap = next(i for i, other in enumerate(plan.stations) if None in other.tees)
    return [(*station.tees, name) if index > tap else (name, *station.tees)]
