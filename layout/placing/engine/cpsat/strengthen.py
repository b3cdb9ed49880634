"""Tell the exact model what is known beforehand: rows, side costs, and the order of equal items."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from layout.placing.engine.cpsat.model import by_turn
from layout.placing.engine.problem import AbsTerm, HingeTerm

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.placing.engine.bounds.cut import Cut
    from layout.placing.engine.cpsat.model import Model, Sum
    from layout.placing.engine.problem import Linear


def add_cuts(model: Model, costs: Sequence[Sum], cuts: Sequence[Cut]) -> None:
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


def add_side_costs(model: Model, costs: Sequence[Sum]) -> None:
    """Choose exactly one side per pair and region, and say what a nearness costs on each side.

    Standing right of the other by at least c makes every wish for the distance along x cost at least
    what it costs at c. A linear relaxation sees that only when it is told.
    """
    near = _nearness(model)
    for pair, regions in model.choices.items():
        for choice in regions:
            model.cp.add_exactly_one([literal for literal, _ in choice])
            for t, axis, weight, slack, expr in near.get(pair, ()):
                sides = [(literal, _least(expr, pair, axis, row)) for literal, row in choice]
                least = sum(max(0, weight * (distance - slack)) * literal for literal, distance in sides)
                if not isinstance(least, int):
                    model.cp.add(costs[t] >= least)


def _nearness(model: Model) -> dict[tuple[int, int], list[tuple[int, int, int, int, Linear]]]:
    found: dict[tuple[int, int], list[tuple[int, int, int, int, Linear]]] = {}
    for t, term in enumerate(model.problem.terms):
        if not isinstance(term, AbsTerm | HingeTerm) or term.expr.by_turn or len(term.expr.terms) != 2:
            continue
        (i, axis_i, coef_i), (j, axis_j, coef_j) = sorted(term.expr.terms)
        if axis_i == axis_j and i != j and coef_i == -coef_j:
            slack = term.slack if isinstance(term, AbsTerm) else 0
            if isinstance(term, AbsTerm):
                found.setdefault((i, j), []).append((t, axis_i, term.weight, slack, term.expr))
    return found


def _least(expr: Linear, pair: tuple[int, int], axis: int, row: tuple[int, int, int]) -> int:
    """Return the least |expr| on the free side of a row ``a*dx + b*dy >= c``; 0 when the row says nothing."""
    a, b, c = row
    along, across = (a, b) if axis == 0 else (b, a)
    if across or not along:
        return 0
    factor = next(coef for item, _, coef in expr.terms if item == pair[1])
    sign = 1 if along > 0 else -1
    nearest = -(-c // abs(along))  # sign * d >= nearest
    direction = sign * factor
    end = abs(factor) * nearest + (expr.const if direction > 0 else -expr.const)
    return max(0, end)


def order_equals(model: Model) -> None:
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
