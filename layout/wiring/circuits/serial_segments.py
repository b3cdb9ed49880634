"""Serial links in the schedule: one pair, wires A and B, from the talker to each listener."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.wiring.circuits.segments import Lead, WireSegment

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.wiring.circuits.ends import Ends


def serial_segments(ends: Ends) -> Iterator[WireSegment]:
    """Yield one segment for each listener of each link, in the file's order; IEC 61162-1 and -2 wire A and B."""
    for key, link in ends.project.serial.items():
        if link.aboard == "remove":
            continue
        for listener_key, listener in link.listeners.items():
            listens = ends.name(listener.device or listener_key)
            pairs = (
                ("A", link.terminal_a or "A", listener.terminal_a or "A"),
                ("B", link.terminal_b or "B", listener.terminal_b or "B"),
            )
            yield WireSegment(
                key=pair_key(key, listener_key),
                owner=f"serial.{key}",
                owner_kind="serial",
                name=f"{link.name or key}, to {listens}",
                purpose=link.standard,
                run_class="data",
                ac=False,
                nominal_v=None,
                leads=tuple(
                    _lead(pole, f"{link.talker}/{start}", f"{listener.device or listener_key}/{end}")
                    for pole, start, end in pairs
                ),
                cable=link.cable,
                aboard=link.aboard,
            )


def pair_key(link: str, listener: str) -> str:
    """Return the key of the pair from a link's talker to one listener."""
    return f"serial.{link}:{listener}"


def _lead(pole: str, start: str, end: str) -> Lead:
    return Lead(pole=pole, start=start, end=end, start_node=start, end_node=end)
