"""Signal cables in the schedule: sensors, senders, speakers, from terminal to terminal."""

from __future__ import annotations

from string import ascii_uppercase
from typing import TYPE_CHECKING

from layout.wiring.circuits.segments import Lead, WireSegment

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.wiring.circuits.ends import Ends


def signal_segments(ends: Ends) -> Iterator[WireSegment]:
    """Yield one segment for each signal cable, in the file's order; its cores are A, B, C as they are written."""
    for key, signal in ends.project.signals.items():
        if signal.aboard == "remove":
            continue
        yield WireSegment(
            key=f"signals.{key}",
            owner=f"signals.{key}",
            owner_kind="signal",
            name=signal.name or key,
            purpose="signal",
            run_class="data",
            ac=False,
            nominal_v=None,
            leads=tuple(
                _lead(core, f"{signal.from_}/{first}", f"{signal.to}/{second}")
                for core, (first, second) in zip(ascii_uppercase, signal.cores.items(), strict=False)
            ),
            cable=signal.cable,
            size=signal.size,
            wireways=signal.wireways,
            length_mm=signal.length,
            aboard=signal.aboard,
            old_label=signal.old_label,
        )


def _lead(pole: str, start: str, end: str) -> Lead:
    return Lead(pole=pole, start=start, end=end, start_node=start, end_node=end)
