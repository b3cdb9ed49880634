"""Law 1, closed path: whatever takes or gives current has a way out and back to one and the same source."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.wiring.laws.breach import Breach
from layout.wiring.system.nets import nets

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.wiring.system.graph import Consumer, PowerSource, SwitchState, System


def closed_path(system: System) -> Iterator[Breach]:
    """Yield each load, input and source whose way out or back is open in every switch state."""
    for consumer in system.consumers:
        yield from _taking(system, consumer)
        yield from _earthed(system, consumer)
    for source in system.sources:
        yield from _both_posts(system, source)
        if source.charges:
            yield from _charging(system, source)
    yield from _returns_apart(system)
    yield from _open_terminals(system)


# --- loads and inputs -------------------------------------------------------------------------------------------------


def _taking(system: System, consumer: Consumer) -> Iterator[Breach]:
    """Yield a thing whose live terminal and return never reach the posts of one source in one state of use.

    A state for short time, with batteries joined to start an engine, does not count: it would feed what a cut lead
    left dead.
    """
    if consumer.live is None and consumer.feeds:
        yield Breach(
            rule="wire 49",
            entry=consumer.entry,
            message=f"{consumer.name}: no conductor leads to it",
            remedy="declare the feeder or circuit that feeds it",
        )
        return
    if consumer.live is None:
        yield Breach(
            rule="wire 9",
            entry=consumer.entry,
            message=f"{consumer.name}: no live conductor leads to it",
            remedy="add the conductor that feeds it, or leave the entry out",
        )
        return
    feeding, home = set(), set()
    for state in [state for state in system.states if not state.short_time] or system.states:
        net = nets(system, state)
        out = {s.key for s in _sources_for(system, consumer) if net.joined(s.live, consumer.live)}
        feeding |= out
        home |= {s.key for s in _sources_for(system, consumer) if s.key in out and net.joined(s.back, consumer.back)}
    if home:
        return
    if not feeding:
        yield Breach(
            rule="wire 9",
            entry=consumer.entry,
            message=f"{consumer.name}: its live terminal ({system.node[consumer.live].name}) reaches no source in any "
            "switch state of use",
            remedy="follow the conductors from the source and add the missing one",
            way=(consumer.live,),
        )
        return
    names = _listed(system, feeding)
    if consumer.back is None:
        message = f"{consumer.name}: fed by {names}, and no return conductor leads away from it"
    else:
        other = _reached(system, consumer.back)
        message = f"{consumer.name}: fed by {names}, but its return ({system.node[consumer.back].name}) does not reach "
        message += "that source" + (f"; it reaches {other}" if other else "")
    yield Breach(
        rule="wire 10",
        entry=consumer.entry,
        message=message,
        remedy="add the return conductor to the source that feeds it",
        way=tuple(key for key in (consumer.live, consumer.back) if key),
    )


def _sources_for(system: System, consumer: Consumer) -> Iterator[PowerSource]:
    """Yield what can feed a thing: any source but its own output and those that only charge."""
    for source in system.sources:
        if source.key != consumer.feeds and not source.charges:
            yield source


def _earthed(system: System, consumer: Consumer) -> Iterator[Breach]:
    """Yield an AC load whose protective conductor does not reach every source whose line arrives there."""
    if not consumer.ac or consumer.live is None:
        return
    if consumer.earth is None:
        yield Breach(
            rule="fuse 36",
            entry=consumer.entry,
            message=f"{consumer.name}: no protective conductor",
            remedy="add a conductor of pole PE",
            way=(consumer.live,),
        )
        return
    missing: dict[str, str] = {}
    for state in system.states:
        net, earth = nets(system, state), nets(system, state, earth=True)
        for source in system.sources:
            if source.ac and net.joined(source.live, consumer.live) and not earth.joined(source.earth, consumer.earth):
                missing.setdefault(source.name, state.name)
    for name, state_name in missing.items():
        yield Breach(
            rule="fuse 36",
            entry=consumer.entry,
            message=f"{consumer.name}: its protective conductor does not reach {name}, which feeds it in state "
            f"'{state_name}'",
            remedy="lead a conductor of pole PE from the source's earth terminal to it",
            way=(consumer.earth,),
        )


# --- sources ----------------------------------------------------------------------------------------------------------


def _both_posts(system: System, source: PowerSource) -> Iterator[Breach]:
    """Yield a source that has only one of its posts wired, or none."""
    wired = [bool(_power_at(system, post)) for post in (source.live, source.back)]
    if all(wired):
        return
    if not any(wired):
        if not source.charges and not source.fed_by:
            yield Breach(
                rule="fuse 70",
                entry=source.entry,
                message=f"{source.name}: no conductor is on either of its posts",
                remedy="add its conductors, or leave the source out",
                way=(source.live, source.back),
            )
        return
    bare = source.live if not wired[0] else source.back
    yield Breach(
        rule="fuse 71",
        entry=source.entry,
        message=f"{source.name}: no conductor is on its post {system.node[bare].key.rpartition('/')[2]}, so no current "
        "can flow and no fault be reckoned",
        remedy="add the conductor from that post",
        way=(bare,),
    )


def _power_at(system: System, node: str) -> bool:
    """Tell whether a conductor of power lands on a terminal, or on one that is the same piece of metal."""
    inside = [(join.a, join.b) for join in system.joins]
    inside += [(contact.a, contact.b) for contact in system.contacts if contact.built_in]
    metal = {node, *(end for pair in inside if node in pair for end in pair)}
    return any(
        c.pole not in ("PE", "bond", "data", "antenna") for end in metal for c in system.conductors_at.get(end, ())
    )


def _charging(system: System, source: PowerSource) -> Iterator[Breach]:
    """Yield a charging source that in no state reaches a battery with both posts."""
    if not (_power_at(system, source.live) and _power_at(system, source.back)):
        return
    batteries = [other for other in system.sources if other.kind == "battery"]
    for state in system.states:
        net = nets(system, state)
        if any(net.joined(source.live, b.live) and net.joined(source.back, b.back) for b in batteries):
            return
    yield Breach(
        rule="fuse 72",
        entry=source.entry,
        message=f"{source.name}: in no switch state do both of its posts reach the posts of one battery",
        remedy="lead its conductors to the battery, or to bars that reach it",
        way=(source.live, source.back),
    )


def _returns_apart(system: System) -> Iterator[Breach]:
    """Yield sources that are joined on the live side and not in their returns: current has no way home to one."""
    told: set[tuple[str, str]] = set()
    for state in system.states:
        net = nets(system, state)
        wired = [s for s in system.sources if _power_at(system, s.live) and _power_at(system, s.back)]
        for at, source in enumerate(wired):
            for other in wired[at + 1 :]:
                pair = (source.key, other.key)
                if pair in told or not net.joined(source.live, other.live) or net.joined(source.back, other.back):
                    continue
                told.add(pair)
                yield Breach(
                    rule="fuse 73",
                    entry=source.entry,
                    message=f"{source.name} and {other.name} are joined on the live side in state '{state.name}', and "
                    "their returns are not",
                    remedy="join their returns, or take the live conductors apart",
                    way=(source.live, other.live, source.back, other.back),
                    related=(other.entry,),
                )


def _open_terminals(system: System) -> Iterator[Breach]:
    """Yield each terminal of a switch that has no conductor."""
    told: set[str] = set()
    for contact in system.contacts:
        for node in (contact.a, contact.b):
            if node not in told and not contact.built_in and not system.conductors_at.get(node):
                told.add(node)
                yield Breach(
                    rule="fuse 74",
                    entry=contact.entry,
                    message=f"{system.node[node].name}: no conductor is on this terminal of the switch",
                    remedy="add the conductor, or take the position out of positions:",
                    way=(node,),
                )


def _listed(system: System, keys: set[str]) -> str:
    return ", ".join(source.name for source in system.sources if source.key in keys)


def _reached(system: System, node: str) -> str:
    """Return the names of sources whose return post a node reaches in some state."""
    states: tuple[SwitchState, ...] = system.states
    return _listed(
        system, {s.key for s in system.sources for state in states if nets(system, state).joined(s.back, node)}
    )
