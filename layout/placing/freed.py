"""A problem in which all but a few things stay where they are: small enough to be solved to the end at once."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.engine.problem import ForbiddenRegion, Linear, LinearRule, OneOf, PackItem, Problem
from layout.placing.engine.rows import meets, turn_bounds

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.placing.engine.problem import Pairs, Term
    from layout.placing.engine.stage_result import Positions


@dataclass(frozen=True, slots=True)
class _SomePairs:
    whole: Pairs
    items: tuple[int, ...]

    def between(self, i: int, turn_i: int, j: int, turn_j: int) -> tuple[ForbiddenRegion, ...]:
        return self.whole.between(self.items[i], turn_i, self.items[j], turn_j)


def freed(problem: Problem, still: Positions, items: Sequence[int], terms: Sequence[Term] = ()) -> Problem:
    """Return the problem of some items, the others standing as an arrangement has them.

    Parameters
    ----------
    still
        Where the others stand; those that are absent from it stay absent.
    items
        Ascending.
    terms
        Wishes over the items, named by their index among ``items``.

    Returns
    -------
    Problem
        Rules among the others alone are left out: nothing that is free here changes them.
    """
    kept = [k for k in range(len(problem.items)) if k not in items and still.present[k]]
    made = tuple(_freed_item(problem, still, kept, k) for k in items)
    number = {item: k for k, item in enumerate(items)}
    rules = [folded for rule in problem.rules if (folded := _folded(rule, still, number)) is not None]
    clauses = [
        OneOf(name=clause.name, options=options)
        for clause in problem.one_of
        if not any(_holds(option, still, kept) for option in clause.options)
        and (options := tuple((number[item], turn, room) for item, turn, room in clause.options if item in number))
    ]
    return Problem(
        items=made, pairs=_SomePairs(problem.pairs, tuple(items)), rules=tuple(rules), one_of=tuple(clauses),
        terms=tuple(terms),
    )  # fmt: skip


def bans_by(problem: Problem, still: Positions, item: int, turn: int, other: int) -> tuple[ForbiddenRegion, ...]:
    """Return where an item at a turn may not be because of another that stands."""
    x, y = still.positions[other]
    sign = 1 if other < item else -1
    i, j = min(other, item), max(other, item)
    turns = (still.turns[other], turn) if other < item else (turn, still.turns[other])
    return tuple(
        replace(region, rows=tuple((sign * a, sign * b, c + sign * (a * x + b * y)) for a, b, c in region.rows))
        for region in problem.pairs.between(i, turns[0], j, turns[1])
    )


def _freed_item(problem: Problem, still: Positions, kept: Sequence[int], k: int) -> PackItem:
    turns = []
    for t, turn in enumerate(problem.items[k].turns):
        bans = [ban for other in kept for ban in bans_by(problem, still, k, t, other)]
        box = turn_bounds(turn)
        near = tuple(ban for ban in bans if box is not None and meets(ban, box))
        turns.append(replace(turn, forbidden=(*turn.forbidden, *near), core=None))
    return replace(problem.items[k], turns=tuple(turns), like="")


def _folded(rule: LinearRule, still: Positions, number: dict[int, int]) -> LinearRule | None:
    looked_at = rule.expr.items()
    if not set(looked_at) & set(number) or any(k not in number and not still.present[k] for k in looked_at):
        return None
    const = rule.expr.const
    const += sum(coef * still.positions[k][axis] for k, axis, coef in rule.expr.terms if k not in number)
    const += sum(values[still.turns[k]] for k, values in rule.expr.by_turn if k not in number)
    expr = Linear(
        terms=tuple((number[k], axis, coef) for k, axis, coef in rule.expr.terms if k in number),
        const=const,
        by_turn=tuple((number[k], values) for k, values in rule.expr.by_turn if k in number),
    )
    return LinearRule(name=rule.name, expr=expr)


def _holds(option: tuple[int, int, object], still: Positions, kept: Sequence[int]) -> bool:
    item, turn, room = option
    return item in kept and still.turns[item] == turn and bool(room.holds(*still.positions[item]))  # type: ignore[attr-defined]
