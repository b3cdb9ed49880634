"""Law 11, currents add up: at each terminal what arrives goes on, and what goes out by a device comes home by it.

Feed legs and return legs each sum to the load; a bar, a panel or a switch passes on no more than it is rated for; no
load current takes a protective or bonding conductor (Kirchhoff's first law).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.findings.table import Severity
from layout.wiring.laws.breach import Breach
from layout.wiring.system.bridges import cuts_in
from layout.wiring.system.carried import Carried, carried, carried_together
from layout.wiring.system.graph import EARTH_POLES, LIVE_POLES, RETURN_POLES
from layout.wiring.system.nets import nets

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from layout.wiring.system.bridges import Cut
    from layout.wiring.system.graph import Conductor, Consumer, Guard, SwitchState, System
    from layout.wiring.system.nets import Nets

LEAST_A, SHARE = 0.05, 0.02
"""Sums that differ by no more than this count as equal: figures in the file are rounded."""


def currents(system: System) -> Iterator[Breach]:
    """Yield circuits whose legs don't add up, devices that a current passes one way only, and what is overloaded."""
    states = [state for state in system.states if not state.all_open]
    yield from _legs(system, states)
    yield from _borrowed(system, states)
    yield from _in_earth(system, states)
    flows = carried(system)
    yield from _rated(system, flows)
    yield from _opened(system, flows)


# --- legs of a circuit ------------------------------------------------------------------------------------------------


def _legs(system: System, states: Sequence[SwitchState]) -> Iterator[Breach]:
    """Yield circuits with several things on them whose shares do not sum to the load, or are not said."""
    by_circuit: dict[str, list[Consumer]] = {}
    for consumer in system.consumers:
        if consumer.circuit and consumer.live is not None and not consumer.feeds:
            by_circuit.setdefault(consumer.circuit, []).append(consumer)
    lines: dict[str, list[Conductor]] = {}
    for conductor in system.conductors:
        if conductor.said_a is not None and conductor.circuits and not conductor.is_tail:
            lines.setdefault(conductor.entry, []).append(conductor)
    parted = _parted(system, states[0]) if lines and states else {}
    for circuit, consumers in by_circuit.items():
        first = consumers[0]
        owners = dict.fromkeys(system.node[c.live or ""].owner for c in consumers)
        if not all(c.draw_said for c in consumers):
            if len(owners) > 1:
                yield _unsaid(system, circuit, consumers)
            continue
        whole = first.circuit_a
        shares = [c.draw_a for c in consumers if c.draw_a is not None]
        if whole is None or len(shares) < len(consumers):
            continue
        if len(owners) > 1 and not _equal(sum(shares), whole):
            yield Breach(
                rule="fuse 94",
                entry=first.entry,
                message=f"{first.name}: by its legs its things draw {sum(shares):.3g} A together, its load is "
                f"{whole:.3g} A",
                remedy="say current: for each leg so that they add up, or set load: right",
                measured=sum(shares),
                limit=whole,
                unit="A",
            )
            continue
        wrong = [
            (conductor, amps)
            for conductor in lines.get(first.entry, ())
            if (amps := _behind(parted.get(conductor.key), system, circuit)) is not None
            and not _equal(conductor.said_a or 0.0, amps)
        ]
        if wrong:
            listed = ", ".join(
                f"{c.name.removeprefix(f'{first.name}, ')} {c.said_a:.3g} A, where {amps:.3g} A flow"
                for c, amps in wrong
            )
            yield Breach(
                rule="fuse 94",
                entry=first.entry,
                message=f"{first.name}: the file says {listed}",
                remedy="leave current: out where the sum counts, or say what each thing draws",
                way=tuple(conductor.key for conductor, _ in wrong),
            )


def _equal(first: float, second: float) -> bool:
    return abs(first - second) <= max(LEAST_A, SHARE * max(first, second))


def _unsaid(system: System, circuit: str, consumers: Sequence[Consumer]) -> Breach:
    first = consumers[0]
    names = [system.node[c.live or ""].name.partition(",")[0] for c in consumers]
    much = "it all" if first.circuit_a is None else f"all {first.circuit_a:.3g} A"
    return Breach(
        rule="fuse 95",
        entry=first.entry,
        message=f"{first.name}: what {', '.join(dict.fromkeys(names))} each draw is not said, so each part is taken to "
        f"carry {much}",
        remedy=f"say current: on the legs of circuits.{circuit}",
    )


def _parted(system: System, state: SwitchState) -> Mapping[str, Cut]:
    """Return the conductors and devices that are the only way, with the posts and loads on each side."""
    marked = [end for c in system.consumers for end in (c.live, c.back) if end is not None]
    marked += [post for source in system.sources for post in (source.live, source.back)]
    return cuts_in(system, state, marked)


