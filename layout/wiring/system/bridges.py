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


def cuts(edges: Iterable[tuple[str, str, str]], marked: Iterable[str]) -> Mapping[str, Cut]:
    """Return the edges that are the only way between their two ends.

    Parameters
    ----------
    edges
        Key, first and second node of each; several edges between two nodes are none of them a cut.
    marked
        Nodes that are looked for on both sides, mostly the posts of sources.
    """
    near: dict[str, list[tuple[str, str]]] = {}
    ends: dict[str, tuple[str, str]] = {}
    for key, a, b in edges:
        if a != b:
            near.setdefault(a, []).append((b, key))
            near.setdefault(b, []).append((a, key))
            ends[key] = (a, b)
    wanted = frozenset(marked)
    found: dict[str, Cut] = {}
    depth: dict[str, int] = {}
    for root in near:
        if root in depth:
            continue
        whole, below, parts = _walk(root, near, depth, wanted)
        for node, key in parts:
            found[key] = Cut(key, below[node], whole, ends_below=node == ends[key][1])
    return FrozenMap(found)


def _walk(
    root: str, near: Mapping[str, list[tuple[str, str]]], depth: dict[str, int], wanted: frozenset[str]
) -> tuple[frozenset[str], dict[str, frozenset[str]], list[tuple[str, str]]]:
    """Walk one connected part; return its marked nodes, those below each node of the walk, and its cut edges.

    A cut edge comes with the node it leads down to.
    """
    depth[root] = 0
    low = {root: 0}
    came: dict[str, tuple[str, str]] = {}
    order = [root]
    stack = [(root, iter(near[root]))]
    while stack:
        node, onward = stack[-1]
        for other, key in onward:
            if came.get(node, ("", ""))[1] == key:
                continue
            if other in depth:
                low[node] = min(low[node], depth[other])
                continue
            depth[other] = low[other] = len(stack)
            came[other] = (node, key)
            order.append(other)
            stack.append((other, iter(near[other])))
            break
        else:
            stack.pop()
            if stack:
                low[stack[-1][0]] = min(low[stack[-1][0]], low[node])
    below: dict[str, frozenset[str]] = {}
    under: dict[str, list[frozenset[str]]] = {}
    for node in reversed(order):
        mine = under.pop(node, [])
        if node in wanted:
            mine.append(frozenset((node,)))
        below[node] = mine[0] if len(mine) == 1 else frozenset().union(*mine)
        if below[node] and node in came:
            under.setdefault(came[node][0], []).append(below[node])
    parts = [(node, came[node][1]) for node in order[1:] if low[node] > depth[came[node][0]]]
    return below[root], below, parts
