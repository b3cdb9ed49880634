"""Shortest allowed ways through the wireways, each class only where it may lie."""

from __future__ import annotations

import heapq
import math
from functools import lru_cache
from typing import TYPE_CHECKING

from layout.wiring.routing.run_lengths import route_cost_mm

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    import networkx as nx

    from layout.project.model.project import Project

Route = tuple[str, ...]


class Router:
    """Finds ways between places. Each wireway is a node of its own, so that two between the same places stay two."""

    def __init__(self, project: Project) -> None:
        self._wireways = {key: way for key, way in project.wireways.items() if way.aboard != "remove"}
        self._graphs: dict[str, nx.Graph[tuple[str, str]]] = {}
        self._trees: dict[tuple[str, str], Mapping[tuple[str, str], list[tuple[str, str]]]] = {}
        self._near: dict[str, dict[str, list[tuple[str, str, float]]]] = {}
        self.around = lru_cache(maxsize=20_000)(self._around)

    def graph(self, run_class: str) -> nx.Graph[tuple[str, str]]:
        """Return the graph of places and wireways that a class may use."""
        import networkx as nx  # kept out of start-up

        if run_class not in self._graphs:
            graph: nx.Graph[tuple[str, str]] = nx.Graph()
            for key, way in self._wireways.items():
                if run_class in way.carries:
                    half = route_cost_mm(way) / 2
                    graph.add_edge(("place", way.from_), ("way", key), weight=half)
                    graph.add_edge(("way", key), ("place", way.to), weight=half)
            self._graphs[run_class] = graph
        return self._graphs[run_class]

    def shortest(self, run_class: str, start: str, end: str) -> Route | None:
        """Return the shortest way; None where there is none, nothing where both places are one."""
        import networkx as nx

        if start == end:
            return ()
        graph = self.graph(run_class)
        root = ("place", start)
        if root not in graph:
            return None
        if (run_class, start) not in self._trees:
            self._trees[run_class, start] = nx.single_source_dijkstra_path(graph, root)
        nodes = self._trees[run_class, start].get(("place", end))
        return None if nodes is None else _ways(nodes)

    def _around(self, run_class: str, start: str, end: str, closed: frozenset[str]) -> Route | None:
        """Return the shortest way that keeps out of some wireways; None where there is none.

        Repair asks for thousands of these, so they are walked on plain lists rather than on a view of the graph.
        """
        near = self._lists(run_class)
        queue: list[tuple[float, int, str]] = [(0.0, 0, start)]
        came: dict[str, tuple[str, str]] = {}
        best: dict[str, float] = {}
        done: set[str] = set()
        pushed = 0
        while queue:
            length, _, here = heapq.heappop(queue)
            if here in done:
                continue
            done.add(here)
            if here == end:
                return _back(came, start, end)
            for key, other, step in near.get(here, ()):
                if other not in done and key not in closed and length + step < best.get(other, math.inf):
                    best[other] = length + step
                    came[other] = (key, here)
                    pushed += 1
                    heapq.heappush(queue, (length + step, pushed, other))
        return None

    def _lists(self, run_class: str) -> dict[str, list[tuple[str, str, float]]]:
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


def _back(came: Mapping[str, tuple[str, str]], start: str, end: str) -> Route:
    found: list[str] = []
    while end != start:
        key, end = came[end]
        found.append(key)
    return tuple(reversed(found))


def _ways(nodes: Iterable[tuple[str, str]]) -> Route:
    return tuple(key for kind, key in nodes if kind == "way")
