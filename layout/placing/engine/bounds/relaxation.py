"""A linear relaxation that grows by the rows its own answer breaks; gives the rows and a bound."""

from __future__ import annotations

from math import floor
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.engine.bounds.area_rows import packings, rows_together
from layout.placing.engine.bounds.clusters import Groups, cluster_cuts
from layout.placing.engine.bounds.growing_groups import Growth, chain_cuts
from layout.placing.engine.bounds.pairwise import pair_cuts
from layout.placing.engine.bounds.program import Program
from layout.placing.engine.cores import sound_cores
from layout.placing.engine.problem import StepBox
from layout.placing.engine.rows import turn_bounds
from layout.placing.engine.slabs import around

if TYPE_CHECKING:
    from collections.abc import Callable

    from layout.placing.engine.bounds.cut import BoundRow
    from layout.placing.engine.problem import Problem
    from layout.placing.engine.stage_result import Positions

_FEW_ITEMS = 14
"""Up to so many items, groups of all sizes do better; above, groups that grow where the bound misses most."""

CUT_ROUNDS = 20
"""How often the relaxation is solved and rows are added."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """Rows for the exact model, the bound that they give, the one without them, and the deterministic time spent."""

    cuts: tuple[BoundRow, ...] = ()
    value: int = 0
    plain: int = 0
    work: float = 0.0


def ranges(problem: Problem) -> list[StepBox] | None:
    """Return a box around every position of each item, or None when one has no position."""
    found = []
    for item in problem.items:
        if item.pin is not None:
            found.append(StepBox(item.pin.x, item.pin.y, item.pin.x, item.pin.y))
            continue
        boxes = [box for turn in item.turns if (box := turn_bounds(turn)) is not None]
        if not boxes:
            return None
        found.append(around(boxes))
    return found


def bound(
    problem: Problem,
    best: Positions | None = None,
    *,
    growth: Growth | None = None,
    go_on: Callable[[], bool] = lambda: True,
) -> Bound:
    """Return rows that hold in every valid arrangement and a lower bound of the value.

    The linear programs are solved in floating point; the bound is taken one part in a million and one
    unit lower for that. The rows are whole and exact.

    Parameters
    ----------
    best
        A valid arrangement; with it, groups of items are solved on their own. None leaves that out.
    growth
        How much work may go into those groups.
    go_on
        Asked between two of them.
    """
    within = ranges(problem)
    if within is None or not problem.terms:
        return Bound()
    cores = sound_cores(problem)
    program = Program(problem, within)
    plain = program.solve()
    kept = pair_cuts(problem, cores, within)
    for cut in kept:
        program.add(cut)
    value = program.solve()
    panels = packings(problem, cores)
    for _ in range(CUT_ROUNDS if panels and value is not None else 0):
        at = program.positions()
        fresh = [cut for panel in panels for cut in panel.cuts(at) if cut not in kept]
        if not fresh:
            break
        for cut in fresh:
            program.add(cut)
        kept += fresh
        value = program.solve()
        if value is None:
            break
    work = 0.0
    if best is not None and value is not None:
        growth = growth or Growth()
        few = len(problem.items) <= _FEW_ITEMS
        groups = Groups(total=growth.total / 2) if few else Groups(sizes=(3,), total=growth.total / 8)
        small, work = cluster_cuts(problem, kept, groups, go_on=go_on)
        for cut in small:
            program.add(cut)
        program.solve()
        kept += small
        if not few:
            panels_items = [group for _, group in rows_together(problem, cores)]
            grown, more = chain_cuts(problem, program, best, panels_items, growth, known=kept, go_on=go_on)
            kept += grown
            work += more
        value = program.solve()
    return Bound(cuts=tuple(kept), value=_safe(value), plain=_safe(plain), work=work)


def _safe(value: float | None) -> int:
    return 0 if value is None else max(0, floor(value * (1 - 1e-6)) - 1)
