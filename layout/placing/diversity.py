"""How two arrangements differ in kind: on which side each device stands of each other."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from layout.placing.translation.pieces import Rounding
from layout.placing.translation.turned_shapes import turned_shapes

if TYPE_CHECKING:
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project

_Box = tuple[float, float, float, float]


def standing_sides(project: Project, arrangement: Arrangement) -> tuple[str, ...]:
    """Return, for every two placed devices in the project's order, where the second stands of the first.

    ``right``, ``left``, ``above`` or ``below``: the side on which their boxes are farthest apart; ``elsewhere`` on
    another panel.
    """
    names = [name for name in project.devices if name in arrangement.placed]
    boxes = {name: _box(project, arrangement, name) for name in names}
    found = []
    for one, other in combinations(names, 2):
        if arrangement.placed[one].panel != arrangement.placed[other].panel:
            found.append("elsewhere")
            continue
        a, b = boxes[one], boxes[other]
        gaps = {"right": b[0] - a[2], "left": a[0] - b[2], "above": b[1] - a[3], "below": a[1] - b[3]}
        found.append(max(gaps, key=lambda side: gaps[side]))
    return tuple(found)


def difference(first: tuple[str, ...], second: tuple[str, ...]) -> float:
    """Return the share of pairs that stand differently, 0 to 1; pairs that are on two panels in both don't count."""
    counted = [(a, b) for a, b in zip(first, second, strict=True) if not a == b == "elsewhere"]
    return sum(a != b for a, b in counted) / len(counted) if counted else 0.0


def _box(project: Project, arrangement: Arrangement, name: str) -> _Box:
    one = arrangement.placed[name]
    x0, y0, x1, y1 = turned_shapes(project.devices[name], one.turn, Rounding.SAFE).box
    return x0 + one.x, y0 + one.y, x1 + one.x, y1 + one.y
