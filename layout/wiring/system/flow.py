"""The greatest current that sources can drive to a point, with every protective device as a capacity.

Conductors, joins and closed contacts carry whatever comes, so each net without its devices is one vertex, and the
devices are the edges. Where they form a tree, two passes of sums are exact; in a ring a maximum flow is worked out.
"""

from __future__ import annotations

import math
from collections import deque
from copy import copy
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass, field
from layout.wiring.system.nets import bare_nets

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping

    from layout.wiring.system.graph import SwitchState, System
    from layout.wiring.system.nets import Nets

INFINITE = math.inf


def max_flow(edges: Iterable[tuple[str, str, float]], sources: Mapping[str, float], sinks: Collection[str]) -> float:
    """Return the greatest flow from all sources together into a set of vertices (Dinic 1970).

    Parameters
    ----------
    edges
        Two vertices and the capacity in both directions.
    sources
        Vertex to the most it gives; infinite is allowed.
    sinks
        Vertices that take everything.

    Returns
    -------
    float
        Infinite where a way of infinite capacity leads from a source without limit to a sink.
    """
    flow = _Dinic()
    for a, b, capacity in edges:
        flow.add(a, b, capacity, capacity)
    for vertex, capacity in sources.items():
        flow.add(" from", vertex, capacity, 0.0)
    for vertex in sinks:
        flow.add(vertex, " to", INFINITE, 0.0)
    return flow.most(" from", " to")


@dataclass(slots=True)
class _Dinic:
    heads: dict[str, list[int]] = field(default_factory=dict)
    ends: list[str] = field(default_factory=list)
    left: list[float] = field(default_factory=list)

    def add(self, a: str, b: str, there: float, back: float) -> None:
        self.heads.setdefault(a, []).append(len(self.ends))
        self.ends.append(b)
        self.left.append(there)
        self.heads.setdefault(b, []).append(len(self.ends))
        self.ends.append(a)
        self.left.append(back)

    def most(self, source: str, sink: str) -> float:
        total = 0.0
        while level := self._levels(source, sink):
            at = dict.fromkeys(self.heads, 0)
            while pushed := self._push(source, sink, level, at):
                total += pushed
                if pushed == INFINITE:
                    return INFINITE
        return total

    def _levels(self, source: str, sink: str) -> dict[str, int]:
        level = {source: 0}
        queue = deque([source])
        while queue:
            here = queue.popleft()
            for edge in self.heads.get(here, ()):
                if self.left[edge] > 1e-9 and self.ends[edge] not in level:
                    level[self.ends[edge]] = level[here] + 1
                    queue.append(self.ends[edge])
        return level if sink in level else {}

    def _push(self, source: str, sink: str, level: Mapping[str, int], at: dict[str, int]) -> float:
        """Send as much as one way bears, and return it; 0 where no way is left in this layering."""
        way: list[int] = []
        here = source
        while here != sink:
            edges = self.heads[here]
            while at[here] < len(edges):
                edge = edges[at[here]]
                if self.left[edge] > 1e-9 and level.get(self.ends[edge], -1) == level[here] + 1:
                    break
                at[here] += 1
            else:
                if not way:
                    return 0.0
                here = self.ends[way.pop() ^ 1]
                at[here] += 1
                continue
            way.append(edges[at[here]])
            here = self.ends[way[-1]]
        amount = min(self.left[edge] for edge in way)
        for edge in way:
            if self.left[edge] != INFINITE:
                self.left[edge] -= amount
            if self.left[edge ^ 1] != INFINITE:
                self.left[edge ^ 1] += amount
        return amount


@dataclass(frozen=True, slots=True, kw_only=True)
class Stress:
    """The greatest current through one conductor.

    Attributes
    ----------
    amps
        Of all sources and devices together; infinite where no device limits it.
    path_a
        Of the widest single way; a return that bears this, but not ``amps``, is worth a look and no more.
    state
        Switch state in which it is that much.
    """

    amps: float
    path_a: float
    state: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Vertex:
    """One end of a device in a net, or a source's post: where current enters the net, and how much at most."""

    node: str
    amps: float


