"""How two arrangements differ in kind: where the big and the important things are, and what to call that.

Two that only exchange small neighbours are of one kind; so are two that exchange equally large things.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.translation.pieces import Rounding
from layout.placing.translation.turned_shapes import turned_shapes

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project
    from layout.project.model.shape import Shape

_MOVED = 0.2
"""Share of a panel's width or height from which on a thing stands elsewhere."""

IMPORTANT = 1.5
"""Weight of a breaker panel, a radio, or what is to be at eye height, against another thing of its area."""

LOW, HIGH = 0.4, 0.6
"""Shares of a panel's width and height between which something is in the middle."""

_MOST_NAMED = 4
"""Things in the name of an arrangement, at most."""


@dataclass(frozen=True, slots=True)
class _Spot:
    """Where a thing's face has its middle: the panel, and shares of its width and height."""

    panel: str
    across: float
    up: float

    def is_near(self, other: _Spot) -> bool:
        """Say whether a thing that stands at either stands at the same place, as far as the kind goes."""
        if self.panel != other.panel:
            return False
        return abs(self.across - other.across) < _MOVED and abs(self.up - other.up) < _MOVED


DifferenceKind = tuple[tuple[float, tuple[_Spot, ...]], ...]
"""For each set of equally large things, the weight of one and where they stand."""


def importances(project: Project) -> dict[str, float]:
    """Return the weight of each device on a panel: its face's area, more for what matters most; they sum to 1."""
    breakers = {panel.device for panel in project.breaker_panels.values()}
    found = {}
    for key, device in project.devices.items():
        if device.panel:
            width, height = _size(project, key)
            matters = key in breakers or device.eye or "radio" in device.classes
            found[key] = width * height * (IMPORTANT if matters else 1.0)
    total = sum(found.values()) or 1.0
    return {key: weight / total for key, weight in found.items()}


def kind_of(project: Project, arrangement: Arrangement) -> DifferenceKind:
    """Return what kind of arrangement it is."""
    weights = importances(project)
    sets: dict[tuple[int, int, float], list[_Spot]] = {}
    for key, weight in weights.items():
        if key in arrangement.placed:
            width, height = sorted(_size(project, key))
            sets.setdefault((round(width), round(height), round(weight, 9)), []).append(
                _spot(project, arrangement, key)
            )
    return tuple((weight, tuple(spots)) for (_, _, weight), spots in sets.items())


def difference(first: DifferenceKind, second: DifferenceKind) -> float:
    """Return the share, by weight, of the things that stand elsewhere, 0 to 1."""
    total = sum(weight * len(spots) for weight, spots in first)
    return moved(first, second) / total if total else 0.0


def moved(first: DifferenceKind, second: DifferenceKind) -> float:
    """Return the weight of the things that stand elsewhere."""
    pairs = zip(first, second, strict=True)
    return sum(weight * (len(spots) - _matched(spots, others)) for (weight, spots), (_, others) in pairs)


def names_of(project: Project, arrangements: Sequence[Arrangement]) -> tuple[str, ...]:
    """Return a name in words for each: where those things are that stand differently, the weightiest first.

    Where that does not tell two apart, they have one name.
    """
    subjects = _subjects(project)
    words = [{label: _words(project, one, members) for label, members in subjects.items()} for one in arrangements]
    differing = [label for label in subjects if len({one[label] for one in words}) > 1]
    told = differing or list(subjects)
    kinds = len({tuple(one[label] for label in told) for one in words})
    for count in range(min(2, len(told)), min(_MOST_NAMED, len(told)) + 1):
        names = tuple(", ".join(f"{label} {one[label]}" for label in told[:count]) for one in words)
        if len(set(names)) == kinds:
            break
    return names


def _subjects(project: Project) -> dict[str, tuple[str, ...]]:
    """Return what names speak of, the weightiest first: all breaker panels together, and every other big thing."""
    weights = importances(project)
    breakers = tuple(key for key in weights if any(key == panel.device for panel in project.breaker_panels.values()))
    found: dict[str, tuple[str, ...]] = {"breakers": breakers} if breakers else {}
    single = sorted((key for key in weights if key not in breakers), key=lambda key: -weights[key])
    for key in single[: 2 * _MOST_NAMED]:
        name = project.devices[key].name or key
        found[name if name[1:2].isupper() else name[:1].lower() + name[1:]] = (key,)
    order = sorted(found, key=lambda label: -sum(weights[key] for key in found[label]))
    return {label: found[label] for label in order}


def _words(project: Project, arrangement: Arrangement, members: Sequence[str]) -> str:
    """Return where some things are, by the middle of those on the panel that has most of them."""
    spots = [_spot(project, arrangement, key) for key in members if key in arrangement.placed]
    if not spots:
        return "absent"
    panels = [spot.panel for spot in spots]
    panel = max(dict.fromkeys(panels), key=panels.count)
    there = [spot for spot in spots if spot.panel == panel]
    across = sum(spot.across for spot in there) / len(there)
    up = sum(spot.up for spot in there) / len(there)
    column = "left" if across < LOW else "right" if across > HIGH else ""
    row = "low" if up < LOW else "high" if up > HIGH else ""
    words = " ".join(word for word in (row, column) if word) or "in the middle"
    several = len(project.panels) > 1 and len({p for key in members for p in project.devices[key].panel}) > 1
    return f"{words} on {project.panels[panel].name or panel}" if several else words


def _matched(spots: Sequence[_Spot], others: Sequence[_Spot]) -> int:
    """Return how many of the first stand near one of the second each, no two near the same."""
    taken: dict[int, int] = {}

    def seat(k: int, seen: set[int]) -> bool:
        for n, other in enumerate(others):
            if n not in seen and spots[k].is_near(other):
                seen.add(n)
                if n not in taken or seat(taken[n], seen):
                    taken[n] = k
                    return True
        return False

    return sum(seat(k, set()) for k in range(len(spots)))


def _size(project: Project, key: str) -> tuple[float, float]:
    x0, y0, x1, y1 = turned_shapes(project.devices[key], project.devices[key].turns[0], Rounding.SAFE).box
    return x1 - x0, y1 - y0


def _spot(project: Project, arrangement: Arrangement, key: str) -> _Spot:
    one = arrangement.placed[key]
    x0, y0, x1, y1 = turned_shapes(project.devices[key], one.turn, Rounding.SAFE).box
    box = panel_box(project, one.panel)
    return _Spot(one.panel, (one.x + (x0 + x1) / 2) / box[0], (one.y + (y0 + y1) / 2) / box[1])


def panel_box(project: Project, panel: str) -> tuple[float, float]:
    """Return width and height of a panel's outline, mm."""
    return _size_of(project.panels[panel].outline)


@lru_cache(maxsize=64)
def _size_of(outline: Shape) -> tuple[float, float]:
    box = outline.to_path().bounds()
    return box.width, box.height
