"""Make sure that what the proofs lean on is true: boxes that no valid arrangement lets overlap."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.placing.engine.boxes import box_region
from layout.placing.engine.problem import StepBox
from layout.placing.engine.rows import turn_bounds
from layout.placing.engine.slabs import around

if TYPE_CHECKING:
    from layout.placing.engine.problem import ForbiddenRegion, PackItem, Problem, TurnOption

Cores = tuple[StepBox, ...] | None
"""Extents of an item's core at each turn; None when nothing can be said."""


def sound_cores(problem: Problem) -> tuple[Cores, ...]:
    """Return each item's cores, shrunk right and top until the pair regions imply them.

    The problem states the cores; here each pair is looked at, so that a core that is too large (or
    became too large because a rule was left out) can never make a proof false. Items that no shrinking
    of up to their whole size helps are left without.
    """
    cores = [_stated(item.turns) for item in problem.items]
    reach = [core_reach(item, core) for item, core in zip(problem.items, cores, strict=True)]
    kept = [k for k, core in enumerate(cores) if core is not None]
    while True:
        need, worst = 0, dict.fromkeys(kept, 0)
        for a, i in enumerate(kept):
            for j in kept[a + 1 :]:
                if _never_meet(reach[i], reach[j]):
                    continue
                excess = _excess(problem, i, cores[i] or (), j, cores[j] or ())
                if excess is None:
                    worst[i] += 1
                    worst[j] += 1
                else:
                    need = max(need, excess)
        if not any(worst.values()):
            return tuple(_shrunk(core, need) if k in worst else None for k, core in enumerate(cores))
        kept.remove(max(kept, key=lambda k: (worst[k], k)))


def core_reach(item: PackItem, cores: Cores) -> StepBox | None:
    """Return a box around all that the core of an item can cover; None without a core or a position."""
    if cores is None:
        return None
    if item.pin is not None:
        return cores[item.pin.turn].at(item.pin.x, item.pin.y)
    found = []
    for core, turn in zip(cores, item.turns, strict=True):
        box = turn_bounds(turn)
        if box is not None:
            found.append(StepBox(box.x0 + core.x0, box.y0 + core.y0, box.x1 + core.x1, box.y1 + core.y1))
    return around(found) if found else None


def _never_meet(one: StepBox | None, two: StepBox | None) -> bool:
    return one is None or two is None or not one.overlaps(two)


def _stated(turns: tuple[TurnOption, ...]) -> Cores:
    found = [turn.core for turn in turns if turn.core is not None]
    return tuple(found) if len(found) == len(turns) else None


def _shrunk(core: Cores, by: int) -> Cores:
    if core is None or any(box.width <= by or box.height <= by for box in core):
        return None
    return tuple(StepBox(box.x0, box.y0, box.x1 - by, box.y1 - by) for box in core)


def _excess(problem: Problem, i: int, first: tuple[StepBox, ...], j: int, second: tuple[StepBox, ...]) -> int | None:
    """Return by how much both cores are to be shrunk so that every overlap of them is forbidden."""
    most = 0
    for ti, one in enumerate(first):
        for tj, two in enumerate(second):
            region = box_region(one, two)
            amounts = [
                amount for other in problem.pairs.between(i, ti, j, tj) if (amount := _over(region, other)) is not None
            ]
            if not amounts:
                return None
            most = max(most, min(amounts))
    return most


def _over(box: ForbiddenRegion, other: ForbiddenRegion) -> int | None:
    """Return by how much a box region sticks out of a region right and top of either item; None if sideways.

    Shrinking both cores right and top by s moves each of the box region's four sides in by s.
    """
    (_, _, x1), (_, _, x0), (_, _, y1), (_, _, y0) = box.rows
    most = 0
    for a, b, c in other.rows:
        reach = (a * x1 if a > 0 else -a * x0) + (b * y1 if b > 0 else -b * y0)
        if reach > c:
            most = max(most, -(-(reach - c) // (abs(a) + abs(b))))
    return most if most < min(x0 + x1, y0 + y1) // 2 else None
