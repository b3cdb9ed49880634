"""What people call a run: the circuit's name and its part in it, never an id of the file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.project.model.keys import End
from layout.wiring.circuits.segments import EARTH

if TYPE_CHECKING:
    from layout.project.model.project import Project
    from layout.project.model.supplies import Protection
    from layout.wiring.result import FittedDevice, Run

LIVE = frozenset({"+", "L", "switched"})
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


def declared(project: Project, guard: FittedDevice) -> Protection | None:
    """Return the entry of a protective device that does not stand on a way; None where the file has none."""
    ends: list[tuple[End, Protection | None]] = []
    for feeder in project.feeders.values():
        ends += [(feeder.from_, feeder.protection), (feeder.to, feeder.protection_to)]
    for circuit in project.circuits.values():
        ends.append((circuit.from_, circuit.protection))
        ends += [(leg.from_, leg.protection) for leg in circuit.legs.values()]
    for end, device in ends:
        same_place = end.owner == End.read(guard.where).owner
        if device is not None and same_place and device.kind == guard.kind and device.rating in (None, guard.rating_a):
            return device
    return None


def from_source_mm(project: Project, guard: FittedDevice) -> float | None:
    """Return how far from its source a protective device may stand, mm; None where it stands on a way or is unknown."""
    device = declared(project, guard)
    return None if device is None else device.from_source


def device_words(guard: FittedDevice) -> str:
    """Return kind, rating, poles and residual current of a protective device."""
    words = f"{guard.kind} {'?' if guard.rating_a is None else f'{guard.rating_a:g} A'}"
    if guard.poles > 1:
        words += f", {guard.poles}-pole"
    if guard.residual_a is not None:
        words += f", {guard.residual_a * 1000:g} mA"
    return words
