"""Law 8: a starting current opens no protective device, reaches its motor, and leaves the others what they bear."""

from __future__ import annotations

import itertools
import math
from typing import TYPE_CHECKING, NamedTuple

from layout.findings import Severity
from layout.wiring.laws.breach import Breach
from layout.wiring.system.bridges import cuts_in
from layout.wiring.system.fault_network import Infeed, network_of
from layout.wiring.system.infeeds import LOW_SHARE, full_v, limits_itself, low_v, weakest
from layout.wiring.system.nets import bare_nets, different_states, nets

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from layout.wiring.system.fault_network import FaultNetwork, Shorts
    from layout.wiring.system.graph import Conductor, Consumer, Guard, PowerSource, SwitchContact, SwitchState, System
    from layout.wiring.system.nets import Nets

AT_ONCE_SHARE = 0.9
"""Share of what opens a device at once from which an inrush may open it (a guess: makers' curves have a band)."""
WARM = 1.118
"""Resistance of copper at 50 °C against 20 °C (IEC 60228: 0.00393 a kelvin), where the working one is not given."""
BORNE_SHARE = 0.75
"""Share of nominal that a load is taken to bear for an instant where its maker says nothing (IEC 60092-101, from
memory)."""
_NAMED_MOST = 4
"""So many loads are named in one finding; the others are counted."""


class _Running(NamedTuple):
    """A load with its two nodes, and the voltage that it has from a low and from a full battery while it runs."""

    load: Consumer
    at: tuple[str, str]
    low_v: float
    full_v: float
    nominal_v: float


class _Start(NamedTuple):
    """One motor in one state, with the network that feeds it; the other loads are off."""

    motor: Consumer
    at: tuple[str, str]
    amps: float
    state: SwitchState
    low: Shorts
    running: tuple[_Running, ...]
    network: FaultNetwork
    nets: Nets


def starting(system: System) -> Iterator[Breach]:
    """Yield motors that open their device, don't start, or starve others, and what is not known of them."""
    motors = [consumer for consumer in system.consumers if consumer.motor and not consumer.feeds]
    bare = bare_nets(system, system.states[0])
    done: set[str] = set()
    for motor in motors:
        if motor.entry not in done:
            done.add(motor.entry)
            yield from _unknown(motor)
            yield from _stall(system, motor, bare)
    yield from _switches(system, [motor for motor in motors if motor.starter])
    told: set[tuple[str, str]] = set()
    for state in different_states(system):
        if not state.all_open and not state.short_time and any(motor.inrush_a for motor in motors):
            for start in _starts(system, state, motors):
                for breach in _of_start(system, start):
                    if (breach.rule, breach.entry) not in told:
                        told.add((breach.rule, breach.entry))
                        yield breach


def _unknown(motor: Consumer) -> Iterator[Breach]:
    facts = {"inrush": motor.inrush_a, "locked_rotor": motor.locked_rotor_a, "start_voltage": motor.start_v}
    if motor.starter and not motor.circuit and motor.turning_a is None:
        text = f"{motor.name}: what it draws while it turns the engine is not known, so neither the switches on its"
        text += " way nor the voltage at it are judged"
        remedy = "give the device starting: {current: ..., start_voltage: ...} from its maker's paper"
        yield Breach(rule="wire 28", entry=motor.entry, message=text, remedy=remedy)
        return
    if motor.starter:
        del facts["locked_rotor"]
    missing = [fact for fact, value in facts.items() if value is None]
    if missing:
        text = f"{motor.name}: {', '.join(missing)} of its motor not known"
        yield Breach(rule="wire 28", entry=f"{motor.entry}.load", message=text, remedy="ask the motor's paper")
    if motor.largest_device_a is None and not motor.starter:
        text = f"{motor.name}: which protective device its maker allows is not known"
        yield Breach(rule="fuse 18", entry=f"{motor.entry}.load", message=text, remedy="give largest_protection:")


def _stall(system: System, motor: Consumer, bare: Nets) -> Iterator[Breach]:
    """Tell of a stalled motor that its own device never notices."""
    if motor.locked_rotor_a is None or motor.live is None:
        return
    for guard in system.guards:
        near = bare.joined(guard.b, motor.live) or bare.joined(guard.a, motor.live)
        if near and guard.rating_a is not None and motor.locked_rotor_a <= guard.rating_a:
            yield Breach(
                rule="fuse 22",
                entry=guard.entry,
                message=f"{motor.name}: stalled it draws {motor.locked_rotor_a:g} A, and its device of "
                f"{guard.rating_a:g} A never opens",
                remedy="take the device its maker names",
                way=(guard.key, motor.key),
                subjects=(motor.entry,),
                measured=motor.locked_rotor_a,
                limit=guard.rating_a,
                unit="A",
            )
            return


