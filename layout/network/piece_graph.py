"""A backbone as a graph: what hangs together, and how far apart things are."""

from __future__ import annotations

from collections import deque
from heapq import heappop, heappush
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

_Edge = tuple[str, str, float]
"""The nodes at its ends, and its length in mm."""


class PieceGraph:
    """Nodes and the edges between them; two nodes may have several edges, and a ring is no fault here.

    Parameters
    ----------
    nodes
        Nodes in the order in which they are told of; ends of edges that are not among them follow.
    """

    def __init__(self, nodes: Iterable[str], edges: Iterable[_Edge]) -> None:
        self.edges = tuple(edges)
        self._next: dict[str, list[tuple[str, float]]] = {node: [] for node in nodes}
        for first, second, length in self.edges:
            self._next.setdefault(first, []).append((second, length))
            self._next.setdefault(second, []).append((first, length))

    @property
    def nodes(self) -> Collection[str]:
        """The nodes, in order."""
        return self._next.keys()

    def degree(self, node: str) -> int:
        """Return how many ends of edges arrive at a node."""
        return len(self._next[node])

    def beside(self, node: str) -> set[str]:
        """Return the nodes to which an edge leads from a node."""
        return {other for other, _ in self._next[node]}

    def without(self, node: str) -> PieceGraph:
        """Return the graph without a node and the edges that arrive at it."""
        return PieceGraph(
            (other for other in self._next if other != node), (edge for edge in self.edges if node not in edge[:2])
        )

    def group_of(self, node: str) -> dict[str, int]:
        """Return the nodes that hang together with one, itself among them, and over how many edges each is reached."""
        hops = {node: 0}
        queue = deque([node])
        while queue:
            here = queue.popleft()
            for other, _ in self._next[here]:
                if other not in hops:
                    hops[other] = hops[here] + 1
                    queue.append(other)
        return hops

    def groups(self) -> list[Collection[str]]:
        """Return the groups of nodes that hang together, by their first node."""
        seen: set[str] = set()
        found: list[Collection[str]] = []
        for node in self._next:
            if node not in seen:
                group = self.group_of(node)
                seen.update(group)
                found.append(group.keys())
        return found

    def distances_mm(self, start: str) -> dict[str, float]:
        """Return the shortest way to each node that hangs together with ``start`` (Dijkstra)."""
        reached: dict[str, float] = {}
        queue = [(0.0, start)]
        while queue:
            so_far, node = heappop(queue)
            if node in reached:
                continue
            reached[node] = so_far
            for other, length in self._next[node]:
                if other not in reached:
                    heappush(queue, (so_far + length, other))
        return reached

    def way(self, start: str, end: str) -> list[str]:
        """Return the nodes on a way of the fewest edges, both ends among them; empty where there is none."""
        hops = self.group_of(end)
        if start not in hops:
            return []
        nodes = [start]
        while nodes[-1] != end:
            left = hops[nodes[-1]]
            nodes.append(next(other for other, _ in self._next[nodes[-1]] if hops[other] < left))
        return nodes
