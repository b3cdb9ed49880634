"""Tell the exact model what is known beforehand: rows, side costs, and the order of equal items."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from layout.placing.engine.bounds.pairwise import NEVER, PairCosts
from layout.placing.engine.cpsat.model import by_turn

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.placing.engine.bounds.cut import BoundRow
    from layout.placing.engine.cpsat.model import ExactModel, Literal, Sum


def add_cuts(model: ExactModel, costs: Sequence[Sum], cuts: Sequence[BoundRow]) -> None:
    """Add rows that hold in every valid arrangement; ``costs`` as ``objective`` returned them."""
    for cut in cuts:
        total: Sum = 0
        for item, axis, coef in cut.terms:
            total = total + coef * (model.y[item] if axis else model.x[item])
        for item, constants in cut.by_turn:
            total = total + by_turn(model.turn[item], constants)
        for term, coef in cut.costs:
            total = total + coef * costs[term]
        if not isinstance(total, int):
            model.cp.add(total >= cut.low)


def add_side_costs(model: ExactModel, costs: Sequence[Sum]) -> None:
    """Choose exactly one side per pair and region, and say what the pair's wishes cost at least on each.

    A linear relaxation does not see by itself what a choice of side costs; told, it lifts the bound with
    every choice that the search makes.
    """
    known = PairCosts(model.problem, model.box)
    for (i, j), regions in model.choices.items():
        for choice in regions:
            model.cp.add_exactly_one([literal for literal, _ in choice])
            for group in known.groups(i, j):
                least = sum(_at_least(model, literal, known.beside(i, j, row, group)) for literal, row in choice)
                total = sum(costs[t] for t in group)
                if not isinstance(least, int) and not isinstance(total, int):
                    model.cp.add(total >= least)


def _at_least(model: ExactModel, literal: Literal, cost: int) -> Sum:
    """Return what a chosen side costs; a side that cannot be is closed."""
    if cost < NEVER:
        return cost * literal if cost else 0
    model.cp.add(literal == 0)
    return 0


def order_equals(model: ExactModel) -> None:
    """Put items that are equal in every respect in order of x, then y by a part of a step.

    Pinned items, items that may be left out and items in hard rules by name stay out of it: the problem's
    ``like`` says that exchanging the rest changes nothing.
    """
    groups: dict[str, list[int]] = {}
    for k, item in enumerate(model.problem.items):
        if item.like and item.pin is None and model.present[k] is None:
            groups.setdefault(item.like, []).append(k)
    for group in groups.values():
        for first, second in pairwise(group):
            tall = max(model.box[k].y1 - model.box[k].y0 for k in group) + 1
            model.cp.add(tall * (model.x[second] - model.x[first]) + model.y[second] - model.y[first] >= 0)
