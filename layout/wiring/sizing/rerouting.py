"""Overfull wireways: send the cheapest cables another way, a bounded number of times, always in the same order."""

from __future__ import annotations

import heapq
from collections import defaultdict
from typing import TYPE_CHECKING

from layout.standards.conduit import circle_mm2
from layout.wiring.routing.fill import room_mm2

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from layout.project.model.project import Project
    from layout.wiring.routing.routes import Route, Router
    from layout.wiring.sizing.segment_state import SegmentState

MOST_MOVES = 3
"""How often one segment may be sent another way; with it the repair always ends."""


class Occupancy:
    """Cables in each wireway, by count and area, kept up to date while segments move."""

    def __init__(self, project: Project, plans: Iterable[SegmentState]) -> None:
        self._project = project
        self.inside: dict[str, dict[str, SegmentState]] = defaultdict(dict)
        self._count: dict[str, int] = defaultdict(int)
        self._area: dict[str, float] = defaultdict(float)
        for plan in plans:
            self.add(plan)

    def add(self, plan: SegmentState) -> None:
        """Lay a segment into the wireways of its route."""
        cables, area = plan.cables, cable_area_mm2(plan)
        for key in plan.route or ():
            self.inside[key][plan.segment.key] = plan
            self._count[key] += cables
            self._area[key] += area

    def take_out(self, plan: SegmentState) -> None:
        """Take a segment out of the wireways of its route."""
        for key in plan.route or ():
            del self.inside[key][plan.segment.key]
            self._count[key] -= plan.cables
            self._area[key] -= cable_area_mm2(plan)

    def area_mm2(self, key: str) -> float:
        """Return the area of all cables in a wireway."""
        return self._area[key]

    def over_mm2(self, key: str, *, cables: int = 0, area: float = 0.0) -> float:
        """Return by how much a wireway is over its limit with so many more cables in it; 0 where it is not."""
        count = self._count[key] + cables
        room = room_mm2(self._project.wireways[key], count)
        if room is None or count == 0:
            return 0.0
        return max(0.0, self._area[key] + area - room)

    def overfull(self) -> list[str]:
        """Return the overfull wireways in the file's order."""
        return [key for key in self._project.wireways if self.inside.get(key) and self.over_mm2(key) > 1e-9]


def cable_area_mm2(plan: SegmentState) -> float:
    """Return the area of all cables of a segment; a cable without diameter counts 0 here and has its own finding."""
    od = plan.od_mm
    return 0.0 if od is None else plan.cables * circle_mm2(od)


def reroute(project: Project, plans: Iterable[SegmentState], router: Router) -> list[SegmentState]:
    """Move segments out of overfull wireways where another way has room; cables of the networks stay.

    Returns
    -------
    list
        The segments that were moved, in order. What stays overfull is left for the solver or a finding.
    """
    movable = [plan for plan in plans if plan.route]
    occupancy = Occupancy(project, movable)
    moved: list[SegmentState] = []
    closed = frozenset(occupancy.overfull())
    for key in sorted(closed, key=lambda name: (-occupancy.over_mm2(name), name)):
        for plan, route in _out_of(key, occupancy, router, closed):
            occupancy.take_out(plan)
            plan.route = route
            plan.moves += 1
            occupancy.add(plan)
            moved.append(plan)
    return moved


def _out_of(
    key: str, occupancy: Occupancy, router: Router, closed: frozenset[str]
) -> Iterator[tuple[SegmentState, Route]]:
    """Yield the segments to move out of a wireway until it is no longer overfull, cheapest first.

    The cost is the extra length for the area it frees. It can only rise while others move, so it is worked out again
    when a segment comes up, and the segment goes back into the queue if it no longer is the cheapest.
    """
    queue = []
    for name, plan in occupancy.inside[key].items():
        if not plan.fixed_route and plan.moves < MOST_MOVES and cable_area_mm2(plan) > 0:
            queue.append((0.0, name))
    heapq.heapify(queue)
    while queue and occupancy.over_mm2(key) > 1e-9:
        cost, name = heapq.heappop(queue)
        plan = occupancy.inside[key][name]
        route = _other_way(occupancy, plan, cable_area_mm2(plan), router, closed)
        if route is None:
            continue
        extra = router.length_mm(route) - router.length_mm(plan.route or ())
        now = extra * plan.cables / cable_area_mm2(plan)
        if now > cost and queue and (now, name) > queue[0]:
            heapq.heappush(queue, (now, name))
            continue
        yield plan, route


def _other_way(
    occupancy: Occupancy, plan: SegmentState, area: float, router: Router, closed: frozenset[str]
) -> Route | None:
    start, end = (site.location for site in plan.sites)
    if start is None or end is None:
        return None
    shut = closed
    for _ in range(4):
        route: Route | None = router.around(plan.segment.run_class, start, end, shut)
        if route is None:
            return None
        here = set(plan.route or ())
        full = [k for k in route if k not in here and occupancy.over_mm2(k, cables=plan.cables, area=area) > 1e-9]
        if not full:
            return route
        shut = shut | frozenset(full)
    return None
