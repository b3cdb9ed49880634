"""Whether drops, backbone and their pieces keep their lengths, and every device hangs on one tee."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from layout.findings import Finding
from layout.network.bus_checks.bus_shape import key_of, named, subject_of
from layout.network.piece_graph import PieceGraph
from layout.standards import network

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.network.bus_parts import Assembly


def check_lengths(assembly: Assembly) -> tuple[Finding, ...]:
    """Check drops, backbone, each piece and the count of devices (bus 6-009, 029, 030, 050)."""
    return (*_drops(assembly), *_backbone(assembly), *_short(assembly), *_count(assembly))


def _drops(assembly: Assembly) -> Iterator[Finding]:
    limit = network.most_drop_mm()
    for drop in assembly.drops:
        name = _name(assembly, drop.node)
        at = key_of(assembly, "nodes", drop.node)
        if drop.length_mm is None:
            yield Finding(
                rule="bus 30",
                message=f"the drop of {name} on {named(assembly)} has no known length",
                at=at,
                remedy="write drop: with its length, or the places of device and tee and the wireways between them",
                subjects=_device(assembly, drop.node),
            )
        elif drop.length_mm > limit:
            yield Finding(
                rule="bus 6",
                message=f"the drop of {name} on {named(assembly)} is {drop.length_mm / 1000:.2f} m;"
                f" the limit is {limit / 1000:g} m",
                at=at,
                remedy=f"bring the backbone at least {(drop.length_mm - limit) / 1000:.2f} m nearer to {name}",
                measured=drop.length_mm / 1000,
                limit=limit / 1000,
                unit="m",
                subjects=_device(assembly, drop.node),
            )
    total, most = sum(drop.length_mm or 0.0 for drop in assembly.drops), network.most_drops_together_mm()
    if total > most:
        yield Finding(
            rule="bus 7",
            message=f"the drops of {named(assembly)} come to {total / 1000:.2f} m; the limit is {most / 1000:g} m",
            at=key_of(assembly),
            measured=total / 1000,
            limit=most / 1000,
            unit="m",
            subjects=subject_of(assembly),
        )


def _device(assembly: Assembly, node: str) -> tuple[str, ...]:
    device = assembly.devices.get(node)
    return (f"devices.{device.device}", *subject_of(assembly)) if device else subject_of(assembly)


def reach_mm(assembly: Assembly) -> float:
    """Return the length of the backbone that counts, mm.

    Between terminators; a drop longer than the tail from its tee to the nearer end counts in place of that tail. That
    is the longest way between any two of the ends and the devices' drops.
    """
    pieces = assembly.graph.edges
    drops = [(drop.part, f"device {drop.node}", drop.length_mm or 0.0) for drop in assembly.drops]
    tree = PieceGraph(assembly.graph.nodes, (*pieces, *drops))
    return max((mm for node in tree.nodes for mm in tree.distances_mm(node).values()), default=0.0)


def backbone_mm(assembly: Assembly) -> float:
    """Return the length of all backbone pieces, mm."""
    return sum(piece.length_mm for piece in assembly.pieces)


def _backbone(assembly: Assembly) -> Iterator[Finding]:
    kinds = [piece.cable for piece in assembly.pieces if piece.cable] or [assembly.cable]
    kind = min(kinds, key=lambda cable: (network.most_backbone_mm(cable), cable))
    limit, reach = network.most_backbone_mm(kind), reach_mm(assembly)
    if reach > limit:
        own = backbone_mm(assembly)
        drops = "" if reach <= own else f" ({own / 1000:.2f} m of backbone; longer drops count for the tails)"
        yield Finding(
            rule="bus 8",
            message=f"{named(assembly)} is {reach / 1000:.2f} m long{drops}; {kind} cable allows {limit / 1000:g} m",
            at=key_of(assembly),
            measured=reach / 1000,
            limit=limit / 1000,
            unit="m",
            remedy="take mid cable throughout" if kind == network.LIGHT else "divide the bus in two",
            subjects=subject_of(assembly),
        )


def _short(assembly: Assembly) -> Iterator[Finding]:
    """Find cables that do not reach along the wireways between their ends."""
    cables: list[tuple[str, float | None, float | None, tuple[str, ...], tuple[str, ...]]] = [
        (f"the drop of {_name(assembly, d.node)}", d.length_mm, d.way_mm, _device(assembly, d.node), ("nodes", d.node))
        for d in assembly.drops
    ]
    cables += [
        (f"piece {p.key}", p.length_mm, p.way_mm, subject_of(assembly), ("built",))
        for p in assembly.pieces
        if p.cable is not None
    ]
    for what, length, way, subjects, key in cables:
        if length is None or way is None or length >= way:
            continue
        yield Finding(
            rule="bus 50",
            message=f"{what} on {named(assembly)} is {length / 1000:.2f} m;"
            f" the wireways between its ends are {way / 1000:.2f} m long",
            at=key_of(assembly, *key),
            remedy="write its true length, or move the tee nearer",
            measured=length / 1000,
            limit=way / 1000,
            unit="m",
            subjects=subjects,
        )


def _name(assembly: Assembly, node: str) -> str:
    return assembly.devices[node].name if node in assembly.devices else node


def _count(assembly: Assembly) -> Iterator[Finding]:
    count, most = len(assembly.devices), network.most_devices()
    if count > most:
        yield Finding(
            rule="bus 9",
            message=f"{named(assembly)} has {count} devices; the limit is {most}",
            at=key_of(assembly, "nodes"),
            measured=count,
            limit=most,
            remedy="divide the bus in two",
            subjects=subject_of(assembly),
        )
    hung = Counter(drop.node for drop in assembly.drops)
    for node, device in assembly.devices.items():
        if hung[node] != 1:
            how = "plugs into no tee" if not hung[node] else f"plugs into {hung[node]} tees"
            yield Finding(
                rule="bus 29",
                message=f"{device.name} is on {named(assembly)} but {how}",
                at=key_of(assembly, "nodes", node),
                remedy=f"write {node} in nodes: of exactly one tee",
                subjects=_device(assembly, node),
            )
