"""Cut edges: what falls apart when one edge of the graph is taken out (Tarjan 1974, in one pass, without recursion)."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from layout.frozen import FrozenMap
from layout.wiring.system.graph import EARTH_POLES

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from layout.wiring.system.graph import SwitchState, System


class Cut(NamedTuple):
    """An edge whose loss parts its two ends.

    Attributes
    ----------
    below, whole
        Marked nodes on the far side of the edge from where the walk began, and of the whole part it lies in.
    ends_below
        Whether the far side is that of the edge's second node.
    """

    key: str
    below: frozenset[str]
    whole: frozenset[str]
    ends_below: bool

    @property
    def on_a(self) -> frozenset[str]:
        """Marked nodes on the side of the edge's first node."""
        return self.whole - self.below if self.ends_below else self.below

    @property
    def on_b(self) -> frozenset[str]:
        """Marked nodes on the side of the edge's second node."""
        return self.below if self.ends_below else self.whole - self.below


def edges_of(system: System, state: SwitchState) -> Iterator[tuple[str, str, str]]:
    """Yield key and both nodes of every edge that carries load current in a state; joins go by their ends."""
    for conductor in system.conductors:
        if conductor.pole not in EARTH_POLES and conductor.pole not in ("data", "antenna"):
            yield conductor.key, conductor.start, conductor.end
    for guard in system.guards:
        yield guard.key, guard.a, guard.b
    for join in system.joins:
        yield f"{join.a} = {join.b}", join.a, join.b
    for contact in system.closed(state):
        yield contact.key, contact.a, contact.b


class Walked(NamedTuple):
    """One connected part as it was walked: its nodes in order, how each was come by, and its cut edges.

    A cut edge comes with the node that it leads down to, and whether that is its second node.
    """

    order: list[str]
    came: dict[str, str]
    parting: list[tuple[str, str, bool]]


def cuts(edges: Iterable[tuple[str, str, str]], marked: Iterable[str]) -> Mapping[str, Cut]:
    """Return the edges that are the only way between their two ends.

    Parameters
    ----------
    edges
        Key, first and second node of each; several edges between two nodes are none of them a cut.
    marked
        Nodes that are looked for on both sides, mostly the posts of sources.
    """
    return _marked(_walked(edges), marked)


def cuts_in(system: System, state: SwitchState, marked: Iterable[str]) -> Mapping[str, Cut]:
    """Return the edges of a state that are the only way between their ends; it is walked once for all who ask."""
    if state.name not in system.kept_walks:
        system.kept_walks[state.name] = _walked(edges_of(system, state))
    return _marked(system.kept_walks[state.name], marked)


def _marked(walks: Iterable[Walked], marked: Iterable[str]) -> Mapping[str, Cut]:
    wanted = frozenset(marked)
    found: dict[str, Cut] = {}
    for order, came, parting in walks:
        below: dict[str, frozenset[str]] = {}
        under: dict[str, list[frozenset[str]]] = {}
        for node in reversed(order):
            mine = under.pop(node, [])
            if node in wanted:
                mine.append(frozenset((node,)))
            below[node] = mine[0] if len(mine) == 1 else frozenset().union(*mine)
            if mine and node in came:
                under.setdefault(came[node], []).append(below[node])
        whole = below[order[0]]
        for node, key, is_second in parting:
            found[key] = Cut(key, below[node], whole, is_second)
    return FrozenMap(found)


def _walked(edges: Iterable[tuple[str, str, str]]) -> list[Walked]:
    near: dict[str, list[tuple[str, str, bool]]] = {}
    for key, a, b in edges:
        if a != b:
            near.setdefault(a, []).append((b, key, True))
            near.setdefault(b, []).append((a, key, False))
    depth: dict[str, int] = {}
    return [_walk(root, near, depth) for root in near if root not in depth]


def _walk(root: str, near: Mapping[str, list[tuple[str, str, bool]]], depth: dict[str, int]) -> Walked:
    depth[root] = 0
    low = {root: 0}
    came: dict[str, str] = {}
    by: dict[str, tuple[str, bool]] = {root: ("", False)}
    order = [root]
    stack = [(root, "", iter(near[root]))]
    while stack:
        node, arrived, onward = stack[-1]
        for other, key, is_second in onward:
            if key == arrived:
                continue
            if other in depth:
                low[node] = min(low[node], depth[other])
                continue
            depth[other] = low[other] = len(stack)
            came[other], by[other] = node, (key, is_second)
            order.append(other)
            stack.append((other, key, iter(near[other])))
            break
        else:
            stack.pop()
            if stack:
                above = stack[-1][0]
                low[above] = min(low[above], low[node])
    parting = [(node, *by[node]) for node in order[1:] if low[node] > depth[came[node]]]
    return Walked(order, came, parting)
