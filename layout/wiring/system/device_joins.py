"""What a device joins inside."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.wiring.circuits.passed_on import passed_on
from layout.wiring.system.graph import LIVE_POLES, RETURN_POLES, Join

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from layout.wiring.circuits.ends import Ends
    from layout.wiring.circuits.passed_on import AtPole
    from layout.wiring.system.graph import Conductor
    from layout.wiring.system.terminals import Terminals


def joins_inside(terminals: Terminals, conductors: Iterable[Conductor], ends: Ends) -> list[Join]:
    """Return what a device joins inside: the pairs it names, else its terminals of one pole that are passed through.

    A fuse stands between what arrives at its holder and what leaves it.
    """
    node = {entry.key: entry for entry in terminals.nodes}
    joins = [
        Join(a=f"{owner}/{a}", b=f"{owner}/{b}", owner=owner)
        for owner, device in ends.project.devices.items()
        for a, b in device.joins
        if {f"{owner}/{a}", f"{owner}/{b}"} <= node.keys() and device.aboard != "remove"
    ]

    def passing(keys: Iterable[str]) -> Iterator[AtPole]:
        for key in keys:
            owner, pole = node[key].owner, node[key].pole
            if ends.kind(owner) == "devices" and not ends.project.devices[owner].joins and owner not in ends.holders:
                yield owner, pole or "", key

    mains = [conductor for conductor in conductors if conductor.pole in LIVE_POLES | RETURN_POLES]
    pairs = passed_on(passing(c.end for c in mains), passing(c.start for c in mains))
    return joins + [Join(a=a, b=b, owner=owner) for owner, a, b in pairs]
