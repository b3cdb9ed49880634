"""Parts of a panel that a big thing may be kept to, to find arrangements of another kind."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.engine.confined import Zone, confined
from layout.placing.engine.problem import SCALE

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from layout.placing.components import Component
    from layout.placing.engine.problem import Problem
    from layout.placing.translation.frame import Frame
    from layout.placing.translation.translate import Translated
    from layout.project.model.arrangement import Arrangement

_HEAVY = 0.05
"""Share of all things' weight from which on one is worth moving."""

_PARTS = {
    "left": (0, 0.0, 0.36),
    "middle": (0, 0.36, 0.64),
    "right": (0, 0.64, 1.0),
    "low": (1, 0.0, 0.42),
    "high": (1, 0.58, 1.0),
}
"""Axis and shares of the panel between which the middle of the thing is to be."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Confinement:
    """One thing and the part of the panel that it is kept to."""

    item: int
    part: str
    zone: Zone


def confinements(built: Translated, best: Arrangement, weights: Mapping[str, float]) -> list[Confinement]:
    """Return the parts in which each heavy thing could be and is not, the heaviest things first."""
    found = []
    for name in sorted(weights, key=lambda name: -weights[name]):
        if weights[name] < _HEAVY or name not in best.placed or name not in built.index.number:
            continue
        placed, item = best.placed[name], built.index.number[name]
        frame = built.index.frame(placed.panel)
        for part, (axis, low, high) in _PARTS.items():
            size = (frame.width_mm, frame.height_mm)[axis]
            if not low * size <= (placed.x, placed.y)[axis] <= high * size:
                found.append(Confinement(item=item, part=part, zone=_zone(frame, axis, low * size, high * size)))
    return found


def confined_problem(
    parts: Sequence[Component], chosen: Sequence[Confinement]
) -> tuple[Component | None, Problem | None]:
    """Return the component that things kept to parts belong to, and its problem with them kept; None if it can't be."""
    part = next((one for one in parts if all(each.item in one.items for each in chosen)), None)
    problem = part.subset.problem if part is not None else None
    for each in chosen:
        if part is not None and problem is not None:
            problem = confined(problem, part.items.index(each.item), each.zone)
    return part, problem


def _zone(frame: Frame, axis: int, low_mm: float, high_mm: float) -> Zone:
    start = frame.x0 if axis == 0 else 0
    low, high = start + round(SCALE * low_mm), start + round(SCALE * high_mm)
    rows = ((1, 0, high), (-1, 0, -low)) if axis == 0 else ((0, 1, high), (0, -1, -low))
    return Zone(panel=frame.index, rows=rows)
