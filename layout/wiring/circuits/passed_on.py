"""What a device that names no joins passes on: a shunt in the return, a fuse holder."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

AtPole = tuple[str, str, str]
"""Owner, pole and node of one end of a conductor."""


def passed_on(arriving: Iterable[AtPole], leaving: Iterable[AtPole]) -> Iterator[AtPole]:
    """Yield owner and two nodes that it joins: one where a conductor arrives and one where another of the pole leaves.

    A node where one arrives and another leaves is a clamp of a terminal block, and is joined to no other.
    """
    arrives: dict[tuple[str, str], dict[str, None]] = {}
    leaves: dict[tuple[str, str], dict[str, None]] = {}
    for ends, nodes in ((arriving, arrives), (leaving, leaves)):
        for owner, pole, node in ends:
            nodes.setdefault((owner, pole), {})[node] = None
    for key, reached in arrives.items():
        left = leaves.get(key, {})
        clamps = reached.keys() & left.keys()
        for a in reached:
            for b in left:
                if not {a, b} & clamps:
                    yield key[0], a, b
