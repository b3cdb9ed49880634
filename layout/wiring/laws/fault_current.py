"""Law 7: each protective device breaks the highest fault that reaches it, and opens on the lowest.

Sources: ABYC E-11 Table V-A and V-B for breaking capacities, U/R of the whole path for fault currents; IEC 60269-1 and
IEC 60898-1 conventional currents for what surely opens (from memory).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from layout.findings import Severity
from layout.wiring.laws.breach import Breach
from layout.wiring.protection.fault_book import needed_a
from layout.wiring.system.infeeds import FACTS_APART, stated_a

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from layout.wiring.system.device_faults import DeviceFault
    from layout.wiring.system.graph import Guard, PowerSource, System

SURE_SHARE = 1.6
"""Multiple of its rating at which a fuse or breaker surely opens within its conventional time (IEC 60269-1 gG 1.6,
IEC 60898-1 1.45, from memory)."""
BLADE_V = 58.0
"""Highest DC voltage of blade fuses (ISO 8820-3, from memory); none is made for AC mains."""
ASKED_ABOVE_V = 32.0
"""DC voltage above which the voltage of a device is asked for; below it common fuses and panel breakers are made for
more (common practice)."""
_NAMED_MOST = 4
"""So many devices are named in one finding; the others are counted."""


def fault_current(system: System) -> Iterator[Breach]:
    """Yield devices that can't break a fault or never open on one, and every fact that this hangs on, once."""
    faults = {key: fault for key, fault in system.device_faults.items() if not _is_spare(system, fault.guard)}
    source = {entry.key: entry for entry in system.sources}
    yield from _unknown_sources(source, faults)
    yield from _facts_apart(system.sources)
    yield from _breaking(source, faults)
    yield from _voltages(source, faults)
    yield from _opening(system, faults)


def _is_spare(system: System, guard: Guard) -> bool:
    """Tell whether a device is a way on which nothing is wired."""
    return system.node[guard.b].kind == "way" and guard.b not in system.conductors_at


def _unknown_sources(source: Mapping[str, PowerSource], faults: Mapping[str, DeviceFault]) -> Iterator[Breach]:
    """Ask for each source whose strength is not known, once, with the devices whose verdict it keeps open."""
    for key, entry in source.items():
        waiting = [fault.guard for fault in faults.values() if key in fault.unknown]
        if waiting:
            yield _unknown(entry, waiting)
        if entry.kind == "battery" and entry.fault_a is None and not waiting:
            yield from _battery(entry, faults)


def _unknown(entry: PowerSource, waiting: list[Guard]) -> Breach:
    text = f"{entry.name}: its fault current is not known"
    if entry.kind == "shore":
        text += ", so breaking capacity is judged by Table V-B alone"
        remedy = "ask the marina, or take 6 kA devices; write fault_current:"
    elif entry.chemistry == "lithium":
        text += ", so the 20 kA class stands for it"
        remedy = "ask its maker, and write fault_current:"
    elif entry.kind == "battery":
        text += ", so what a device must break is open"
        remedy = "read its label, and write resistance:, fault_current: or cold_cranking:"
    else:
        text += ", so what a device must break is open"
        remedy = "ask its maker, and write fault_current:, or current: with self_limiting: true"
    return Breach(
        rule="fuse 37" if entry.ac else "fuse 10",
        entry=entry.entry,
        message=f"{text} at {_named(waiting)}",
        remedy=remedy,
        way=(entry.live, waiting[0].key),
        subjects=tuple(dict.fromkeys(guard.entry for guard in waiting)),
    )


def _battery(entry: PowerSource, faults: Mapping[str, DeviceFault]) -> Iterator[Breach]:
    """Name what is not known of a bank although the table goes by it."""
    if not any(entry.key in fault.sources for fault in faults.values()):
        return
    missing = []
    if entry.chemistry is None:
        missing.append("whether it is lead or lithium (lithium asks for the 20 kA class)")
    if entry.chemistry != "lithium" and entry.cranking_a is None:
        missing.append("its cold cranking amperes (Table V-A goes by them)")
    if missing:
        text = f"{entry.name}: {' and '.join(missing)} is not known, so breaking capacity is judged without"
        yield Breach(rule="fuse 38", entry=entry.entry, message=text, remedy="read its label, and say it")


