"""Shortest allowed ways through the wireways, each class only where it may lie."""

from __future__ import annotations

import heapq
import math
from functools import lru_cache
from typing import TYPE_CHECKING

from layout.wiring.routing.run_lengths import route_cost_mm

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layout.project.model.project import Project

Route = tuple[str, ...]
_Near = dict[str, list[tuple[str, str, float]]]  # wireway, place at its other end and length, by place
_Came = dict[str, tuple[str, str]]  # wireway that leads to a place, and the place before it, by place


class Router:
    """Finds ways between places along wireways; of two between the same places each counts."""

    def __init__(self, project: Project) -> None:
        self._wireways = {key: way for key, way in project.wireways.items() if way.aboard != "remove"}
        self._near: dict[str, _Near] = {}
        self._trees: dict[tuple[str, str], _Came] = {}
        self.around = lru_cache(maxsize=20_000)(self._around)

    def shortest(self, run_class: str, start: str, end: str) -> Route | None:
        """Return the shortest way; None where there is none, nothing where both places are one."""
        if start == end:
            return ()
        if (run_class, start) not in self._trees:
            self._trees[run_class, start] = _walked(self._lists(run_class), start)
        return _back(self._trees[run_class, start], start, end)

    def _around(self, run_class: str, start: str, end: str, closed: frozenset[str]) -> Route | None:
        """Return the shortest way that keeps out of some wireways; None where there is none."""
        return _back(_walked(self._lists(run_class), start, end, closed), start, end)

    def _lists(self, run_class: str) -> _Near:
        """Return what leads on from each place, for a class of cable."""
        if run_class not in self._near:
            near: dict[str, list[tuple[str, str, float]]] = {}
            for key, way in self._wireways.items():
                if run_class in way.carries:
                    step = route_cost_mm(way)
                    near.setdefault(way.from_, []).append((key, way.to, step))
                    near.setdefault(way.to, []).append((key, way.from_, step))
            self._near[run_class] = near
        return self._near[run_class]

    def several(self, run_class: str, start: str, end: str, count: int) -> list[Route]:
        """Return up to ``count`` ways, shortest first: the shortest, and those that keep out of one of its wireways."""
        best = self.around(run_class, start, end, frozenset())
        if best is None:
            return []
        others = [self.around(run_class, start, end, frozenset({key})) for key in best]
        found = dict.fromkeys(route for route in (best, *others) if route is not None)
        return sorted(found, key=lambda route: (self.length_mm(route), route))[:count]

    def length_mm(self, route: Iterable[str]) -> float:
        """Return the length of a way, mm; a wireway of unknown length counts as very long."""
        return sum(route_cost_mm(self._wireways[key]) for key in route)

    def follows(self, route: Iterable[str], start: str, end: str) -> bool:
        """Tell whether wireways in this order lead from one place to the other without a break."""
        here = start
        for key in route:
            way = self._wireways.get(key)
            if way is None or here not in (way.from_, way.to):
                return False
            here = way.to if here == way.from_ else way.from_
        return here == end


def _walked(near: _Near, start: str, end: str | None = None, closed: frozenset[str] = frozenset()) -> _Came:
    """Return how each place is come to on the shortest way from one (Dijkstra 1959), until the end is reached.

    Repair asks for thousands of ways, so they are walked on plain lists. Of two as long the first found counts.
    """
    queue: list[tuple[float, int, str]] = [(0.0, 0, start)]
    came: _Came = {}
    best = {start: 0.0}
    done: set[str] = set()
    pushed = 0
    while queue:
        length, _, here = heapq.heappop(queue)
        if here in done:
            continue
        if here == end:
            break
        done.add(here)
        for key, other, step in near.get(here, ()):
            if other not in done and key not in closed and length + step < best.get(other, math.inf):
                best[other] = length + step
                came[other] = (key, here)
                pushed += 1
                heapq.heappush(queue, (length + step, pushed, other))
    return came


def _back(came: _Came, start: str, end: str) -> Route | None:
    """Return the wireways from the start to a place, in order; None where nothing led there."""
    passed: list[str] = []
    while end != start:
        if end not in came:
            return None
        key, end = came[end]
        passed.append(key)
    return tuple(reversed(passed))
