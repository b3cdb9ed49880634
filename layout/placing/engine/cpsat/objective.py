"""Wishes in the exact model: one cost expression, and the single costs for whoever adds bounds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.placing.engine.cpsat.look import even_cost, lines_cost
from layout.placing.engine.look_terms import EvenTerm, LinesTerm
from layout.placing.engine.problem import AbsTerm, AnyZeroTerm

if TYPE_CHECKING:
    from layout.placing.engine.cpsat.model import ExactModel, Literal, Sum
    from layout.placing.engine.problem import Linear, SumTerm, Term


def wishes(model: ExactModel) -> list[Sum]:
    """Add the variables of each wish and return each one's weighted cost, in the order of the problem."""
    return [_cost(model, term) for term in model.problem.terms]


def objective(model: ExactModel) -> tuple[Sum, list[Sum]]:
    """Minimise the value; returns its expression and each wish's cost. Without any wish nothing is minimised."""
    costs = wishes(model)
    total: Sum = sum(costs)
    for item, present in zip(model.problem.items, model.present, strict=True):
        if present is not None and item.absent_cost is not None:
            total = total + item.absent_cost * (1 - present)
    if not isinstance(total, int):
        model.cp.minimize(total)
    return total, costs


def _range(model: ExactModel, expr: Linear) -> tuple[int, int]:
    low = high = expr.const
    for item, axis, coef in expr.terms:
        box = model.box[item]
        ends = (coef * (box.y0 if axis else box.x0), coef * (box.y1 if axis else box.x1))
        low, high = low + min(ends), high + max(ends)
    for _, constants in expr.by_turn:
        low, high = low + min(constants), high + max(constants)
    return low, high


def _cost(model: ExactModel, term: Term) -> Sum:
    if isinstance(term, LinesTerm):
        return lines_cost(model, term)
    if isinstance(term, EvenTerm):
        return even_cost(model, term)
    return _amount(model, term) * term.weight


def _amount(model: ExactModel, term: SumTerm) -> Sum:
    if isinstance(term, AnyZeroTerm):
        return _any_zero(model, term)
    expr = model.sum(term.expr)
    low, high = _range(model, term.expr)
    when = model.here(*term.expr.items())
    if isinstance(term, AbsTerm):
        most = max(abs(low), abs(high)) - term.slack
        sides = [expr - term.slack, -expr - term.slack]
    else:
        most, sides = high, [expr]
    if most <= 0:
        return 0
    cost = model.cp.new_int_var(0, most, "")
    for side in sides:
        model.add(cost >= side, when)
    return cost


def _any_zero(model: ExactModel, term: AnyZeroTerm) -> Sum:
    miss = model.cp.new_bool_var("")
    options: list[Literal] = [miss]
    items: list[int] = []
    for expr in term.exprs:
        low, high = _range(model, expr)
        items += [item for item in expr.items() if item not in items]
        if low <= 0 <= high:
            literal = model.cp.new_bool_var("")
            model.add(model.sum(expr) == 0, [literal])
            options.append(literal)
    when = model.here(*items)
    model.any(options, when)
    return miss