def _facts_apart(sources: Iterable[PowerSource]) -> Iterator[Breach]:
    for entry in sources:
        said = stated_a(entry)
        if len(said) < 2 or max(said.values()) <= FACTS_APART * min(said.values()):
            continue
        each = ", ".join(f"{fact}: means {amps:.0f} A" for fact, amps in said.items())
        yield Breach(
            rule="fuse 100",
            entry=entry.entry,
            message=f"{entry.name}: its facts don't agree on its fault current: {each}; the highest counts",
            remedy="read its paper again; one of them is wrong by a power of ten or is another battery's",
            measured=max(said.values()) / min(said.values()),
            limit=FACTS_APART,
        )


def _breaking(source: Mapping[str, PowerSource], faults: Mapping[str, DeviceFault]) -> Iterator[Breach]:
    """Hold breaking capacities against what is needed; devices of one panel and one kind come out once."""
    weak: dict[tuple[str, str, float | None], list[tuple[DeviceFault, float, str]]] = {}
    for fault in faults.values():
        guard = fault.guard
        need, by = needed_a(fault, source)
        least = fault.highest_a if need is None else need
        if least is None or (need is None and guard.breaking_a is None):
            continue
        if guard.breaking_a is None or guard.breaking_a < least - 1e-6:
            where = ".".join(guard.entry.split(".")[:2])
            weak.setdefault((where, guard.kind, guard.breaking_a), []).append((fault, least, by))
    for (_, kind, capacity), group in weak.items():
        yield _too_weak(kind, capacity, group, source)


def _too_weak(
    kind: str, capacity: float | None, group: list[tuple[DeviceFault, float, str]], source: Mapping[str, PowerSource]
) -> Breach:
    fault, need, by = max(group, key=lambda entry: entry[1])
    guards = [entry[0].guard for entry in group]
    feeding = " + ".join(source[key].name for key in fault.sources) or "its sources"
    at = _named(guards)
    asked = f"{need:.0f} A are asked by {by or 'U/R, without the sources of unknown strength'}"
    asked += f" ({feeding}, state '{fault.highest_state}')" if need == fault.highest_a else ""
    told = Breach(
        rule="fuse 9",
        entry=guards[0].entry,
        message=f"{at}: what the {kind} can break is not known; {asked}",
        remedy=f"give breaking_capacity: from its paper, at least {need:.0f} A",
        way=(*fault.sources, fault.guard.key),
        subjects=tuple(dict.fromkeys(guard.entry for guard in guards)),
        limit=need,
        unit="A",
    )
    if capacity is None:
        return told
    told = replace(told, rule="fuse 8", message=f"{at}: the {kind} breaks {capacity:.0f} A, {asked}", measured=capacity)
    if need == fault.highest_a and (fault.sure_a or 0.0) <= capacity:
        text = f"{told.message}; conductors of unknown size or length before it are counted as no resistance"
        remedy = "give size and length of the conductors before it"
        return replace(told, message=text, remedy=remedy, severity=Severity.WATCH)
    remedy = "take a device of higher breaking capacity, or a fuse that limits the current before it"
    return replace(told, remedy=remedy)


def _voltages(source: Mapping[str, PowerSource], faults: Mapping[str, DeviceFault]) -> Iterator[Breach]:
    """Hold the voltage and kind of each device against the sources that reach it."""
    blank: dict[tuple[str, str], list[tuple[Guard, float]]] = {}
    for fault in faults.values():
        guard = fault.guard
        feeding = [source[key] for key in (*fault.sources, *fault.unknown) if key in source]
        if not feeding:
            continue
        volts = max(entry.nominal_v for entry in feeding)
        ac = any(entry.ac for entry in feeding)
        most = guard.voltage
        if guard.kind == "blade fuse" and (ac or volts > BLADE_V):
            most = 0.0 if ac else min(most or BLADE_V, BLADE_V)
        if most is not None and most < volts:
            what = "a blade fuse, which is not made for AC mains," if ac and not most else f"a device for {most:g} V"
            yield Breach(
                rule="fuse 16",
                entry=guard.entry,
                message=f"{guard.name}: {what} on {volts:g} V {'AC' if ac else 'DC'}",
                remedy="take one for the system's voltage",
                measured=most,
                limit=volts,
                unit="V",
            )
        elif guard.voltage is None and not ac and (volts > ASKED_ABOVE_V or guard.kind == "miniature breaker"):
            where = ".".join(guard.entry.split(".")[:2])
            blank.setdefault((where, guard.kind), []).append((guard, volts))
    for (_, kind), group in blank.items():
        guards, volts = [guard for guard, _ in group], max(volts for _, volts in group)
        yield Breach(
            rule="fuse 101",
            entry=guards[0].entry,
            message=f"{_named(guards)}: for which DC voltage the {kind} is made is not known; {volts:g} V stand at it",
            remedy="give voltage: from its paper, the figure for DC",
            subjects=tuple(dict.fromkeys(guard.entry for guard in guards)),
        )


