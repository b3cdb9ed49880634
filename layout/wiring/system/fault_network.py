"""Shorts in a network of resistances and sources: leaves are stripped, the meshed rest is solved at once.

A short between two nodes is worked out by Thévenin's theorem. Most of a boat's conductors are leaves of a tree: what
hangs there adds its resistance and nothing else, so only the nodes between sources and in rings go into a matrix.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from layout.light_dataclass import dataclass
from layout.wiring.system.graph import EARTH_POLES

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from numpy.typing import NDArray

    from layout.wiring.system.graph import Conductor, SwitchState, System

LEAST_OHM = 1e-6
"""Resistance that stands for none in the meshed rest, where a matrix can't hold a zero."""
ABSENT_OHM = 1e6
"""Resistance by which a conductor of unknown resistance counts as not there."""
TOO_LITTLE_A = 1e-2
"""A short below this runs over such a conductor."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Branch:
    """A conductor or a protective device between two nodes; its resistance is given when currents are asked."""

    key: str
    a: str
    b: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Infeed:
    """A source as a fault sees it: open-circuit volts behind an impedance, ohm (imaginary where it is a reactance)."""

    source: str
    live: str
    back: str
    volts: float
    ohm: complex


def network_of(system: System, state: SwitchState) -> tuple[FaultNetwork, tuple[Conductor, ...]]:
    """Return the network of a switch state, and its conductors: the first branches; the devices' poles are the others.

    Protective and bonding conductors, data and antenna cables are left out.
    """
    wires = tuple(c for c in system.conductors if c.pole not in EARTH_POLES and c.pole not in ("data", "antenna"))
    branches = [Branch(key=c.key, a=c.start, b=c.end) for c in wires]
    branches += [Branch(key=g.key, a=g.a, b=g.b) for g in system.guards]
    ties = [(contact.a, contact.b) for contact in system.closed(state)]
    ties += [(join.a, join.b) for join in system.joins]
    return FaultNetwork(branches, ties, ((s.live, s.back) for s in system.sources)), wires


class FaultNetwork:
    """What is joined in one switch state, without its leaves.

    Parameters
    ----------
    branches
        Everything with a resistance, of all poles that carry current.
    ties
        Pairs of nodes that are one piece of metal: closed contacts, joins.
    posts
        Nodes at which sources feed in; they are never stripped.
    """

    def __init__(
        self, branches: Sequence[Branch], ties: Iterable[tuple[str, str]], posts: Iterable[tuple[str, str]]
    ) -> None:
        self._number: dict[str, int] = {}
        self._tied = _tied(ties, self._number)
        numbers = [(self._of(branch.a), self._of(branch.b)) for branch in branches]
        keep = {self._of(node) for pair in posts for node in pair}
        count = len(self._number)
        self.branch_at: Mapping[str, int] = {branch.key: at for at, branch in enumerate(branches)}
        self._keys = tuple(branch.key for branch in branches)
        self._ends = numbers
        at: list[list[int]] = [[] for _ in range(count)]
        for index, (a, b) in enumerate(numbers):
            if a != b:
                at[a].append(index)
                at[b].append(index)
        self._strip(at, keep)

    def _of(self, node: str) -> int:
        """Return the number of a node; those that are tied share one."""
        head = self._tied.get(node, node)
        return self._number.setdefault(head, len(self._number))

    def _strip(self, at: list[list[int]], keep: set[int]) -> None:
        degree = [len(branches) for branches in at]
        self._parent = list(range(len(at)))
        self._leaf_branch = [-1] * len(at)
        leaf_of: dict[int, int] = {}
        order: list[int] = []
        ready = [node for node in range(len(at)) if degree[node] == 1 and node not in keep]
        while ready:
            node = ready.pop()
            if degree[node] != 1:
                continue
            branch = next(index for index in at[node] if index not in leaf_of)
            a, b = self._ends[branch]
            parent = b if a == node else a
            leaf_of[branch] = node
            self._parent[node], self._leaf_branch[node] = parent, branch
            degree[node] = 0
            degree[parent] -= 1
            order.append(node)
            if degree[parent] == 1 and parent not in keep:
                ready.append(parent)
        self._order = tuple(reversed(order))
        self._leaf_of = leaf_of
        self._head = list(range(len(at)))
        for node in self._order:
            self._head[node] = self._head[self._parent[node]]
        self._meshed = [index for index, (a, b) in enumerate(self._ends) if a != b and index not in leaf_of]

    def node(self, key: str) -> int | None:
        """Return the number of a node, None where nothing is joined to it."""
        return self._number.get(self._tied.get(key, key))

    def is_leaf_side(self, branch: str, node: str) -> bool | None:
        """Tell whether a node, an end of a branch, is its outer end; None where the branch is in the meshed rest."""
        leaf = self._leaf_of.get(self.branch_at[branch])
        return None if leaf is None else leaf == self.node(node)

    def is_bridged(self, branch: str) -> bool:
        """Tell whether both ends of a branch are one piece of metal without it."""
        a, b = self._ends[self.branch_at[branch]]
        return a == b

    def leading_to(self, key: str) -> tuple[str, ...]:
        """Return the branches from a node up to the meshed rest, which carry all that is drawn there."""
        number = self.node(key)
        found = []
        while number is not None and self._leaf_branch[number] >= 0:
            found.append(self._keys[self._leaf_branch[number]])
            number = self._parent[number]
        return tuple(found)

    def meshed(self) -> tuple[str, ...]:
        """Return the branches of the meshed rest."""
        return tuple(self._keys[index] for index in self._meshed)

    def with_sources(self, ohm: Sequence[float], infeeds: Iterable[Infeed]) -> Shorts:
        """Return the shorts with these resistances (ohm, in the order of the branches; nan: not known) and sources."""
        return Shorts(self, ohm, tuple(infeeds))


def _tied(ties: Iterable[tuple[str, str]], number: dict[str, int]) -> dict[str, str]:
    parent: dict[str, str] = {}

    def root(node: str) -> str:
        parent.setdefault(node, node)
        while parent[node] != node:
            parent[node] = parent[parent[node]]
            node = parent[node]
        return node

    for a, b in ties:
        parent[root(a)] = root(b)
    tied = {node: root(node) for node in list(parent)}
    for head in tied.values():
        number.setdefault(head, len(number))
    return tied


class Shorts:
    """Currents of shorts between any two nodes of a network with given resistances and sources."""

    def __init__(self, network: FaultNetwork, ohm: Sequence[float], infeeds: tuple[Infeed, ...]) -> None:
        self._network = network
        self._ohm = ohm
        climb = [0.0] * len(network._parent)  # noqa: SLF001
        for node in network._order:  # noqa: SLF001
            climb[node] = climb[network._parent[node]] + ohm[network._leaf_branch[node]]  # noqa: SLF001
        self._climb = climb
        self._spots: dict[str, tuple[int, int, float] | None] = {}
        self._solve(infeeds)

    def _solve(self, infeeds: tuple[Infeed, ...]) -> None:
        net = self._network
        meshed = [(index, *net._ends[index]) for index in net._meshed]  # noqa: SLF001
        feeds = [
            (net._of(feed.live), net._of(feed.back), feed.volts, feed.ohm)  # noqa: SLF001
            for feed in infeeds
        ]
        feeds = [feed for feed in feeds if feed[0] != feed[1]]
        neighbours: dict[int, list[int]] = {}
        for a, b in [(a, b) for _, a, b in meshed] + [(a, b) for a, b, _, _ in feeds]:
            neighbours.setdefault(a, []).append(b)
            neighbours.setdefault(b, []).append(a)
        self._place: dict[int, tuple[int, int]] = {}
        parts: list[list[int]] = []
        for first in sorted(neighbours):
            if first in self._place:
                continue
            part: list[int] = []
            waiting = [first]
            self._place[first] = (len(parts), 0)
            while waiting:
                node = waiting.pop()
                self._place[node] = (len(parts), len(part))
                part.append(node)
                for other in neighbours[node]:
                    if other not in self._place:
                        self._place[other] = (len(parts), 0)
                        waiting.append(other)
            parts.append(part)
        matrices = [np.zeros((len(part), len(part)), dtype=complex) for part in parts]
        currents = [np.zeros(len(part), dtype=complex) for part in parts]
        for index, a, b in meshed:
            value = self._ohm[index]
            _stamp(matrices, self._place, a, b, 1 / (ABSENT_OHM if math.isnan(value) else max(value, LEAST_OHM)))
        for a, b, volts, ohm in feeds:
            admittance = 1 / (ohm if abs(ohm) > LEAST_OHM else LEAST_OHM)
            _stamp(matrices, self._place, a, b, admittance)
            part_at, row = self._place[a]
            currents[part_at][row] += volts * admittance
            currents[part_at][self._place[b][1]] -= volts * admittance
        fed = {self._place[a][0] for a, _, _, _ in feeds}
        self._impedance: list[NDArray[np.complex128] | None] = []
        self._volts: list[NDArray[np.complex128]] = []
        for at, (matrix, current) in enumerate(zip(matrices, currents, strict=True)):
            inverse = _grounded_inverse(matrix) if at in fed else None
            self._impedance.append(inverse)
            self._volts.append(inverse @ current if inverse is not None else current)

    def _at(self, node: str) -> tuple[int, int, float] | None:
        """Return the part, the row in it and the resistance up to there of a node; None where nothing is joined."""
        if node not in self._spots:
            self._spots[node] = self._spot(node)
        return self._spots[node]

    def _spot(self, node: str) -> tuple[int, int, float] | None:
        number = self._network.node(node)
        if number is None:
            return None
        head = self._network._head[number]  # noqa: SLF001
        place = self._place.get(head)
        return None if place is None else (*place, self._climb[number])

    def total_a(self, live: str, back: str) -> float | None:
        """Return the current of a dead short between two nodes, A; nan where a resistance on its way is not known.

        None where no source drives one.
        """
        pair = self._between(live, back)
        return None if pair is None else _told(abs(pair[0]))

    def through_a(self, branch: str, live: str, back: str) -> float | None:
        """Return what flows through a branch of the meshed rest in such a short, A."""
        pair = self._between(live, back)
        if pair is None:
            return None
        amps, part, first, second = pair
        index = self._network.branch_at[branch]
        a, b = self._network._ends[index]  # noqa: SLF001
        if self._place.get(a, (-1, 0))[0] != part:
            return 0.0
        impedance = self._impedance[part]
        assert impedance is not None  # told by ``_between``
        row_a, row_b = self._place[a][1], self._place[b][1]
        volts = self._volts[part]
        across = volts[row_a] - volts[row_b]
        across -= amps * (
            impedance[row_a, first] - impedance[row_a, second] - impedance[row_b, first] + impedance[row_b, second]
        )
        return _told(float(abs(across / max(self._ohm[index], LEAST_OHM))))

    def open_v(self, live: str, back: str) -> float | None:
        """Return the voltage between two nodes with nothing drawn, V; None where no source drives one."""
        p, f = self._at(live), self._at(back)
        if p is None or f is None or p[0] != f[0] or self._impedance[p[0]] is None:
            return None
        return float(abs(self._volts[p[0]][p[1]] - self._volts[p[0]][f[1]]))

    def sag_v(self, amps: float, drawn: tuple[str, str], seen: tuple[str, str]) -> float | None:
        """Return by how much a current drawn between one pair of nodes lowers the voltage between another pair, V.

        None where no source joins the pairs, nan where a resistance on the way is not known.
        """
        return self.sags_v(amps, drawn, (seen,))[0]

    def sags_v(self, amps: float, drawn: tuple[str, str], seen: Iterable[tuple[str, str]]) -> list[float | None]:
        """Return the same for many pairs."""
        pairs = list(seen)
        p, f = self._at(drawn[0]), self._at(drawn[1])
        impedance = self._impedance[p[0]] if p is not None else None
        if p is None or f is None or p[0] != f[0] or impedance is None:
            return [None] * len(pairs)
        column = (impedance[:, p[1]] - impedance[:, f[1]]).tolist()
        ways = [self._way_up(node) for node in drawn]
        found: list[float | None] = []
        for live, back in pairs:
            first, second = self._at(live), self._at(back)
            if first is None or second is None or first[0] != p[0] or second[0] != p[0]:
                found.append(None)
                continue
            total = column[first[1]] - column[second[1]]
            for way, row, sign in zip(ways, (p[1], f[1]), (1, -1), strict=True):
                # what hangs on another node of the meshed rest shares no leaf with it
                total += sign * self._shared(way, live) if first[1] == row else 0.0
                total -= sign * self._shared(way, back) if second[1] == row else 0.0
            found.append(amps * (math.nan if math.isnan(total.real) else abs(total)))
        return found

    def _way_up(self, key: str) -> dict[int, float]:
        """Return the nodes from a node up to the meshed rest, each with its resistance from there."""
        net, number = self._network, self._network.node(key)
        assert number is not None
        way = {number: self._climb[number]}
        while net._leaf_branch[number] >= 0:  # noqa: SLF001
            number = net._parent[number]  # noqa: SLF001
            way[number] = self._climb[number]
        return way

    def _shared(self, way: dict[int, float], key: str) -> float:
        """Return the resistance that a node's way up has in common with another one's."""
        net, number = self._network, self._network.node(key)
        assert number is not None
        while number not in way:
            if net._leaf_branch[number] < 0:  # noqa: SLF001
                return 0.0
            number = net._parent[number]  # noqa: SLF001
        return way[number]

    def share(self, branch: str, live: str, back: str) -> float:
        """Return which share of a current drawn between two nodes flows through a branch of the meshed rest."""
        p, f = self._at(live), self._at(back)
        a, b = self._network._ends[self._network.branch_at[branch]]  # noqa: SLF001
        if p is None or f is None or self._place.get(a, (-1, 0))[0] != p[0] or self._impedance[p[0]] is None:
            return 0.0
        impedance = self._impedance[p[0]]
        assert impedance is not None
        row_a, row_b = self._place[a][1], self._place[b][1]
        across = impedance[row_a, p[1]] - impedance[row_a, f[1]] - impedance[row_b, p[1]] + impedance[row_b, f[1]]
        return float(abs(across)) / max(self._ohm[self._network.branch_at[branch]], LEAST_OHM)

    def _between(self, live: str, back: str) -> tuple[complex, int, int, int] | None:
        p, f = self._at(live), self._at(back)
        if p is None or f is None or p[0] != f[0]:
            return None
        part, first, second = p[0], p[1], f[1]
        impedance = self._impedance[part]
        if impedance is None or first == second:
            return None
        open_v = self._volts[part][first] - self._volts[part][second]
        own = impedance[first, first] + impedance[second, second] - impedance[first, second] - impedance[second, first]
        return complex(open_v) / complex(own + p[2] + f[2]), part, first, second


def _told(amps: float) -> float:
    """Return a current, nan where it runs only over what is not known."""
    return math.nan if amps < TOO_LITTLE_A else amps


def _stamp(
    matrices: list[NDArray[np.complex128]], place: Mapping[int, tuple[int, int]], a: int, b: int, siemens: complex
) -> None:
    part, row = place[a]
    other = place[b][1]
    matrix = matrices[part]
    matrix[row, row] += siemens
    matrix[other, other] += siemens
    matrix[row, other] -= siemens
    matrix[other, row] -= siemens


def _grounded_inverse(matrix: NDArray[np.complex128]) -> NDArray[np.complex128]:
    """Return the node impedances with the first node as the one that volts are counted from."""
    full = np.zeros_like(matrix)
    if len(matrix) > 1:
        full[1:, 1:] = np.linalg.inv(matrix[1:, 1:])
    return full
