"""Read an arrangement against a problem: its value, its costs, and what it breaks. Used by every stage."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.placing.engine.look_terms import EvenTerm, LinesTerm
from layout.placing.engine.problem import AbsTerm, AnyZeroTerm

if TYPE_CHECKING:
    from layout.placing.engine.problem import Linear, Problem, Term
    from layout.placing.engine.stage_result import Positions


def costs(problem: Problem, arrangement: Positions) -> tuple[tuple[str, int], ...]:
    """Return ``(name, cost)`` of each wish in order, then of each item that is absent."""
    found = [(term.name, _cost(term, arrangement)) for term in problem.terms]
    found += [
        (f"{item.name} left out", item.absent_cost or 0)
        for item, present in zip(problem.items, arrangement.present, strict=True)
        if not present
    ]
    return tuple(found)


def value(problem: Problem, arrangement: Positions) -> int:
    """Return the sum of all costs."""
    return sum(cost for _, cost in costs(problem, arrangement))


def broken(problem: Problem, arrangement: Positions) -> tuple[tuple[str, tuple[int, ...]], ...]:
    """Return ``(rule, items)`` for each hard rule that the arrangement breaks; empty when it is valid."""
    positions, turns, present = arrangement.positions, arrangement.turns, arrangement.present
    found: list[tuple[str, tuple[int, ...]]] = []
    for k, item in enumerate(problem.items):
        if not present[k]:
            if item.absent_cost is None:
                found.append(("present", (k,)))
            continue
        if item.pin is not None and (*positions[k], turns[k]) != (item.pin.x, item.pin.y, item.pin.turn):
            found.append(("pin", (k,)))
        turn = item.turns[turns[k]]
        if not any(room.holds(*positions[k]) for room in turn.rooms):
            found.append(("room", (k,)))
        found += [(region.rule, (k,)) for region in turn.forbidden if region.holds(*positions[k])]
        for i in range(k):
            if present[i]:
                dx, dy = positions[k][0] - positions[i][0], positions[k][1] - positions[i][1]
                regions = problem.pairs.between(i, turns[i], k, turns[k])
                found += [(region.rule, (i, k)) for region in regions if region.holds(dx, dy)]
    for rule in problem.rules:
        if _in_force(rule.expr, arrangement) and rule.expr.value(positions, turns) > 0:
            found.append((rule.name, rule.expr.items()))
    for clause in problem.one_of:
        if not any(present[i] and turns[i] == t and room.holds(*positions[i]) for i, t, room in clause.options):
            found.append((clause.name, tuple(sorted({i for i, _, _ in clause.options}))))
    return tuple(found)


def _in_force(expr: Linear, arrangement: Positions) -> bool:
    return all(arrangement.present[item] for item in expr.items())


def _cost(term: Term, arrangement: Positions) -> int:
    if isinstance(term, LinesTerm | EvenTerm):
        return term.cost(arrangement)
    exprs = term.exprs if isinstance(term, AnyZeroTerm) else (term.expr,)
    if not all(_in_force(expr, arrangement) for expr in exprs):
        return 0
    values = [expr.value(arrangement.positions, arrangement.turns) for expr in exprs]
    if isinstance(term, AnyZeroTerm):
        return 0 if 0 in values else term.weight
    amount = abs(values[0]) - term.slack if isinstance(term, AbsTerm) else values[0]
    return term.weight * max(0, amount)
