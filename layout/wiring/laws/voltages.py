"""Law 4, voltage: a load's range contains that of its net, and unlike banks do not feed one net for long."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from layout.findings.table import Severity
from layout.wiring.laws.breach import Breach
from layout.wiring.system.graph import LIVE_POLES
from layout.wiring.system.nets import different_states, nets

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.wiring.system.graph import Consumer, PowerSource, SwitchContact, System

_LOWEST_SHARE = 0.9
"""Lowest working voltage of a source against nominal where the file says nothing (ISO 13297, ISO 10133: rule of the
trade; from memory)."""
HIGHEST_SHARE = 1.2
"""Voltage while a battery is charged, against nominal, where the file says nothing (14.4 V of a lead battery of 12 V;
common practice, no single source)."""
UNLIKE_CAPACITY = 1.5
"""Capacities in parallel that differ by more charge each other unevenly (common practice, no single source)."""


def voltages(system: System) -> Iterator[Breach]:
    """Yield each load whose range does not contain its net's, and each pair of unlike batteries in one net."""
    for consumer in system.consumers:
        yield from _range(system, consumer)
    yield from _frequencies(system)
    yield from _banks(system)
    yield from _switches(system)


def _range(system: System, consumer: Consumer) -> Iterator[Breach]:
    worst: dict[str, Breach] = {}
    for state in system.states:
        if state.short_time:
            continue  # while an engine starts, every voltage falls
        net = nets(system, state)
        for source in system.sources:
            if source.key == consumer.feeds or not net.joined(source.live, consumer.live):
                continue
            for rank, breach in _against(consumer, source, state.name):
                if rank not in worst:
                    worst[rank] = breach
    for side in ("low", "high"):
        if f"stop {side}" in worst:
            worst.pop(f"watch {side}", None)
    yield from worst.values()


def _against(consumer: Consumer, source: PowerSource, state: str) -> Iterator[tuple[str, Breach]]:
    low = source.lowest_v if source.lowest_v is not None else _LOWEST_SHARE * source.nominal_v
    charged = source.kind == "battery" or source.charges
    high = source.highest_v if source.highest_v is not None else (HIGHEST_SHARE if charged else 1) * source.nominal_v
    where = f"from {source.name} in state '{state}'"
    if source.charges:
        pass  # it never feeds alone: the battery beside it has the low end
    elif consumer.lowest_v is not None and consumer.lowest_v > source.nominal_v:
        text = (
            f"{consumer.name}: works from {consumer.lowest_v:g} V on, and gets {source.nominal_v:g} V nominal {where}"
        )
        remedy = "feed it from a source of its own voltage, or over a converter"
        yield "stop low", _told("fuse 85", consumer, text, remedy, consumer.lowest_v, source.nominal_v)
    elif consumer.lowest_v is not None and consumer.lowest_v > low:
        text = f"{consumer.name}: works from {consumer.lowest_v:g} V on, and gets down to {low:g} V {where}"
        remedy = "check whether it may drop out, or feed it over a converter that holds its voltage"
        yield (
            "watch low",
            _told("fuse 85", consumer, text, remedy, consumer.lowest_v, low, severity=Severity.WATCH),
        )
    if consumer.highest_v is not None and consumer.highest_v < high - 1e-9:
        guessed = source.highest_v is None and consumer.highest_v >= source.nominal_v
        text = f"{consumer.name}: bears {consumer.highest_v:g} V, and gets up to {high:g} V {where}"
        text += " (its highest voltage is not said)" if guessed else ""
        remedy = "feed it over a converter, or take one that bears the charging voltage"
        rank, severity = ("watch high", Severity.WATCH) if guessed else ("stop high", None)
        yield rank, _told("fuse 85", consumer, text, remedy, consumer.highest_v, high, severity=severity)


def _told(  # noqa: PLR0917 - the parts of one finding in their usual order
    rule: str,
    consumer: Consumer,
    text: str,
    remedy: str,
    measured: float | None,
    limit: float | None,
    severity: Severity | None = None,
) -> Breach:
    return Breach(
        rule=rule,
        entry=consumer.entry,
        message=text,
        remedy=remedy,
        way=(consumer.live or "",),
        measured=measured,
        limit=limit,
        unit="V" if measured is not None else "",
        severity=severity,
    )


