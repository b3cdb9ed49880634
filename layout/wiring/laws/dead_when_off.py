"""Law 5, dead when off: an open switch or device leaves dead what lies behind it, save what is declared always live."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.findings.table import Severity
from layout.wiring.laws.breach import Breach
from layout.wiring.system.bridges import cuts_in
from layout.wiring.system.graph import LIVE_POLES, RETURN_POLES
from layout.wiring.system.nets import nets, opened_state

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from layout.wiring.system.graph import Consumer, PowerSource, SwitchState, System
    from layout.wiring.system.nets import Nets

MUST_WORK = frozenset({"gas alarm", "fire alarm", "bilge pump"})
"""Purposes that must work with the main switch off (ISO 10133 clause 7; ABYC E-11; from memory)."""
_MOST_NAMES = 6


def dead_when_off(system: System) -> Iterator[Breach]:
    """Yield what stays live, what does not and should, devices that part nothing, and ways round a main switch."""
    opened = opened_state(system)
    if opened is not None:
        yield from _still_live(system, opened)
        yield from _not_live(system, opened)
        yield from _load_side(system, opened)
    yield from _parts_nothing(system)
    yield from _way_round(system)
    yield from _return_alone(system)


def _is_always_live(system: System, consumer: Consumer) -> bool:
    """Tell whether the file declares a feed of this thing always live."""
    return consumer.live is not None and any(
        conductor.always_live for conductor in system.conductors_at.get(consumer.live, ())
    )


def _still_live(system: System, opened: SwitchState) -> Iterator[Breach]:
    """Yield each battery that, with all switches open, reaches more than what is declared always live."""
    net = _past_declared(system, opened)
    for battery in system.sources:
        if battery.kind != "battery":
            continue
        here = [consumer for consumer in system.consumers if net.joined(battery.live, consumer.live)]
        if not here:
            continue
        has_switch = any(net.joined(battery.live, end) for c in system.contacts for end in (c.a, c.b))
        yield Breach(
            rule="fuse 80",
            entry=battery.entry if not has_switch else here[0].entry,
            message=f"{battery.name}: with all switches open it still feeds {_names(here)}",
            remedy="lead them behind a battery switch, or say always_live: true at the conductor that is meant to be",
            way=(battery.live, *(consumer.live or "" for consumer in here)),
            related=tuple(dict.fromkeys((battery.entry, *(consumer.entry for consumer in here)))),
            subjects=tuple(dict.fromkeys(consumer.entry for consumer in here)),
        )


def _past_declared(system: System, opened: SwitchState) -> Nets:
    """Return the nets with all switches open, without the conductors that are declared always live.

    What is still reached has a way that nobody declared, even where another of its feeds is declared.
    """
    return nets(system, opened, without=[c.key for c in system.conductors if c.always_live])


def _names(taking: Sequence[Consumer]) -> str:
    """Return the names of some things, the first six of many."""
    names = list(dict.fromkeys(consumer.name for consumer in taking))
    more = f" and {len(names) - _MOST_NAMES} more" if len(names) > _MOST_NAMES else ""
    return ", ".join(names[:_MOST_NAMES]) + more


def _not_live(system: System, opened: SwitchState) -> Iterator[Breach]:
    """Yield what is declared always live, or must be, and has no battery on both sides with all switches open."""
    net = nets(system, opened)
    batteries = [source for source in system.sources if source.kind == "battery"]
    batteries += [s for s in system.sources if s.kind == "converter" and _input_live(system, opened, s)]
    by_circuit: dict[str, list[Consumer]] = {}
    for consumer in system.consumers:
        if consumer.live is not None and consumer.circuit:
            by_circuit.setdefault(consumer.circuit, []).append(consumer)
    for taking in by_circuit.values():
        works = [c for c in taking if any(net.joined(b.live, c.live) and net.joined(b.back, c.back) for b in batteries)]
        meant = [c for c in taking if _is_always_live(system, c)]
        for consumer in meant:
            if consumer not in works:
                feed = any(net.joined(b.live, consumer.live) for b in batteries)
                behind = "its return" if feed else "its feed"
                yield _told_dead(consumer, f"it is always live, but {behind} lies behind a switch")
        purpose = taking[0].purpose.strip().lower()
        if purpose in MUST_WORK and not works and not meant and batteries:
            yield _told_dead(taking[0], f"no feed of this {purpose} works with all switches open")


def _told_dead(consumer: Consumer, text: str) -> Breach:
    return Breach(
        rule="wire 34",
        entry=consumer.entry,
        message=f"{consumer.name}: {text}",
        remedy="feed it, and lead its return, before the main switch, with its own fuse at the battery",
        way=(consumer.live or "",),
    )


def _load_side(system: System, opened: SwitchState) -> Iterator[Breach]:
    """Yield each source on the load side of the switches: it keeps what is there live when they are open."""
    net, past = nets(system, opened), _past_declared(system, opened)
    for source in system.sources:
        if source.ac or source.kind == "battery":
            continue
        if source.kind == "converter" and not _input_live(system, opened, source):
            continue
        if any(net.joined(source.live, other.live) for other in system.sources if other.kind == "battery"):
            continue
        here = [consumer for consumer in system.consumers if past.joined(source.live, consumer.live)]
        if here:
            yield Breach(
                rule="fuse 81",
                entry=source.entry,
                message=f"{source.name}: it stands on the load side of the switches, so with all of them open it still "
                f"feeds {_names(here)}",
                remedy="lead it to the battery side of the main switch, with its own device there",
                way=(source.live, *(consumer.live or "" for consumer in here)),
                subjects=tuple(dict.fromkeys(consumer.entry for consumer in here)),
            )


def _input_live(system: System, opened: SwitchState, source: PowerSource) -> bool:
    """Tell whether a battery still reaches a converter's input with all switches open."""
    net = nets(system, opened)
    batteries = [other for other in system.sources if other.kind == "battery"]
    return any(net.joined(b.live, c.live) for c in system.consumers if c.feeds == source.key for b in batteries)