def _starts(system: System, state: SwitchState, motors: list[Consumer]) -> Iterator[_Start]:
    network, wires = network_of(system, state)
    ohm = [_warm(c) for c in wires] + [0.0] * len(system.guards)
    driving = [source for source in system.sources if not source.charges]
    low = network.with_sources(ohm, [_infeed(source, low_v(source)) for source in driving])
    full = network.with_sources(ohm, [_infeed(source, full_v(source)) for source in driving])
    state_nets = nets(system, state)
    running = tuple(_running(system, low, full))
    for motor in motors:
        if motor.inrush_a is not None and motor.live is not None and motor.back is not None:
            at = (motor.live, motor.back)
            if low.open_v(*at) is not None:
                yield _Start(motor, at, motor.inrush_a, state, low, running, network, state_nets)


def _warm(conductor: Conductor) -> float:
    if conductor.working_ohm is not None:
        return conductor.working_ohm
    if conductor.ohm is not None:
        return WARM * conductor.ohm
    return 0.0 if conductor.is_tail or conductor.implied else math.nan


def _infeed(source: PowerSource, volts: float) -> Infeed:
    """Return a source behind its resistance; one that is not known counts as none here, and is asked by law 7."""
    weak = weakest(source)
    return Infeed(
        source=source.key, live=source.live, back=source.back, volts=volts, ohm=abs(weak.ohm) if weak else 0.0
    )


def _of_start(system: System, start: _Start) -> Iterator[Breach]:
    yield from _devices(system, start)
    yield from _source(system, start)
    yield from _own_volts(start)
    yield from _others(start)


def _devices(system: System, start: _Start) -> Iterator[Breach]:
    """Hold the inrush against what opens each device on its way at once; the nearest that opens comes out."""
    motor = start.motor
    guard_of: dict[str, Guard] = {guard.key: guard for guard in system.guards}
    way = [key for end in start.at for key in start.network.leading_to(end)]
    shares = {key: 1.0 for key in way if key in guard_of}
    for key in start.network.meshed():
        if key in guard_of:
            shares[key] = start.low.share(key, *start.at)
    for key, share in shares.items():
        guard = guard_of[key]
        if guard.trips_at is None or guard.rating_a is None:
            continue
        opens = guard.trips_at * guard.rating_a
        amps = share * start.amps
        if amps < AT_ONCE_SHARE * opens - 1e-6:
            continue
        drawn = f"its inrush of {start.amps:g} A"
        drawn += "" if share > 1 - 1e-3 else f", {amps:.0f} A of it there,"
        verb = "opens" if amps >= opens else "may open"
        yield Breach(
            rule="fuse 102",
            entry=guard.entry,
            message=f"{motor.name}: {drawn} {verb} {guard.name}, {guard.rating_a:g} A, which opens at once from "
            f"{opens:.0f} A (state '{start.state.name}')",
            remedy="take a slower device or a higher rating with the conductor for it, as its maker allows",
            way=(guard.key, motor.key),
            subjects=(motor.entry,),
            related=(motor.entry,),
            measured=amps,
            limit=AT_ONCE_SHARE * opens,
            unit="A",
        )
        return


def _switches(system: System, starters: Sequence[Consumer]) -> Iterator[Breach]:
    """Hold what a starter draws against each switch that leads some battery's current to it, or back.

    Of two banks either may be flat, so the other's switch bears the whole; switches for a short time are among them.
    """
    posts = {post for source in system.sources if source.kind == "battery" for post in (source.live, source.back)}
    told: set[tuple[str, str]] = set()
    for state in different_states(system):
        only = cuts_in(system, state, (*posts, *(end for s in starters for end in (s.live, s.back) if end)))
        for starter, contact in itertools.product(starters, system.closed(state)):
            cut, amps = only.get(contact.key), starter.turning_a
            if cut is None or amps is None or (contact.switch, starter.key) in told:
                continue
            sides = ((cut.on_a, cut.on_b), (cut.on_b, cut.on_a))
            if not any(end in near and posts & far for end in (starter.live, starter.back) for near, far in sides):
                continue
            bears = contact.starting_a if contact.starting_a is not None else contact.rating_a
            if bears is None or amps > bears + 1e-6:
                told.add((contact.switch, starter.key))
                yield _beyond(system, starter, amps, contact)


def _beyond(system: System, starter: Consumer, amps: float, contact: SwitchContact) -> Breach:
    bears = contact.starting_a
    so_long = "what it bears so long is not known" if bears is None else f"it bears {bears:g} A so long"
    name = system.node[contact.a].name.partition(",")[0]
    return Breach(
        rule="fuse 114" if bears is None else "fuse 113",
        entry=contact.entry,
        message=f"{name}: while {starter.name} turns the engine {amps:g} A go through it, and {so_long}",
        remedy="give starting_rating: from its maker's paper" if bears is None else "take one whose maker allows that",
        way=(contact.a, starter.key),
        related=(starter.entry,),
        measured=amps,
        limit=bears,
        unit="A",
    )