class Currents:
    """What can flow in one switch state, from all sources or from some.

    Parameters
    ----------
    only
        Keys of the sources that count; None takes all.
    """

    def __init__(self, system: System, state: SwitchState, *, only: Collection[str] | None = None) -> None:
        self.system, self.state = system, state
        self.parts: Nets = bare_nets(system, state)
        self._edges: dict[str, list[tuple[str, str, str, float]]] = {}
        self._inner: list[tuple[str, str, str, float]] = []  # devices beside a plain way between the same points
        for guard in system.guards:
            a, b = self.parts.head(guard.a), self.parts.head(guard.b)
            amps = INFINITE if guard.rating_a is None else guard.rating_a
            if a != b:
                self._edges.setdefault(a, []).append((guard.a, guard.b, b, amps))
                self._edges.setdefault(b, []).append((guard.b, guard.a, a, amps))
            else:
                self._inner.append((guard.a, guard.b, a, amps))
        fed = {self.parts.head(source.live) for source in system.sources}
        self._leaves = {part for part, edges in self._edges.items() if len(edges) == 1 and part not in fed}
        self._give(only)
        self._ringed = self._rings() | {part for _, _, part, _ in self._inner}

    def of(self, only: Collection[str]) -> Currents:
        """Return the same for some sources; nets and devices are shared."""
        some = copy(self)
        some._give(only)  # noqa: SLF001 - a copy of itself
        return some

    def _give(self, only: Collection[str] | None) -> None:
        self.sources = {s.live: s for s in self.system.sources if only is None or s.key in only}
        self._through: dict[tuple[str, str], float] = {}
        self._given: dict[str, float] = {}
        for live, source in self.sources.items():
            part = self.parts.head(live)
            limit = INFINITE if source.limit_a is None else source.limit_a
            self._given[part] = self._given.get(part, 0.0) + limit

    def into(self, node: str) -> tuple[Vertex, ...]:
        """Return where current can enter the net of a node, and how much at each place."""
        part = self.parts.head(node)
        found = [
            Vertex(node=live, amps=INFINITE if source.limit_a is None else source.limit_a)
            for live, source in self.sources.items()
            if self.parts.head(live) == part
        ]
        found += [
            Vertex(node=here, amps=self._enters(here, there, far, cap)) for here, there, far, cap in self._at(part)
        ]
        return tuple(vertex for vertex in found if vertex.amps > 0)

    def most(self, node: str) -> float:
        """Return the greatest current that all sources together can drive to a node, A."""
        part = self.parts.head(node)
        if part not in self._ringed:
            return sum(vertex.amps for vertex in self.into(node))
        return self.together([part])

    def into_side(self, node: str, side: Collection[str]) -> float:
        """Return the greatest current into one side of a net that is parted: the places where it can enter are given.

        Parameters
        ----------
        node
            Any node of the net.
        side
            Nodes of devices' ends and sources' posts that lie on that side.
        """
        part = self.parts.head(node)
        if part not in self._ringed:
            return sum(vertex.amps for vertex in self.into(node) if vertex.node in side)
        here = f"{part} here"
        edges = [
            (here if a in side else start, here if b in side else other, cap)
            for start, out in self._edges.items()
            for a, b, other, cap in out
            if a < b
        ]
        edges += [
            (here if a in side else at, here if b in side else at, amps) for a, b, at, amps in self._inner if at == part
        ]
        given: dict[str, float] = {}
        for live, source in self.sources.items():
            at = here if live in side else self.parts.head(live)
            given[at] = given.get(at, 0.0) + (INFINITE if source.limit_a is None else source.limit_a)
        return max_flow(edges, given, [here])

    def together(self, parts: Collection[str], *, without: Collection[str] = ()) -> float:
        """Return the greatest current into several nets at once, each named by its head.

        Parameters
        ----------
        without
            Both ends of a device that is taken out.
        """
        idle = self._leaves - set(parts)  # nothing comes from there, and nothing is asked of it
        edges = [
            (part, far, cap)
            for part, out in self._edges.items()
            if part not in idle
            for here, there, far, cap in out
            if here < there and far not in idle and not (here in without and there in without)
        ]
        return max_flow(edges, self._given, parts)

    def _at(self, part: str) -> list[tuple[str, str, str, float]]:
        return self._edges.get(part, [])

    def _enters(self, here: str, there: str, far: str, cap: float) -> float:
        """Return what one device lets into the net on its side ``here``; sums where devices form a tree."""
        if self.parts.head(here) in self._ringed and far in self._ringed:
            edges = [
                (part, other, amps)
                for part, out in self._edges.items()
                for a, b, other, amps in out
                if a < b and part != self.parts.head(here) and other != self.parts.head(here)
            ]
            given = {part: amps for part, amps in self._given.items() if part != self.parts.head(here)}
            return min(cap, max_flow(edges, given, [far]))
        stack = [(here, there, far, cap)]
        while stack:
            near, beyond, part, most = stack[-1]
            if (near, beyond) in self._through:
                stack.pop()
                continue
            onward = [edge for edge in self._at(part) if edge[:2] != (beyond, near)]
            waiting = [edge for edge in onward if (edge[0], edge[1]) not in self._through]
            if waiting and part not in self._ringed:
                stack += waiting
                continue
            if part in self._ringed:
                amps = self.together([part], without={near, beyond})
            else:
                amps = self._given.get(part, 0.0) + sum(self._through[edge[0], edge[1]] for edge in onward)
            self._through[near, beyond] = min(most, amps)
            stack.pop()
        return self._through[here, there]

    def _rings(self) -> frozenset[str]:
        """Return the nets that lie on a ring of devices: what is left when leaves are taken off again and again."""
        near = {part: [edge[2] for edge in edges] for part, edges in self._edges.items()}
        degree = {part: len(others) for part, others in near.items()}
        leaves = deque(part for part, count in degree.items() if count <= 1)
        gone: set[str] = set()
        while leaves:
            part = leaves.popleft()
            if part in gone:
                continue
            gone.add(part)
            for other in near[part]:
                degree[other] -= 1
                if degree[other] <= 1 and other not in gone:
                    leaves.append(other)
        return frozenset(near) - gone