def _behind(cut: Cut | None, system: System, circuit: str) -> float | None:
    """Return what a circuit's things on the far side of its conductor draw; None where there is no one far side."""
    far = None if cut is None else _far(cut, system)
    if far is None:
        return None
    return carried_together(c for c in system.consumers if c.circuit == circuit and (c.live in far or c.back in far))


def _far(cut: Cut, system: System) -> frozenset[str] | None:
    """Return the side of a cut without a source; None where both sides have one, or none has."""
    posts = {post for source in system.sources for post in (source.live, source.back)}
    with_posts = [bool(side & posts) for side in (cut.on_a, cut.on_b)]
    if with_posts == [True, False]:
        return cut.on_b
    return cut.on_a if with_posts == [False, True] else None


# --- out by one device, home by another -------------------------------------------------------------------------------


def _borrowed(system: System, states: Sequence[SwitchState]) -> Iterator[Breach]:
    """Yield loads whose current passes a device of several poles one way only.

    On AC a residual-current device opens at once, and what is switched off stays live by its neutral. On DC only a
    return that another device opens counts: a float switch's feed past its way has its return past it too.
    """
    devices = [poles for poles in system.poles_of.values() if {guard.pole for guard in poles} & RETURN_POLES]
    fed: dict[str, Guard] = {}
    home: dict[str, Guard] = {}
    for state in states if devices else ():
        parted = _parted(system, state)
        for poles in devices:
            sides = {guard.pole in LIVE_POLES: _passing(guard, parted, system) for guard in poles}
            out, back = sides.get(True), sides.get(False)
            if out is None or back is None:
                continue
            for consumer in system.consumers:
                if consumer.live is None or consumer.back is None:
                    continue
                if consumer.live in out and consumer.back not in back and consumer.ac:
                    fed.setdefault(consumer.key, poles[0])
                if consumer.back in back and consumer.live not in out:
                    home.setdefault(consumer.key, poles[0])
    for consumer in system.consumers:
        if consumer.key in fed or consumer.key in home:
            yield _one_way(consumer, fed.get(consumer.key), home.get(consumer.key))


def _one_way(consumer: Consumer, fed: Guard | None, home: Guard | None) -> Breach:
    out = "" if fed is None else f"is fed through {fed.name}"
    back = "" if home is None else f"comes home through {home.name}"
    if fed is None or home is None:
        out, back = out or back, "does not come home through it" if fed is not None else "is not fed through it"
    return Breach(
        rule="fuse 97",
        entry=consumer.entry,
        message=f"{consumer.name}: it {out}, and {back}",
        remedy="land both its conductors on one device: on its way, and on the return that belongs to it",
        way=(consumer.live or "", *(guard.key for guard in (fed, home) if guard is not None), consumer.back or ""),
        related=tuple(dict.fromkeys(guard.entry for guard in (fed, home) if guard is not None)),
        severity=None if consumer.ac else Severity.WATCH,
    )


def _passing(guard: Guard, parted: Mapping[str, Cut], system: System) -> frozenset[str] | None:
    cut = parted.get(guard.key)
    return None if cut is None else _far(cut, system)


# --- load current in earth --------------------------------------------------------------------------------------------


def _in_earth(system: System, states: Sequence[SwitchState]) -> Iterator[Breach]:
    """Yield ways over protective and bonding conductors that lie beside a return: part of its current takes them."""
    near: dict[str, list[tuple[str, Conductor | None]]] = {}
    for conductor in system.conductors:
        if conductor.pole in EARTH_POLES and conductor.start != conductor.end:
            near.setdefault(conductor.start, []).append((conductor.end, conductor))
            near.setdefault(conductor.end, []).append((conductor.start, conductor))
    for source in system.sources:
        if source.neutral_bond and source.earth is not None:
            near.setdefault(source.earth, []).append((source.back, None))
            near.setdefault(source.back, []).append((source.earth, None))
    told: set[str] = set()
    for state in states if near else ():
        net = nets(system, state)
        ends: dict[str, list[str]] = {}
        for node in near:
            ends.setdefault(net.head(node), []).append(node)
        carrying = {net.head(c.back) for c in system.consumers if c.back is not None}
        carrying |= {net.head(source.back) for source in system.sources}
        for start in near:
            if net.head(start) not in carrying:
                continue
            way = _beside(start, near, net, ends)
            if way and not told & {conductor.key for conductor in way}:
                told |= {conductor.key for conductor in way}
                names = " > ".join(dict.fromkeys(conductor.name for conductor in way))
                yield Breach(
                    rule="fuse 96",
                    entry=way[0].entry,
                    message=f"{names}: both its ends are on one return, so load current flows in it",
                    remedy="join earth and return at one point only: leave one of the two joints out",
                    way=tuple(conductor.key for conductor in way),
                    related=tuple(dict.fromkeys(c.entry for c in way[1:] if c.entry != way[0].entry)),
                )