def _frequencies(system: System) -> Iterator[Breach]:
    """Yield sources of two frequencies that in turn feed the same loads; one that is not said counts as another."""
    feeding: dict[str, dict[str, PowerSource]] = {}
    loads = [consumer for consumer in system.consumers if consumer.ac and consumer.live is not None]
    sources = [
        source for source in system.sources if source.live in system.node and system.node[source.live].pole == "L"
    ]
    for state in different_states(system):
        net = nets(system, state)
        for consumer in loads:
            for source in sources:
                if net.joined(source.live, consumer.live):
                    feeding.setdefault(consumer.name, {})[source.key] = source
    together: dict[tuple[str, ...], list[str]] = {}
    for name, by in feeding.items():
        if len({source.frequency_hz for source in by.values()}) > 1:
            together.setdefault(tuple(by), []).append(name)
    for keys, names in together.items():
        feeders = [source for source in sources if source.key in keys]
        each = " and ".join(f"{_hertz(source)} from {source.name}" for source in feeders)
        yield Breach(
            rule="fuse 115",
            entry=feeders[0].entry,
            message=f"{', '.join(names)}: {each}, in turn",
            remedy="feed them from sources of one frequency, or ask the loads' makers whether they bear both",
            way=tuple(source.live for source in feeders),
            related=tuple(source.entry for source in feeders[1:]),
        )


def _hertz(source: PowerSource) -> str:
    return "an unknown frequency" if source.frequency_hz is None else f"{source.frequency_hz:g} Hz"


def _banks(system: System) -> Iterator[Breach]:
    """Yield batteries that are parallel in a state that is not for short time, and are unlike."""
    told: set[tuple[str, str]] = set()
    batteries = [source for source in system.sources if source.kind == "battery"]
    for state in system.states:
        if state.short_time or state.all_open:  # with all open, only what closes by itself joins them, for a time
            continue
        net = nets(system, state)
        for first, second in combinations(batteries, 2):
            pair = (first.key, second.key)
            if pair in told or not (net.joined(first.live, second.live) and net.joined(first.back, second.back)):
                continue
            told.add(pair)
            where = f"{first.name} and {second.name} are parallel in state '{state.name}'"
            kinds = (first.chemistry, second.chemistry)
            if None not in kinds and kinds[0] != kinds[1]:
                yield _unlike(first, second, f"{where}: {kinds[0]} beside {kinds[1]}", None)
            elif None in kinds:
                yield _unlike(first, second, f"{where}, and the chemistry of both is not said", Severity.WATCH)
            elif first.capacity_ah and second.capacity_ah:
                ratio = max(first.capacity_ah, second.capacity_ah) / min(first.capacity_ah, second.capacity_ah)
                if ratio > UNLIKE_CAPACITY + 1e-9:
                    text = f"{where}: {first.capacity_ah:g} Ah beside {second.capacity_ah:g} Ah"
                    yield _unlike(first, second, text, Severity.WATCH)


def _switches(system: System) -> Iterator[Breach]:
    """Yield switches made for less than the voltage on them, and charging relays that sense another one."""
    worst: dict[str, tuple[float, float, SwitchContact, PowerSource]] = {}
    for state in different_states(system):
        net = nets(system, state)
        for contact in system.contacts:
            made = system.node[contact.a].nominal_v
            if contact.built_in or made is None or contact.pole not in LIVE_POLES:
                continue
            for source in system.sources:
                volts = source.nominal_v
                on_it = net.joined(source.live, contact.a) or net.joined(source.live, contact.b)
                wrong = volts != made if contact.automatic else volts > made
                if on_it and wrong and volts > worst.get(contact.switch, (0.0,))[0]:
                    worst[contact.switch] = (volts, made, contact, source)
    for volts, made, contact, source in worst.values():
        name = system.node[contact.a].name.partition(",")[0]
        yield Breach(
            rule="fuse 132",
            entry=contact.entry,
            message=f"{name}: it is made for {made:g} V, and {source.name} puts {volts:g} V on it",
            remedy="take a relay for that voltage: one for another closes never, or always"
            if contact.automatic
            else "take a switch for that voltage, or correct voltage: from its maker's paper",
            way=(contact.key, source.live),
            related=(source.entry,),
            measured=volts,
            limit=made,
            unit="V",
        )


def _unlike(first: PowerSource, second: PowerSource, text: str, severity: Severity | None) -> Breach:
    return Breach(
        rule="fuse 86",
        entry=first.entry,
        message=text,
        remedy="keep the banks apart: a charger for each, a converter between them, or a switch for emergencies only",
        way=(first.live, second.live),
        related=(second.entry,),
        severity=severity,
    )
