"""What flows in use: the loads behind each conductor, device and contact, or what charging sources push through it.

In every switch state for use each supplying source is taken to feed alone all that it reaches, which is the worst for
what lies between; all charging sources of a state flow together. What is not a tree counts as carrying all of it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass, field
from layout.wiring.circuits.supply_graph import charges
from layout.wiring.system.bridges import cuts_in, edges_of
from layout.wiring.system.graph import LIVE_POLES
from layout.wiring.system.nets import different_states, merged, nets

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping

    from layout.wiring.system.bridges import Cut
    from layout.wiring.system.graph import Consumer, PowerSource, SwitchState, System


GIVING = frozenset({"converter", "inverter", "generator"})
"""Kinds of source that feed loads and give only so much; the shore's own device says what it gives."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Carried:
    """The most that flows in use, A; None where a load behind is not known. ``state`` is the one in which it flows."""

    amps: float | None
    state: str


def carried(system: System) -> Mapping[str, Carried]:
    """Return what flows through each conductor, device, join and contact by its key; what carries nothing is not in it.

    A starter's current is left out, and so are states for short time. Loads of which only one runs at a time count by
    the largest, those of a breaker panel as a whole by its diversity, those of a circuit to no more than its load.
    """
    found: dict[str, Carried] = {}
    for state in system.states:
        if not state.all_open and not state.short_time:
            for key, amps in _InState(system, state).amps():
                known = found.get(key, Carried(amps=0.0, state=state.name))
                if known.amps is not None and (amps is None or amps > known.amps):
                    found[key] = Carried(amps=amps, state=state.name)
    return FrozenMap(found)


def carried_together(consumers: Iterable[Consumer]) -> float | None:
    """Return what some consumers draw at once, without diversity; None where one is not known."""
    by_circuit: dict[str, list[Consumer]] = {}
    for consumer in consumers:
        by_circuit.setdefault(consumer.circuit or consumer.key, []).append(consumer)
    largest: dict[str, float] = {}
    for circuit, mine in by_circuit.items():
        amps = [consumer.draw_a for consumer in mine if consumer.draw_a is not None]
        if len(amps) < len(mine):
            return None
        whole = mine[0].circuit_a
        total = sum(amps) if whole is None else min(sum(amps), max(whole, *amps))
        group = mine[0].never_with or circuit
        largest[group] = max(largest.get(group, 0.0), total)
    return sum(largest.values())


def asked_of(system: System) -> Iterator[tuple[PowerSource, Carried]]:
    """Yield the most that loads ask at once of each source that gives only so much, where it feeds them alone."""
    giving = [source for source in system.sources if source.kind in GIVING]
    most: dict[str, Carried] = {}
    for state in different_states(system) if giving else ():
        if state.short_time:
            continue
        here = _InState(system, state)
        for source in giving:
            beside = any(s is not source and here.net.joined(source.live, s.live) for s in system.sources)
            if beside or source.key in here.charging:
                continue
            amps, known = here.asked(source.key), most.get(source.key, Carried(amps=0.0, state=state.name))
            if known.amps is not None and (amps is None or amps > known.amps):
                most[source.key] = Carried(amps=amps, state=state.name)
    for source in giving:
        if source.key in most:
            yield source, most[source.key]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Panel:
    """A breaker panel's diversity, and the keys of the consumers on its ways and on its return."""

    diversity: float
    fed: list[str] = field(default_factory=list)
    home: list[str] = field(default_factory=list)


