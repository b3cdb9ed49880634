"""What is dead and what stays live when something is opened: every battery switch, or one switch or device by itself.

Protective devices count as closed unless they are the one that is opened: a breaker that happens to be off proves
nothing. Nothing of this replaces proving dead.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING

from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass
from layout.wiring.system.bridges import cuts_in
from layout.wiring.system.graph import LIVE_POLES
from layout.wiring.system.nets import nets, opened_state

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Mapping

    from layout.wiring.system.graph import Consumer, PowerSource, SwitchContact, SwitchState, System
    from layout.wiring.system.nets import Nets

BY_THEMSELVES = frozenset({"battery", "solar"})
"""Kinds of source that are live by themselves: nobody unplugs or stops them before work."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LiveOwner:
    """What stays live with every battery switch open.

    Attributes
    ----------
    owner
        Id of the supply's terminal, switch, bar, panel, device or place.
    sources
        Keys of the sources that reach it, in the file's order.
    conductors
        Segment and pole of the live conductors that end on it.
    """

    owner: str
    sources: tuple[str, ...]
    conductors: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """What one switch or protective device does when it alone is opened.

    Attributes
    ----------
    entry, name
        Its dotted key in the file, and what people call it.
    state
        Switch state in which it was opened: the first in which it is closed.
    dead
        Entries of loads and inputs that were fed and no source feeds any more.
    behind
        Keys of the sources that still reach its far side.
    """

    entry: str
    name: str
    state: str
    dead: Mapping[str, str]
    behind: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Isolation:
    """What stays live with every battery switch open, and what each opening does, both in the file's order."""

    live: tuple[LiveOwner, ...] = ()
    openings: tuple[Opening, ...] = ()


def isolation(system: System) -> Isolation:
    """Return what stays live with all battery switches open, and what each switch and device leaves dead."""
    return Isolation(live=tuple(_live(system)), openings=tuple(_openings(system)))


def feeding(system: System, net: Nets, by_themselves: Collection[str]) -> Mapping[str, tuple[str, ...]]:
    """Return the sources that are live, by the net they reach (its head), in the file's order.

    Parameters
    ----------
    by_themselves
        Keys of the sources that are live by themselves. Any other is live as soon as one of its inputs is: a
        converter, a charger, an inverter, and one after another.
    """
    live = set(by_themselves)
    posts = {source.key: net.head(source.live) for source in system.sources}
    inputs = [
        (source.key, net.head(consumer.live))
        for source in system.sources
        for consumer in system.consumers
        if consumer.feeds and consumer.feeds == _supply(source) and consumer.live is not None
    ]
    while True:
        heads = {posts[key] for key in live}
        woken = {key for key, head in inputs if head in heads} - live
        if not woken:
            break
        live |= woken
    by: dict[str, list[str]] = {}
    for source in system.sources:
        if source.key in live:
            by.setdefault(posts[source.key], []).append(source.key)
    return FrozenMap({head: tuple(keys) for head, keys in by.items()})


def _supply(source: PowerSource) -> str:
    """Return the id of the supply that a source is, or is one output of: ``charger/+2`` is one of ``charger``."""
    return source.key.partition("/")[0]


# --- every battery switch open ----------------------------------------------------------------------------------------


def _live(system: System) -> Iterator[LiveOwner]:
    """Yield what stays live; the loads of a panel's ways go by the panel, which stands before them."""
    opened = opened_state(system)
    if opened is None:
        return
    whole = nets(system, opened)
    reached = feeding(system, whole, [source.key for source in system.sources if source.kind in BY_THEMSELVES])
    ways = {guard.device for guard in system.guards if ".ways." in guard.entry}
    before = nets(system, opened, without=ways) if ways else whole
    started = {before.head(s.live) for s in system.sources if any(s.key in keys for keys in reached.values())}
    lit: dict[str, tuple[str, ...]] = {}
    for controller, at in _modules(system):
        started.add(before.head(at))
        lit[whole.head(at)] = tuple(dict.fromkeys((*lit.get(whole.head(at), ()), controller)))
    reached = {head: (*reached.get(head, ()), *lit.get(head, ())) for head in (*reached, *lit)}
    posts = {source.key: source.live for source in system.sources}
    by_owner: dict[str, tuple[dict[str, None], dict[tuple[str, str], None]]] = {}
    for node in system.nodes:
        sources = [key for key in reached.get(whole.head(node.key), ()) if posts[key] != node.key]
        if not sources or node.kind == "inner" or before.head(node.key) not in started:
            continue
        by, landed = by_owner.setdefault(node.owner, ({}, {}))
        by.update(dict.fromkeys(sources))
        for conductor in system.conductors_at.get(node.key, ()):
            if conductor.pole in LIVE_POLES:
                landed.setdefault((conductor.segment, conductor.pole))
    order = {source.key: at for at, source in enumerate(system.sources)}
    for owner, (by, landed) in by_owner.items():
        yield LiveOwner(owner=owner, sources=tuple(sorted(by, key=order.__getitem__)), conductors=tuple(landed))


