"""Law 9: what can spark stands in no space with petrol, gas or battery gas, unless it is made for that.

Sources: ISO 8846 (ignition protection), 33 CFR 183.410 and 183.610 (petrol engines: ignition protection, blowers).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.wiring.laws.breach import Breach

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from layout.wiring.system.graph import Guard, Node, System

BLOWER = "bilge blower"
"""Purpose of the circuit that blows out an engine space."""
_NAMED_MOST = 4
"""So many things are named in one finding; the others are counted."""


def spaces(system: System) -> Iterator[Breach]:
    """Yield devices, switches, sources, fuses and joints among gas that are not said to stand it."""
    yield from _owners(system)
    yield from _guards(system)
    yield from _joints(system)
    yield from _blower(system)


def _where(system: System, location: str | None, vapour: str) -> str:
    return f"{system.place_names.get(location or '', location or '')} ({vapour})"


def _owners(system: System) -> Iterator[Breach]:
    """Tell of each thing with terminals; a battery among its own gas is what the gas comes from."""
    batteries = {node for s in system.sources if s.kind == "battery" for node in (s.live, s.back)}
    told: set[str] = set()
    for node in system.nodes:
        sparks = node.vapour and node.kind in ("source", "panel", "way", "switch", "device")
        if not sparks or node.ignition_protected is True or node.owner in told or node.key in batteries:
            continue
        if node.key not in system.conductors_at and node.kind != "switch":
            continue
        told.add(node.owner)
        yield Breach(
            rule="wire 30",
            entry=f"{node.section}.{node.owner}",
            message=f"{_owner_name(node)}: it stands in {_where(system, node.location, node.vapour)} and is not said "
            "to be ignition-protected",
            remedy="move it, or take an ignition-protected one",
            way=(node.key,),
        )


def _owner_name(node: Node) -> str:
    """Return the owner's name: the terminal's without its last part."""
    terminal = node.key.partition("/")[2]
    return node.name.removesuffix(f", {terminal}") if terminal else node.name


def _guards(system: System) -> Iterator[Breach]:
    """Tell of fuses and breakers in each space, those of one space together; a panel's ways are told with the panel."""
    among: dict[tuple[str | None, str], list[Guard]] = {}
    for poles in system.poles_of.values():
        guard = poles[0]
        if guard.vapour and guard.ignition_protected is not True and system.node[guard.a].kind != "panel":
            among.setdefault((guard.location, guard.vapour), []).append(guard)
    for (location, vapour), guards in among.items():
        kinds = " and ".join(dict.fromkeys(f"a {guard.kind}" for guard in guards))
        yield Breach(
            rule="wire 30",
            entry=guards[0].entry,
            message=f"{_named(guard.name for guard in guards)}: {kinds} in {_where(system, location, vapour)}, and not "
            "said to be ignition-protected",
            remedy="move it out of the space and say its location:, or take an ignition-protected one and say "
            "ignition_protected: true",
            way=tuple(guard.key for guard in guards),
            subjects=tuple(dict.fromkeys(guard.entry for guard in guards)),
        )


def _joints(system: System) -> Iterator[Breach]:
    """Tell of joints in the air and of bars in each space, together."""
    among: dict[tuple[str | None, str], list[Node]] = {}
    for node in system.nodes:
        if node.vapour and node.kind in ("splice", "bar") and node.ignition_protected is not True:
            among.setdefault((node.location, node.vapour), []).append(node)
    for (location, vapour), nodes in among.items():
        what = " and ".join(dict.fromkeys("a bar" if node.kind == "bar" else "a joint" for node in nodes))
        yield Breach(
            rule="fuse 108",
            entry=f"{nodes[0].section}.{nodes[0].owner}",
            message=f"{_named(node.name for node in nodes)}: {what} in {_where(system, location, vapour)}",
            remedy="lead the conductor through in one piece, or make the joint outside",
            way=tuple(node.key for node in nodes),
        )


def _blower(system: System) -> Iterator[Breach]:
    if system.petrol_spaces and not any(consumer.purpose == BLOWER for consumer in system.consumers):
        yield Breach(
            rule="fuse 109",
            entry="boat.fuel",
            message=f"{', '.join(system.petrol_spaces)}: a petrol engine's space, and no circuit is for a {BLOWER}",
            remedy=f"fit one, and give its circuit purpose: {BLOWER}",
        )


def _named(names: Iterable[str]) -> str:
    each = list(dict.fromkeys(names))
    more = len(each) - _NAMED_MOST
    return ", ".join(each[:_NAMED_MOST]) + (f" and {more} more" if more > 0 else "")