def _opening(system: System, faults: Mapping[str, DeviceFault]) -> Iterator[Breach]:
    """Lowest fault against the trip curve; devices without a known curve are named together, panel by panel."""
    blank: dict[str, list[Guard]] = {}
    limited: dict[tuple[str, tuple[str, ...]], list[DeviceFault]] = {}
    for fault in faults.values():
        guard = fault.guard
        if guard.rating_a is None:
            continue
        if guard.trips_at is None:
            blank.setdefault(".".join(guard.entry.split(".")[:2]), []).append(guard)
        if fault.lowest_a is None or _borne(fault):
            continue
        sure, once = SURE_SHARE * guard.rating_a, (guard.trips_at or 0.0) * guard.rating_a
        far = system.node[fault.far].name
        told = Breach(
            rule="fuse 23",
            entry=guard.entry,
            message=f"{guard.name}: a short at {far} gives {fault.lowest_a:.0f} A, its {guard.rating_a:g} A device",
            remedy="thicken or shorten the run, or take a lower rating",
            way=(guard.key, fault.far),
            measured=fault.lowest_a,
            limit=sure,
            unit="A",
        )
        if fault.lowest_a < sure - 1e-6:
            yield replace(told, message=f"{told.message} may never open below {sure:.0f} A")
        elif fault.lowest_a < once - 1e-6 and fault.limited:
            limited.setdefault((".".join(guard.entry.split(".")[:2]), fault.sources), []).append(fault)
        elif fault.lowest_a < once - 1e-6:
            text = f"{told.message} opens at once from {once:.0f} A"
            yield replace(told, rule="fuse 11", message=text, limit=once)
    for group in limited.values():
        yield _late(system, group)
    for guards in blank.values():
        yield Breach(
            rule="fuse 12",
            entry=guards[0].entry,
            message=f"{_named(guards)}: the trip curve is not known, so a short at the far end could not be judged",
            remedy="give trips_at: from the maker's paper",
            subjects=tuple(dict.fromkeys(guard.entry for guard in guards)),
        )


def _late(system: System, group: list[DeviceFault]) -> Breach:
    """Return devices of one panel that sources which limit themselves open late, together."""
    worst = min(group, key=lambda fault: fault.lowest_a or math.inf)
    names = {source.key: source.name for source in system.sources}
    once = [(fault.guard.trips_at or 0.0) * (fault.guard.rating_a or 0.0) for fault in group]
    text = (
        f"{_named(fault.guard for fault in group)}: {' + '.join(names[key] for key in worst.sources)} limits itself, "
    )
    text += f"so a short gives {worst.lowest_a:.0f} A; they open at once from {min(once):.0f}"
    text += f" to {max(once):.0f} A" if max(once) > min(once) else " A"
    return Breach(
        rule="fuse 11",
        entry=worst.guard.entry,
        message=text,
        remedy="take lower ratings, or devices that open surely at that current",
        way=(*worst.sources, worst.guard.key, worst.far),
        subjects=tuple(dict.fromkeys(fault.guard.entry for fault in group)),
        measured=worst.lowest_a,
        limit=min(once),
        unit="A",
    )


def _borne(fault: DeviceFault) -> bool:
    """Tell whether sources that limit themselves give no more than its conductors bear for ever."""
    return fault.limited and fault.bears_a is not None and (fault.highest_a or math.inf) <= fault.bears_a


def _named(guards: Iterable[Guard]) -> str:
    """Return the devices in words: the first few by name, the others by number."""
    names = list(dict.fromkeys(guard.name for guard in guards))
    more = len(names) - _NAMED_MOST
    return ", ".join(names[:_NAMED_MOST]) + (f" and {more} more" if more > 0 else "")