def _modules(system: System) -> Iterator[tuple[str, str]]:
    """Yield each solar controller's key with a terminal that its modules drive in daylight, whatever is switched off.

    That is what the conductors from its input lead to, past every switch and device; without such a thing, its input.
    """
    near: dict[str, list[str]] = {}
    pairs = [(c.start, c.end) for c in system.conductors if c.pole in LIVE_POLES]
    pairs += [(guard.a, guard.b) for guard in system.guards]
    pairs += [(contact.a, contact.b) for contact in system.contacts] + [(join.a, join.b) for join in system.joins]
    for a, b in pairs:
        near.setdefault(a, []).append(b)
        near.setdefault(b, []).append(a)
    for source in system.sources:
        inlet = f"{source.key}/in"
        if source.kind != "solar" or inlet not in near:
            continue
        reach = [inlet]
        for node in reach:  # grows while it is walked
            reach += [other for other in dict.fromkeys(near[node]) if other not in reach]
        ends = [node for node in reach if system.node[node].kind in ("device", "splice") and len(near[node]) == 1]
        for node in ends or reach[:1]:
            yield source.key, node


# --- one opening ------------------------------------------------------------------------------------------------------


def _openings(system: System) -> Iterator[Opening]:
    """Yield each switch in the first state that closes it, then each protective device in the first state of use."""
    trials = {state.name: _Trial(system, state) for state in system.states if not state.all_open}
    for switch in dict.fromkeys(contact.switch for contact in system.contacts if not contact.built_in):
        for trial in trials.values():
            contacts = [contact for contact in system.closed(trial.state) if contact.switch == switch]
            if contacts:
                after = [other.switch(switch, contacts) for other in _following(trial, trials)]
                yield _either_way(trial.switch(switch, contacts), after)
                break
    for trial in list(trials.values())[:1]:
        taken = [{opening.entry: opening for opening in other.devices()} for other in _following(trial, trials)]
        for opening in trial.devices():
            yield _either_way(opening, [other[opening.entry] for other in taken])


def _following(trial: _Trial, trials: Mapping[str, _Trial]) -> list[_Trial]:
    """Return the states that a state becomes by itself, once what an inverter passes on fails."""
    return [other for other in trials.values() if other.state.follows == trial.state.name]


def _either_way(opening: Opening, after: Iterable[Opening]) -> Opening:
    """Return an opening with what it leaves dead whether or not an inverter takes over, and all that stays behind."""
    dead, behind = dict(opening.dead), dict.fromkeys(opening.behind)
    for other in after:
        dead = {entry: name for entry, name in dead.items() if entry in other.dead}
        behind |= dict.fromkeys(other.behind)
    return replace(opening, dead=FrozenMap(dead), behind=tuple(behind))


class _Trial:
    """One state of use, with all sources running that have no input aboard, and what is fed in it."""

    def __init__(self, system: System, state: SwitchState) -> None:
        self.system, self.state = system, state
        given = {consumer.feeds for consumer in system.consumers}
        self.running = [source.key for source in system.sources if _supply(source) not in given]
        whole = nets(system, state)
        reached = feeding(system, whole, self.running)
        fed = [c for c in system.consumers if c.live is not None and whole.head(c.live) in reached]
        self.fed = Counter(consumer.entry for consumer in fed)
        self.order = {consumer.key: at for at, consumer in enumerate(fed)}
        self.fed_at: dict[str, list[Consumer]] = {}
        for consumer in fed:
            self.fed_at.setdefault(str(consumer.live), []).append(consumer)

    def switch(self, switch: str, contacts: list[SwitchContact]) -> Opening:
        name = self.system.node[contacts[0].a].name.rpartition(",")[0] or switch
        far = [contact.b for contact in contacts if contact.pole in LIVE_POLES]
        after = nets(self.system, self.state, without=[contact.key for contact in contacts])
        return self._opened(contacts[0].entry, name, after, far)

    def devices(self) -> Iterator[Opening]:
        """Yield each device; by its cut alone where no source stands behind it and none is woken there."""
        posts = {source.live for source in self.system.sources}
        inputs = {consumer.live for consumer in self.system.consumers if consumer.feeds}
        lives = [consumer.live for consumer in self.system.consumers if consumer.live is not None]
        parted = cuts_in(self.system, self.state, (*posts, *lives))
        told: set[str] = set()
        for guard in self.system.guards:
            if guard.pole not in LIVE_POLES or guard.device in told:
                continue
            told.add(guard.device)
            cut = parted.get(guard.key)
            if cut is not None and not cut.on_b & (posts | inputs):
                gone = [consumer for node in cut.on_b for consumer in self.fed_at.get(node, ())]
                yield self._told(guard.entry, guard.name, gone, ())
            else:
                after = nets(self.system, self.state, without=[guard.device])
                yield self._opened(guard.entry, guard.name, after, [guard.b])

    def _opened(self, entry: str, name: str, after: Nets, far: list[str]) -> Opening:
        reached = feeding(self.system, after, self.running)
        gone = [c for node, at in self.fed_at.items() if after.head(node) not in reached for c in at]
        behind = dict.fromkeys(key for node in far for key in reached.get(after.head(node), ()))
        return self._told(entry, name, gone, tuple(behind))

    def _told(self, entry: str, name: str, gone: list[Consumer], behind: tuple[str, ...]) -> Opening:
        """Return an opening; an entry is dead once as many of its things are gone as were fed."""
        lost = Counter(consumer.entry for consumer in gone)
        dead = {
            consumer.entry: consumer.name
            for consumer in sorted(gone, key=lambda consumer: self.order[consumer.key])
            if lost[consumer.entry] == self.fed[consumer.entry]
        }
        return Opening(entry=entry, name=name, state=self.state.name, dead=FrozenMap(dead), behind=behind)
