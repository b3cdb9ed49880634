"""What people call a run: the circuit's name and its part in it, never an id of the file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.wiring.circuits.ends import LIVE
from layout.wiring.circuits.segments import EARTH

if TYPE_CHECKING:
    from layout.wiring.result import FittedDevice, Run

BACK = frozenset({"-", "N"})


def part_of(run: Run) -> str:
    """Return what a run does in its circuit: feed, return, earth, or several of them."""
    if run.run_class not in ("dc", "ac"):
        return run.run_class
    poles = {wire.pole for wire in run.wires}
    words = [
        word
        for word, kind in (("feed", LIVE), ("return", BACK), ("earth", EARTH), ("sense", frozenset({"sense"})))
        if poles & kind
    ]
    if poles == {"switched"}:
        return "feed, switched"
    return ", ".join(words)


def device_words(guard: FittedDevice) -> str:
    """Return kind, rating, poles and residual current of a protective device."""
    words = f"{guard.kind} {'?' if guard.rating_a is None else f'{guard.rating_a:g} A'}"
    if guard.poles > 1:
        words += f", {guard.poles}-pole"
    if guard.residual_a is not None:
        words += f", {guard.residual_a * 1000:g} mA"
    return words
