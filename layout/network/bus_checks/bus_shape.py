"""Whether a backbone is a line with a terminator at each end, fed once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.findings import Finding
from layout.findings.finding import Place
from layout.network.piece_graph import PieceGraph
from layout.standards import network

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.network.bus_parts import Assembly, PluggedPart


def check_shape(assembly: Assembly) -> tuple[Finding, ...]:
    """Check terminators, ends, loops, branches, wholeness and the power tap (bus 1-005, 027, 028, 031, 037)."""
    return (*_terminators(assembly), *_line(assembly), *_tap(assembly))


def key_of(assembly: Assembly, *more: str) -> Place:
    """Return the place of a bus or of something in it; the file and line are filled in by who knows the project."""
    return Place(key=".".join(("networks", assembly.bus, *more)))


def subject_of(assembly: Assembly, *parts: PluggedPart) -> tuple[str, ...]:
    """Return the subjects of findings about the bus as a whole, and about parts of it."""
    return (f"networks.{assembly.bus}", *(f"networks.{assembly.bus}.{part.key}" for part in parts))


def named(assembly: Assembly) -> str:
    """Return what a message calls the bus."""
    return assembly.name or assembly.bus


def _where(part: PluggedPart) -> str:
    return f"{part.title} at {part.at}" if part.at else part.title


def _terminators(assembly: Assembly) -> Iterator[Finding]:
    found = [part for part in assembly.parts if part.kind == "terminator"]
    if len(found) != 2:
        yield Finding(
            rule="bus 1",
            message=f"{named(assembly)} has {len(found)} terminators; it takes 2, one at each end of the backbone",
            at=key_of(assembly, "built"),
            remedy="add the missing terminator" if len(found) < 2 else f"take out {_where(_surplus(assembly, found))}",
            measured=len(found),
            limit=2,
            subjects=subject_of(assembly),
        )
    ends = set(_ends(assembly))
    for part in found:
        if part.key not in ends and len(assembly.parts) > 1:
            yield Finding(
                rule="bus 2",
                message=f"{_where(part)} of {named(assembly)} stands in the middle of the backbone",
                at=key_of(assembly, "built"),
                remedy="take it out, or move it to the end of the backbone",
                subjects=subject_of(assembly, part),
            )
        nominal = network.terminator_ohm()
        if part.resistance_ohm is not None and not nominal * 0.99 <= part.resistance_ohm <= nominal * 1.01:
            yield Finding(
                rule="bus 37",
                message=f"{_where(part)} of {named(assembly)} has {part.resistance_ohm:g} ohm, not {nominal:g} ohm",
                at=key_of(assembly, "built"),
                measured=part.resistance_ohm,
                limit=nominal,
                unit="ohm",
                subjects=subject_of(assembly, part),
            )
    for key in _ends(assembly):
        part = assembly.part_by_key[key]
        if part.kind != "terminator":
            yield Finding(
                rule="bus 3",
                message=f"the backbone of {named(assembly)} ends at {_where(part)} without a terminator",
                at=key_of(assembly, "built"),
                remedy="plug a terminator in there",
                subjects=subject_of(assembly, part),
            )


def _ends(assembly: Assembly) -> tuple[str, ...]:
    """Return the ends of the backbone: where only one piece arrives, but not a terminator on a drop port.

    Of a backbone with more than two ends the two farthest apart count; a side branch is no end.
    """
    graph = assembly.graph
    loose = [key for key in graph.nodes if graph.degree(key) <= 1]
    if len(loose) <= 2:
        return tuple(loose)
    ends: list[str] = []
    for group in graph.groups():
        here = [key for key in loose if key in group]
        ends.extend(_farthest(graph, here) if len(here) > 2 else here)
    return tuple(key for key in loose if key in ends)


def _farthest(graph: PieceGraph, keys: list[str]) -> tuple[str, str]:
    """Return the two keys with the most pieces and length between them; the first such pair in order."""
    best: tuple[float, float, str, str] | None = None
    for row, first in enumerate(keys):
        lengths, hops = graph.distances_mm(first), graph.group_of(first)
        for second in keys[row + 1 :]:
            reach = (float(lengths[second]), float(hops[second]))
            if best is None or reach > best[:2]:
                best = (*reach, first, second)
    if best is None:
        raise ValueError("there are no two ends to compare")
    return best[2], best[3]


def _surplus(assembly: Assembly, found: list[PluggedPart]) -> PluggedPart:
    ends = _ends(assembly)
    return next((part for part in found if part.key not in ends), found[-1])


def _line(assembly: Assembly) -> Iterator[Finding]:
    graph = assembly.graph
    groups = graph.groups()
    if len(groups) > 1:
        yield Finding(
            rule="bus 31",
            message=f"the backbone of {named(assembly)} is in {len(groups)} pieces that nothing joins",
            at=key_of(assembly, "built"),
            measured=len(groups),
            limit=1,
            subjects=subject_of(assembly),
        )
    if len(graph.edges) > len(graph.nodes) - len(groups):
        ring = _ring(assembly)
        yield Finding(
            rule="bus 4",
            message=f"the backbone of {named(assembly)} runs in a loop through {', '.join(ring)}",
            at=key_of(assembly, "built"),
            remedy="open the loop at one piece and close both ends with terminators",
            subjects=subject_of(assembly),
        )
    for part in assembly.parts:
        if graph.degree(part.key) > 2:
            yield Finding(
                rule="bus 5",
                message=f"the backbone of {named(assembly)} branches at {_where(part)}: {graph.degree(part.key)} pieces"
                " arrive there, a line has 2",
                at=key_of(assembly, "built"),
                remedy="lead the backbone there and back in one line, or make the branch a drop within its limits",
                measured=graph.degree(part.key),
                limit=2,
                subjects=subject_of(assembly, part),
            )


def _ring(assembly: Assembly) -> list[str]:
    graph = assembly.graph
    for at, (first, second, _) in enumerate(graph.edges):
        rest = PieceGraph(graph.nodes, graph.edges[:at] + graph.edges[at + 1 :])
        if way := rest.way(first, second):
            return [assembly.part_by_key[key].title for key in way]
    return []


def _tap(assembly: Assembly) -> Iterator[Finding]:
    taps = assembly.taps
    if len(taps) != 1:
        yield Finding(
            rule="bus 27",
            message=f"{named(assembly)} has {len(taps)} power taps; it takes 1",
            at=key_of(assembly, "built"),
            measured=len(taps),
            limit=1,
            subjects=subject_of(assembly),
        )
    for tap in taps:
        sides = [load for load in _loads_by_side(assembly, tap.key) if load > 0]
        if len(sides) == 1 and sides[0] > 1:
            yield Finding(
                rule="bus 28",
                message=f"{_where(tap)} feeds {named(assembly)} from one end: all {sides[0]} LEN are on one side",
                at=key_of(assembly, "built"),
                remedy="move the power tap towards the middle of the loads",
                measured=sides[0],
                unit="LEN",
                subjects=subject_of(assembly, tap),
            )


def _loads_by_side(assembly: Assembly, tap: str) -> list[int]:
    graph = assembly.graph
    beside = graph.beside(tap)
    loads = []
    for group in graph.without(tap).groups():
        if any(key in beside for key in group):
            drops = [drop for drop in assembly.drops if drop.part in group]
            loads.append(sum(assembly.devices[d.node].load_units or 0 for d in drops if d.node in assembly.devices))
    return loads