def _parts_nothing(system: System) -> Iterator[Breach]:
    """Yield each device of a circuit that, when it opens, does not leave dead what it protects."""
    posts = {source.live: source for source in system.sources}
    told: set[str] = set()
    for state in system.states:
        if state.all_open or state.short_time:
            continue
        net = nets(system, state)
        parted = cuts_in(system, state, posts)
        for guard in system.guards:
            if guard.pole not in LIVE_POLES or guard.device in told or not _of_a_circuit(guard.entry):
                continue
            feeding = [source for node, source in posts.items() if net.joined(node, guard.b)]
            if guard.key in parted:
                feeding = [posts[node] for node in sorted(parted[guard.key].on_b)]
                if not parted[guard.key].on_a:
                    continue  # a source's own device: what lies before it is another matter
            if feeding:
                told.add(guard.device)
                yield Breach(
                    rule="fuse 82",
                    entry=guard.entry,
                    message=f"{guard.name}: with it open, {feeding[0].name} still reaches what is behind it, in state "
                    f"'{state.name}'",
                    remedy="feed it by one way only, or put a switch between the two feeds",
                    way=(guard.key, feeding[0].live),
                )


def _of_a_circuit(entry: str) -> bool:
    return entry.startswith("circuits.") or ".ways." in entry


def _way_round(system: System) -> Iterator[Breach]:
    """Yield each switch that a conductor leads round."""
    told: set[str] = set()
    for state in system.states:
        if state.all_open or state.short_time:
            continue
        parted = cuts_in(system, state, ())
        for contact in system.closed(state):
            if contact.pole not in LIVE_POLES or contact.switch in told or contact.key in parted:
                continue
            told.add(contact.switch)
            first, second = system.node[contact.a], system.node[contact.b]
            yield Breach(
                rule="fuse 83",
                entry=contact.entry,
                message=f"{first.name} and {second.name} stay joined with the switch open, in state '{state.name}'",
                remedy="take the conductor away that leads round the switch",
                way=(contact.key,),
                severity=Severity.STOP,
            )


def _return_alone(system: System) -> Iterator[Breach]:
    """Yield protective devices that open a return and no live conductor: what comes home by it stays live.

    A device in a sense wire, through which no load and no source comes home, opens nothing of that kind.
    """
    alone = [poles[0] for poles in system.poles_of.values() if {pole.pole for pole in poles} <= RETURN_POLES]
    loads = {c.back: c for c in system.consumers if c.live is not None and c.back is not None}
    homes = {source.back for source in system.sources}
    told: set[str] = set()
    for state in system.states if alone else ():
        parted = cuts_in(system, state, (*(c.back for c in system.consumers if c.back), *homes))
        for guard in alone:
            cut = parted.get(guard.key)
            if guard.device in told or (cut is not None and not (cut.on_a and cut.on_b)):
                continue
            told.add(guard.device)
            far = () if cut is None else cut.on_a if cut.on_a.isdisjoint(homes) else cut.on_b
            names = [loads[node] for node in sorted(far) if node in loads]
            behind = _names(names) if names else "what comes home by it"
            ac = guard.pole == "N"
            yield Breach(
                rule="fuse 133",
                entry=guard.entry,
                message=f"{guard.name}: it opens the return alone, and {behind} stays live",
                remedy="protect the live conductor instead, or take a device that opens both: poles: 2",
                way=(guard.key,),
                subjects=tuple(dict.fromkeys(load.entry for load in names)),
                severity=None if ac else Severity.WATCH,
            )
