"""Law 3, poles and systems: a net has one pole and one voltage, and a terminal takes its own pole only."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.wiring.laws.breach import Breach
from layout.wiring.system.graph import EARTH_POLES, LIVE_POLES, RETURN_POLES
from layout.wiring.system.nets import nets

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.wiring.system.graph import Conductor, Node, System

RANK = ("source", "panel", "bar", "switch", "way", "device", "splice", "inner")
"""Which terminal of a net is named: what people know best comes first."""


def poles(system: System) -> Iterator[Breach]:
    """Yield each conductor on a terminal of another pole, and each net of two poles, two voltages, or DC and AC."""
    wrong: set[str] = set()
    for conductor in system.conductors:
        for node in (system.node[conductor.start], system.node[conductor.end]):
            breach = _landing(conductor, node)
            if breach is not None:
                wrong.add(conductor.key)
                yield breach
    yield from _two_on_one(system)
    yield from _earths(system)
    yield from _nets(system, wrong)


def _landing(conductor: Conductor, node: Node) -> Breach | None:
    """Return what is wrong with one end; the pole of a conductor is that of its terminal."""
    if conductor.pole in ("data", "antenna"):
        return None
    if node.missing:
        return Breach(
            rule="fuse 76",
            entry=conductor.entry,
            message=f"{conductor.name}: {node.name.partition(',')[0]} has no terminal of pole {conductor.pole}",
            remedy=f"write the terminal it goes to, or declare one with pole: {conductor.pole}",
            way=(conductor.key, node.key),
            related=_related(node),
        )
    if node.pole is None or _fits(conductor.pole, node.pole):
        return None
    if node.kind == "inner":
        return None  # told at the conductor's other end
    return Breach(
        rule="fuse 75",
        entry=conductor.entry,
        message=f"{conductor.name}: pole {conductor.pole}, but it is on {node.name}, which is of pole {node.pole}",
        remedy="move this end to the terminal of its own pole, or write the conductor's right pole",
        way=(conductor.key, node.key),
        related=_related(node),
    )


def _fits(conductor: str, terminal: str) -> bool:
    if conductor == "bond":
        return terminal in EARTH_POLES | {"-"}  # a bond joins earth, hull and DC negative, and never neutral
    return conductor == terminal or {conductor, terminal} == EARTH_POLES


def _related(node: Node) -> tuple[str, ...]:
    return (f"{node.section}.{node.owner}",) if node.section else ()


def _two_on_one(system: System) -> Iterator[Breach]:
    """Yield terminals without a declared pole that take conductors of several."""
    for key, conductors in system.conductors_at.items():
        node = system.node[key]
        landed = {c.pole for c in conductors if c.pole not in ("data", "antenna")}
        if node.pole is not None or len(landed) < 2:
            continue
        names = ", ".join(f"{c.name} ({c.pole})" for c in conductors)
        yield Breach(
            rule="fuse 75",
            entry=conductors[0].entry,
            message=f"{node.name}: conductors of different poles are on one terminal: {names}",
            remedy="give each conductor a terminal of its own pole",
            way=(key, *(c.key for c in conductors)),
            related=_related(node),
        )


def _earths(system: System) -> Iterator[Breach]:
    """Yield AC sources and bonded parts that are not joined to the main earth, where there is one."""
    bars = [node for node in system.nodes if node.kind == "bar" and node.pole == "bond"]
    if not bars or not system.states:
        return
    net, main = nets(system, system.states[0], earth=True), bars[0]
    earthed = [
        (
            source.earth,
            source.entry,
            f"{source.name}: its protective earth",
            "a protective conductor from the AC earth bar",
        )
        for source in system.sources
        if source.earth is not None and system.conductors_at.get(source.earth)
    ]
    earthed += [
        (node.key, f"{node.section}.{node.owner}", f"{node.name}: it", "a bond from it")
        for node in system.nodes
        if node.kind == "device" and node.pole == "bond"
    ]
    for key, entry, what, lead in earthed:
        if not any(net.joined(key, bar.key) for bar in bars):
            yield Breach(
                rule="fuse 116",
                entry=entry,
                message=f"{what} is not joined to {main.name}",
                remedy=f"lead {lead} to the main earth",
                way=(key, main.key),
                related=_related(main),
            )


def _nets(system: System, wrong: set[str]) -> Iterator[Breach]:
    """Yield nets of several poles or live voltages; a return is common to DC systems, never to DC and AC.

    Conductors that are on a wrong terminal are told already and left out, so that each fault is said once.
    """
    told: set[tuple[str, ...]] = set()
    for state in system.states:
        for members in nets(system, state, without=wrong).members().values():
            known = [system.node[key] for key in members if system.node[key].pole is not None]
            mixed = sorted({str(node.pole) for node in known if node.pole not in EARTH_POLES})
            two = len(mixed) > 1
            breach = _two_poles(system, known, mixed, state.name) if two else _two_voltages(known, state.name)
            if breach is not None and breach.way not in told:
                told.add(breach.way)
                yield breach


def _two_poles(system: System, known: list[Node], mixed: list[str], state: str) -> Breach:
    by = {pole: next(node for node in known if node.pole == pole) for pole in mixed}
    live, back = any(p in LIVE_POLES for p in mixed), any(p in RETURN_POLES for p in mixed)
    rule, what = ("fuse 75", "a short circuit") if live and back else ("fuse 77", "AC and DC joined")
    names = " and ".join(f"{node.name} ({pole})" for pole, node in by.items())
    first = next(iter(by.values()))
    joint = _joint(system, by[mixed[0]].key, by[mixed[1]].key)
    return Breach(
        rule=rule,
        entry=joint or f"{first.section}.{first.owner}",
        message=f"state '{state}': {names} are one net: {what}",
        remedy="follow the conductors between the two and take the wrong one away",
        way=tuple(node.key for node in by.values()),
        related=tuple(key for node in by.values() for key in _related(node)),
    )


def _two_voltages(known: list[Node], state: str) -> Breach | None:
    live = [node for node in known if node.pole in LIVE_POLES and node.nominal_v is not None]
    levels = sorted({node.nominal_v for node in live if node.nominal_v is not None})
    if len(levels) < 2:
        return None
    live.sort(key=lambda node: RANK.index(node.kind))
    by = {level: next(node for node in live if node.nominal_v == level) for level in levels}
    names = " and ".join(f"{node.name} ({level:g} V)" for level, node in by.items())
    first = next(iter(by.values()))
    return Breach(
        rule="wire 52",
        entry=f"{first.section}.{first.owner}",
        message=f"state '{state}': {names} are one net",
        remedy="take them apart, or put a converter between them",
        way=tuple(node.key for node in by.values()),
        related=tuple(key for node in by.values() for key in _related(node)),
    )


def _joint(system: System, first: str, second: str) -> str:
    """Return the entry of a conductor that leads straight from one node to the other, empty where none does."""
    for conductor in system.conductors_at.get(first, ()):
        if second in (conductor.start, conductor.end):
            return conductor.entry
    return ""