def _source(system: System, start: _Start) -> Iterator[Breach]:
    """Tell of a start that only sources with a limit below it feed."""
    live = start.nets.head(start.at[0])
    feeding = [s for s in system.sources if start.nets.head(s.live) == live and not s.charges]
    if not feeding or not all(limits_itself(source) for source in feeding):
        return
    most = sum(source.limit_a or 0.0 for source in feeding)
    if start.amps > most + 1e-6:
        names = " + ".join(source.name for source in feeding)
        yield Breach(
            rule="fuse 104",
            entry=start.motor.entry,
            message=f"{start.motor.name}: its inrush is {start.amps:g} A, {names} gives at most {most:g} A "
            f"(state '{start.state.name}')",
            remedy="ask the maker whether it starts such a motor, or feed it from a battery",
            way=(feeding[0].live, start.at[0]),
            related=tuple(source.entry for source in feeding),
            measured=start.amps,
            limit=most,
            unit="A",
        )


def _own_volts(start: _Start) -> Iterator[Breach]:
    motor = start.motor
    if motor.start_v is None:
        return
    open_v, sag = start.low.open_v(*start.at), start.low.sag_v(start.amps, start.at, start.at)
    if open_v is None or sag is None or math.isnan(sag):
        return
    volts = open_v - sag
    if volts < motor.start_v - 1e-6:
        yield Breach(
            rule="wire 27",
            entry=motor.entry,
            message=f"{motor.name}: at {start.amps:g} A inrush {max(volts, 0.0):.1f} V reach the motor, it starts from "
            f"{motor.start_v:g} V (state '{start.state.name}', low battery)",
            remedy="thicken its conductors or its feeders",
            way=start.network.leading_to(start.at[0]),
            measured=volts,
            limit=motor.start_v,
            unit="V",
        )


class _Starved(NamedTuple):
    name: str
    entry: str
    volts: float
    bears_v: float | None
    even_full: bool


def _others(start: _Start) -> Iterator[Breach]:
    """Name what gets less voltage than it bears while the motor starts; a battery at rest makes it a stop."""
    live = start.nets.head(start.at[0])
    beside = [
        running
        for running in start.running
        if start.nets.head(running.at[0]) == live and running.load.entry != start.motor.entry
    ]
    sags = start.low.sags_v(start.amps, start.at, (running.at for running in beside))
    starved = [
        entry
        for running, sag in zip(beside, sags, strict=True)
        if sag is not None and (entry := _starved(running, sag)) is not None
    ]
    for known in (True, False):
        group = {entry.name: entry for entry in starved if (entry.bears_v is not None) == known}
        if group:
            yield _starving(start, list(group.values()), known=known)


def _running(system: System, low: Shorts, full: Shorts) -> Iterator[_Running]:
    """Yield each load that is no motor with the voltage that it has while it runs alone."""
    for load in system.consumers:
        if load.live is None or load.back is None or load.motor:
            continue
        at = (load.live, load.back)
        open_v, full_open_v, own = low.open_v(*at), full.open_v(*at), low.sag_v(load.draw_a or 0.0, at, at)
        if open_v is not None and full_open_v is not None and own is not None:
            own = 0.0 if math.isnan(own) else own
            yield _Running(load, at, open_v - own, full_open_v - own, load.nominal_v or open_v / LOW_SHARE)


def _starved(running: _Running, sag: float) -> _Starved | None:
    """Return a load that bears no such sag; None for one that does, or that does not bear its own running."""
    load = running.load
    bears = load.lowest_v if load.lowest_v is not None else BORNE_SHARE * running.nominal_v
    volts = running.low_v - sag
    if math.isnan(sag) or volts >= bears - 1e-6 or running.low_v < bears:
        return None
    return _Starved(load.name, load.entry, volts, load.lowest_v, running.full_v - sag < bears)


def _starving(start: _Start, starved: list[_Starved], *, known: bool) -> Breach:
    least = min(starved, key=lambda entry: entry.volts)
    each = [
        f"{max(entry.volts, 0.0):.1f} V at {entry.name}" + (f" (bears {entry.bears_v:g} V)" if known else "")
        for entry in starved[:_NAMED_MOST]
    ]
    more = f" and {len(starved) - _NAMED_MOST} more" if len(starved) > _NAMED_MOST else ""
    text = f"{start.motor.name}: while it starts with {start.amps:g} A only {', '.join(each)}{more} are left"
    text += f" (state '{start.state.name}', low battery)"
    if not known:
        text += "; whether that is borne is not known"
    return Breach(
        rule="fuse 103" if known else "fuse 112",
        entry=start.motor.entry,
        message=text,
        remedy="feed them from another battery or by a way of their own, or thicken what they share with the motor"
        if known
        else "give lowest_voltage: of these loads from their makers' papers",
        way=start.network.leading_to(start.at[0]),
        subjects=tuple(dict.fromkeys(entry.entry for entry in starved)),
        measured=least.volts,
        limit=least.bears_v,
        unit="V",
        severity=Severity.STOP if known and any(entry.even_full for entry in starved) else None,
    )
