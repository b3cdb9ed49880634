"""What takes current to give current: it is fed from where the file says, never by itself, and gives what is asked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.findings.table import Severity
from layout.wiring.laws.breach import Breach
from layout.wiring.system.carried import asked_of
from layout.wiring.system.graph import LIVE_POLES
from layout.wiring.system.infeeds import low_v
from layout.wiring.system.nets import nets

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from layout.wiring.system.graph import Consumer, PowerSource, SwitchState, System
    from layout.wiring.system.nets import Nets


def converted(system: System) -> Iterator[Breach]:
    """Yield inputs that are fed by another thing than the file says or by their own output, and outputs too small."""
    states = [state for state in system.states if not state.all_open]
    inputs = {consumer.feeds: consumer for consumer in system.consumers if consumer.feeds and consumer.live}
    for key, taken in inputs.items():
        source = next((source for source in system.sources if source.key.partition("/")[0] == key), None)
        if source is not None and source.fed_by and not _fed_as_said(system, source, taken, states):
            owner, _, way = source.fed_by.partition("/")
            where = (f"way {way} of " if way else "") + _named(system, owner)
            yield Breach(
                rule="fuse 130",
                entry=source.entry,
                message=f"{source.name}: fed_from: says {where}, and its input is not joined to that",
                remedy="write in fed_from: where its conductor begins, or lead the conductor from there",
                way=(taken.live or "",),
            )
    yield from _by_itself(system, states, inputs)
    yield from _overdrawn(system)


def _named(system: System, owner: str) -> str:
    return next((node.name.partition(",")[0] for node in system.nodes if node.owner == owner), owner)


def _fed_as_said(system: System, source: PowerSource, taken: Consumer, states: list[SwitchState]) -> bool:
    """Tell whether in some state an input is joined to what it is said to be fed from, by that way where one is said.

    Only a state for short time may join them where there is no other.
    """
    owner, _, way = source.fed_by.partition("/")
    if way:
        ways = f"breaker_panels.{owner}.ways."
        begins = [source.fed_by]
        without = {guard.device for guard in system.guards if guard.device.startswith(ways)}
        if begins[0] not in system.node:
            return False
    else:
        poles = LIVE_POLES | {None}
        begins = [node.key for node in system.nodes if node.owner == owner and node.pole in poles]
        without = set()
    for state in [state for state in states if not state.short_time] or states:
        net: Nets = nets(system, state, without=without)
        if any(net.joined(node, taken.live) for node in begins):
            return True
    return False


def _by_itself(system: System, states: list[SwitchState], inputs: Mapping[str, Consumer]) -> Iterator[Breach]:
    """Yield rings of sources in which each feeds the next, told at the first; one that feeds itself is such a ring."""
    told: set[frozenset[str]] = set()
    for state in states:
        if state.short_time:
            continue
        net = nets(system, state)
        feeds: dict[str, list[str]] = {key: [] for key in inputs}
        for source in system.sources:
            own = source.key.partition("/")[0]
            feeds.setdefault(own, []).extend(k for k, taken in inputs.items() if net.joined(source.live, taken.live))
        for key in inputs:
            ring = _ring(key, feeds)
            if not ring or frozenset(ring) in told:
                continue
            told.add(frozenset(ring))
            named = {s.key.partition("/")[0]: s for s in reversed(system.sources)}
            first = named[key]
            others = [named[other].name for other in ring[1:]]
            way = f"over {' and '.join(others)} " if others else ""
            yield Breach(
                rule="fuse 131",
                entry=first.entry,
                message=f"{first.name}: in state '{state.name}' its output feeds {way}its own input",
                remedy="feed it from before the switch that chooses the source, or open its way in that state"
                if others
                else "lead its output to another net than its input; check that the two are not swapped",
                way=tuple(named[other].live for other in ring),
                related=tuple(named[other].entry for other in ring[1:]),
                severity=Severity.WATCH if others else None,
            )


def _ring(start: str, feeds: Mapping[str, list[str]]) -> tuple[str, ...]:
    """Return the shortest way from a source over those that it feeds back to itself; empty where there is none."""
    ways: list[tuple[str, ...]] = [(start,)]
    seen: set[str] = set()
    for way in ways:  # grows while it is walked
        for other in feeds.get(way[-1], ()):
            if other == start:
                return way
            if other not in seen:
                seen.add(other)
                ways.append((*way, other))
    return ()


def _overdrawn(system: System) -> Iterator[Breach]:
    """Yield converters, inverters and generators from which more is asked at once than they give.

    They hold their nominal voltage, while loads in watts are reckoned at the lowest: so much more is let pass.
    """
    for source, asked in asked_of(system):
        given, amps = source.output_a, asked.amps
        if given is None or amps is None or amps * min(low_v(source) / source.nominal_v, 1.0) <= given * (1 + 1e-4):
            continue
        yield Breach(
            rule="fuse 135",
            entry=source.entry,
            message=f"{source.name}: {amps:.3g} A are asked of it at once in state '{asked.state}', it gives "
            f"{given:.3g} A",
            remedy="take a larger one, feed less from it, or say diversity: or never_with: of what it feeds",
            way=(source.live,),
            measured=amps,
            limit=given,
            unit="A",
        )
