"""What a device joins inside."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.wiring.system.graph import LIVE_POLES, RETURN_POLES, Join

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layout.wiring.circuits.ends import Ends
    from layout.wiring.system.graph import Conductor
    from layout.wiring.system.terminals import Terminals


def joins_inside(terminals: Terminals, conductors: Iterable[Conductor], ends: Ends) -> list[Join]:
    """Return what a device joins inside: the pairs it names, else its terminals of one pole that are passed through.

    That is where a conductor arrives at one and another leaves from the other: a fuse holder, a shunt in the return. A
    clamp of a terminal block, where one arrives and another leaves, is joined to no other clamp.
    """
    arrives: dict[str, list[str]] = {}
    leaves: dict[str, list[str]] = {}
    node = {entry.key: entry for entry in terminals.nodes}
    for conductor in conductors:
        if conductor.pole in LIVE_POLES | RETURN_POLES:
            arrives.setdefault(node[conductor.end].owner, []).append(conductor.end)
            leaves.setdefault(node[conductor.start].owner, []).append(conductor.start)
    joins = [
        Join(a=f"{owner}/{a}", b=f"{owner}/{b}", owner=owner)
        for owner, device in ends.project.devices.items()
        for a, b in device.joins
        if {f"{owner}/{a}", f"{owner}/{b}"} <= node.keys() and device.aboard != "remove"
    ]
    for owner, landed in arrives.items():
        if ends.kind(owner) != "devices":
            continue
        if ends.project.devices[owner].joins or owner in ends.holders:
            continue  # a fuse stands between what arrives at its holder and what leaves it
        left = leaves.get(owner, [])
        for end in dict.fromkeys(landed):
            joins += [
                Join(a=end, b=start, owner=owner)
                for start in dict.fromkeys(left)
                if node[start].pole == node[end].pole and not {end, start} & {*landed}.intersection(left)
            ]
    return joins