class _InState:
    def __init__(self, system: System, state: SwitchState) -> None:
        self.system, self.state, self.net = system, state, nets(system, state)
        self.edges = list(edges_of(system, state))
        self.taking = [c for c in system.consumers if c.live and c.back and not c.starter]
        self.at: dict[str, list[Consumer]] = {}
        for consumer in self.taking:
            for node in (consumer.live or "", consumer.back or ""):
                self.at.setdefault(node, []).append(consumer)
        self.sources: dict[str, list[tuple[PowerSource, bool]]] = {}  # and whether the node is its live post
        for source in system.sources:
            for node in (source.live, source.back):
                self.sources.setdefault(node, []).append((source, node == source.live))
        self.posts = frozenset(self.sources)
        banks = [source for source in system.sources if source.kind == "battery"]
        self.charging = frozenset(
            source.key
            for source in system.sources
            if charges(source.kind, limited=bool(source.output_a), reaches_bank=any(map(self._joins(source), banks)))
        )
        self.fed = {
            source.key: frozenset(
                consumer.key
                for consumer in self.taking
                if consumer.feeds != source.key
                and self.net.joined(source.live, consumer.live)
                and self.net.joined(source.back, consumer.back)
            )
            for source in system.sources
            if source.key not in self.charging
        }
        first: dict[frozenset[str], str] = {}
        self.alike = {key: first.setdefault(loads, key) for key, loads in self.fed.items()}  # who feeds the same
        self.panels = self._panels()
        self.members: dict[tuple[str, bool], tuple[dict[str, int], list[int]]] = {}

    def asked(self, source: str) -> float | None:
        """Return what loads ask of a source at once."""
        return self._total(self.taking, source, live=True)

    def amps(self) -> Iterator[tuple[str, float | None]]:
        """Yield what flows through each edge, both ways looked at."""
        parted = cuts_in(self.system, self.state, (*self.at, *self.sources))
        rings = merged((a, b) for key, a, b in self.edges if key not in parted)
        arriving: dict[str, list[float | None]] = {}
        for key, a, b in self.edges:
            if key in parted:
                amps = self._through(parted[key])
                yield key, amps
                for end in {rings.head(a), rings.head(b)}:
                    arriving.setdefault(end, []).append(amps)
        inside: dict[str, list[float | None]] = {}
        for source in self.system.sources:
            for node in (source.live, source.back) if source.key in self.fed else ():
                amps = self._total(self.taking, source.key, live=node == source.live)
                inside.setdefault(rings.head(node), []).append(amps)
        for key, a, _ in self.edges:
            if key not in parted:
                ring = rings.head(a)
                yield key, _most([*arriving.get(ring, ()), *inside.get(ring, ())])

    def _through(self, cut: Cut) -> float | None:
        amps: list[float | None] = []
        posts = self.posts & cut.whole
        for near in (posts & cut.below, posts - cut.below):
            giving = [given for node in sorted(near) for given in self.sources[node]]
            if not giving:
                continue
            far = cut.below if near.isdisjoint(cut.below) else cut.whole - cut.below
            beyond = [consumer for node in sorted(far) for consumer in self.at.get(node, ())]
            feeding = dict.fromkeys((self.alike[s.key], live) for s, live in giving if s.key in self.fed)
            amps += [self._total(beyond, source, live=live) for source, live in feeding]
            taking = [s for node in posts - near for s, _ in self.sources[node] if s.kind == "battery"]
            charging = [
                s.output_a or 0.0 for s, _ in giving if s.key in self.charging and any(map(self._joins(s), taking))
            ]
            amps.append(sum(charging))
        return _most(amps)

    def _joins(self, source: PowerSource) -> Callable[[PowerSource], bool]:
        net = self.net
        return lambda bank: net.joined(source.live, bank.live) and net.joined(source.back, bank.back)

    def _total(self, consumers: Iterable[Consumer], source: str, *, live: bool) -> float | None:
        """Return what a source feeds among some consumers at once; a whole breaker panel counts by its diversity."""
        fed, (panel_of, members) = self.fed[source], self._members(source, live=live)
        mine = {consumer.key: consumer for consumer in consumers if consumer.key in fed}
        inside: dict[int, list[Consumer]] = {}
        for key, consumer in mine.items():
            if key in panel_of:
                inside.setdefault(panel_of[key], []).append(consumer)
        held: set[str] = set()
        less: float | None = 0.0
        for at, here in sorted(inside.items()):
            if 1 < len(here) == members[at]:
                amps = carried_together(here)
                known = [consumer.draw_a for consumer in here if consumer.draw_a is not None]
                less = None if less is None or amps is None else less + max(self.panels[at].diversity * amps, *known)
                held |= {consumer.key for consumer in here}
        rest = carried_together(consumer for key, consumer in mine.items() if key not in held)
        return None if rest is None or less is None else rest + less

    def _members(self, source: str, *, live: bool) -> tuple[dict[str, int], list[int]]:
        """Return on which breaker panel each consumer of a source hangs, and how many hang on each."""
        if (source, live) not in self.members:
            lists = [panel.fed if live else panel.home for panel in self.panels]
            here = {key: at for at, keys in enumerate(lists) for key in keys if key in self.fed[source]}
            counts = [sum(key in self.fed[source] for key in keys) for keys in lists]
            self.members[source, live] = here, counts
        return self.members[source, live]

    def _panels(self) -> list[_Panel]:
        """Return the breaker panels that say a diversity, with what is fed through them and what comes home to them."""
        lines = [c for c in self.system.conductors if c.circuits]
        wired = merged([(c.start, c.end) for c in lines] + [(join.a, join.b) for join in self.system.joins])
        said = {node.owner: node.diversity for node in self.system.nodes if node.diversity is not None}
        found = {owner: _Panel(diversity=share) for owner, share in said.items()}
        at: dict[tuple[str, bool], str] = {}
        for node in self.system.nodes:
            if node.owner in said and node.pole is not None:
                at[wired.head(node.key), node.pole in LIVE_POLES] = node.owner
        for consumer in self.taking:
            for node_key, live in ((consumer.live or "", True), (consumer.back or "", False)):
                owner = at.get((wired.head(node_key), live))
                if owner is not None:
                    (found[owner].fed if live else found[owner].home).append(consumer.key)
        return list(found.values())


def _most(amps: Iterable[float | None]) -> float | None:
    values = list(amps)
    return None if None in values else max((value for value in values if value is not None), default=0.0)