def _beside(
    start: str, near: Mapping[str, Iterable[tuple[str, Conductor | None]]], net: Nets, ends: Mapping[str, Sequence[str]]
) -> tuple[Conductor, ...]:
    """Return the shortest way over earth from a terminal to another one of its own net; empty where there is none.

    It may pass through another net, where ``ends`` gives what else of earth is on it, by the head of the net.
    A way between the neutral bonds inside two sources is not one: bonds are counted by state (fuse 31).
    """
    came: dict[str, tuple[Conductor | None, ...]] = {start: ()}
    waiting = [start]
    for here in waiting:  # grows while it is walked
        for other, conductor in near.get(here, ()):
            if other in came:
                continue
            came[other] = hops = (*came[here], conductor)
            if net.joined(start, other) and (hops[0] is not None or hops[-1] is not None):
                return tuple(hop for hop in hops if hop is not None)
            beyond = [other, *ends[net.head(other)]] if not net.joined(start, other) else [other]
            for node in beyond:
                if node == other or node not in came:
                    came[node] = hops
                    waiting.append(node)
    return ()


# --- ratings in use ---------------------------------------------------------------------------------------------------


def _rated(system: System, flows: Mapping[str, Carried]) -> Iterator[Breach]:
    """Yield bars, breaker panels and switches, an inverter's own too, that pass more in use than they are rated for."""
    exempt = {conductor.key for conductor in system.conductors if conductor.cranking}
    at: dict[str, list[str]] = {}
    for key, a, b in [
        *((c.key, c.start, c.end) for c in system.conductors if c.key not in exempt),
        *((guard.key, guard.a, guard.b) for guard in system.guards),
        *((contact.key, contact.a, contact.b) for contact in system.contacts),
    ]:
        at.setdefault(a, []).append(key)
        at.setdefault(b, []).append(key)
    worst: dict[str, tuple[float, float, str]] = {}
    unrated: set[str] = set()
    for node in system.nodes:
        owner = f"{node.section}.{node.owner}"
        used = [flows[key] for key in at.get(node.key, ()) if key in flows and flows[key].amps != 0.0]
        if node.rating_a is None and used and node.kind in ("bar", "switch"):
            unrated.add(owner)
        if node.rating_a is None or node.kind not in ("bar", "panel", "switch", "source"):
            continue
        for flow in used:
            if flow.amps is not None and flow.amps > worst.get(owner, (0.0,))[0]:
                worst[owner] = (flow.amps, node.rating_a, flow.state)
    names = {f"{node.section}.{node.owner}": node.name.partition(",")[0] for node in system.nodes}
    for owner, (amps, rating, state) in worst.items():
        if amps > rating * (1 + 1e-4):
            bar = owner.startswith("bus_bars.")
            yield Breach(
                rule="wire 45",
                entry=owner,
                message=f"{names[owner]}: {amps:.1f} A at once is more than its {rating:g} A, in state '{state}'",
                remedy="take a larger one, or share the loads out",
                measured=amps,
                limit=rating,
                unit="A",
                severity=Severity.STOP if bar else None,
            )

    for owner in sorted(unrated):
        yield Breach(
            rule="wire 65",
            entry=owner,
            message=f"{names[owner]}: its rating is not known, so whether it bears what flows through it is open",
            remedy="give rating: from what stands on it, or from its maker's paper",
        )


def _opened(system: System, flows: Mapping[str, Carried]) -> Iterator[Breach]:
    """Yield protective devices through which more flows in use than they are rated for: they open, sooner or later."""
    for poles in system.poles_of.values():
        device = poles[0]
        in_use = [flows[guard.key] for guard in poles if guard.key in flows and flows[guard.key].amps is not None]
        most = max(in_use, key=lambda here: here.amps or 0.0, default=None)
        if device.rating_a is None or most is None or most.amps is None or most.amps <= device.rating_a * (1 + 1e-4):
            continue
        lines = [line for pole in poles for line in system.conductors_at.get(pole.b, ()) if line.circuits]
        circuits = dict.fromkeys(f"circuits.{circuit}" for line in lines for circuit in line.circuits)
        names = dict.fromkeys(c.name for c in system.consumers if f"circuits.{c.circuit}" in circuits)
        of = f" ({', '.join(names)})" if names else ""
        alone = device.entry.startswith("circuits.") or ".ways." in device.entry
        yield Breach(
            rule="fuse 3" if alone else "fuse 4",
            entry=device.entry,
            message=f"{device.name}{of}: {most.amps:.3g} A at once, it is rated for {device.rating_a:g} A, in state "
            f"'{most.state}'",
            remedy="take a higher rating and the conductor for it"
            if alone
            else "load it less at once, or say its diversity",
            way=(device.key,),
            subjects=tuple(circuits),
            measured=most.amps,
            limit=device.rating_a,
            unit="A",
        )
