"""Nets: which nodes are one piece of metal in a switch state."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass
from layout.wiring.system.graph import EARTH_POLES

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Mapping

    from layout.wiring.system.graph import SwitchState, System


@dataclass(frozen=True)
class Nets:
    """The nets of one state; each net goes by one of its nodes."""

    head_of: Mapping[str, str]

    def head(self, node: str) -> str:
        """Return the node that stands for the whole net of a node."""
        return self.head_of.get(node, node)

    def joined(self, first: str | None, second: str | None) -> bool:
        """Tell whether two nodes are one net; a node that is not there joins nothing."""
        return first is not None and second is not None and self.head(first) == self.head(second)

    def members(self) -> Mapping[str, tuple[str, ...]]:
        """Return the nodes of each net by its head, sorted."""
        by: dict[str, list[str]] = {}
        for node in sorted(self.head_of):
            by.setdefault(self.head(node), []).append(node)
        return FrozenMap({head: tuple(nodes) for head, nodes in by.items()})


def merged(pairs: Iterable[tuple[str, str]], nodes: Iterable[str] = ()) -> Nets:
    """Return the nets that pairs of joined nodes make (union by size, halved paths)."""
    parent: dict[str, str] = {node: node for node in nodes}
    size: dict[str, int] = dict.fromkeys(parent, 1)

    def root(node: str) -> str:
        parent.setdefault(node, node)
        size.setdefault(node, 1)
        while parent[node] != node:
            parent[node] = parent[parent[node]]
            node = parent[node]
        return node

    for first, second in pairs:
        a, b = root(first), root(second)
        if a == b:
            continue
        if size[a] < size[b]:
            a, b = b, a
        parent[b] = a
        size[a] += size[b]
    return Nets(FrozenMap({node: root(node) for node in list(parent)}))


def opened_state(system: System) -> SwitchState | None:
    """Return the state in which every switch is open; None where none is among the states."""
    return next((state for state in system.states if state.all_open), None)


def different_states(system: System) -> tuple[SwitchState, ...]:
    """Return the states that close different contacts, the first of each kind, in order."""
    found: dict[tuple[tuple[str, ...], bool], SwitchState] = {}
    for state in system.states:
        found.setdefault((tuple(contact.key for contact in system.closed(state)), state.short_time), state)
    return tuple(found.values())


def nets(
    system: System,
    state: SwitchState,
    *,
    without: Collection[str] = (),
    earth: bool = False,
) -> Nets:
    """Return the nets of a state: what conductors, devices, joins and closed contacts make one piece of metal.

    Parameters
    ----------
    without
        Keys of conductors and guards, and of whole devices, that are taken out.
    earth
        Whether protective and bonding conductors count; left out, they join nothing.
    """
    kept = (state.name, "with earth" if earth else "")
    if without or kept not in system.kept_nets:
        found = merged(_pairs(system, state, frozenset(without), earth=earth), system.node)
        if without:
            return found
        system.kept_nets[kept] = found
    return system.kept_nets[kept]


def bare_nets(system: System, state: SwitchState) -> Nets:
    """Return the nets of a state with every protective device taken out; worked out once, since many laws ask."""
    kept = (state.name, "bare")
    if kept not in system.kept_nets:
        system.kept_nets[kept] = nets(system, state, without={"", *(guard.device for guard in system.guards)})
    return system.kept_nets[kept]


def _pairs(system: System, state: SwitchState, out: frozenset[str], *, earth: bool) -> Iterator[tuple[str, str]]:
    for conductor in system.conductors:
        if conductor.pole in ("data", "antenna") or (conductor.pole in EARTH_POLES and not earth):
            continue
        if conductor.key not in out:
            yield conductor.start, conductor.end
    for guard in system.guards:
        if guard.key not in out and guard.device not in out:
            yield guard.a, guard.b
    for join in system.joins:
        yield join.a, join.b
    for contact in system.closed(state):
        if contact.key not in out:
            yield contact.a, contact.b
