"""The same problem with fewer items, for bounds."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.engine.look_terms import EvenTerm, LinesTerm
from layout.placing.engine.problem import AnyZeroTerm, Linear, OneOf, Problem

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.placing.engine.problem import ForbiddenRegion, Pairs, Term


def items_of(term: Term) -> tuple[int, ...]:
    """Return the items that a wish looks at, each once, in order."""
    if isinstance(term, LinesTerm | EvenTerm):
        return term.items()
    if isinstance(term, AnyZeroTerm):
        return tuple(sorted({item for expr in term.exprs for item in expr.items()}))
    return term.expr.items()


@dataclass(frozen=True, slots=True, kw_only=True)
class Subset:
    """Part of a problem: ``items[k]`` and ``terms[t]`` are indices in the whole."""

    problem: Problem
    items: tuple[int, ...]
    terms: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _FewerPairs:
    whole: Pairs
    items: tuple[int, ...]

    def between(self, i: int, turn_i: int, j: int, turn_j: int) -> tuple[ForbiddenRegion, ...]:
        return self.whole.between(self.items[i], turn_i, self.items[j], turn_j)


def restricted(problem: Problem, items: Sequence[int]) -> Subset:
    """Return the problem of some items alone, in ascending order, with what looks at no other item."""
    kept = tuple(sorted(items))
    index = {item: at for at, item in enumerate(kept)}

    def fewer(expr: Linear) -> Linear:
        return Linear(
            terms=tuple((index[item], axis, coef) for item, axis, coef in expr.terms),
            const=expr.const,
            by_turn=tuple((index[item], constants) for item, constants in expr.by_turn),
        )

    terms: list[Term] = []
    chosen = [t for t, term in enumerate(problem.terms) if all(item in index for item in items_of(term))]
    for t in chosen:
        term = problem.terms[t]
        if isinstance(term, LinesTerm):
            seats = tuple(replace(seat, item=index[seat.item]) for seat in term.seats)
            terms.append(replace(term, seats=seats))
        elif isinstance(term, EvenTerm):
            boxes = tuple((index[item], extents, panels) for item, extents, panels in term.boxes)
            terms.append(replace(term, boxes=boxes))
        elif isinstance(term, AnyZeroTerm):
            terms.append(replace(term, exprs=tuple(fewer(expr) for expr in term.exprs)))
        else:
            terms.append(replace(term, expr=fewer(term.expr)))
    return Subset(
        problem=Problem(
            items=tuple(problem.items[item] for item in kept),
            pairs=_FewerPairs(whole=problem.pairs, items=kept),
            rules=tuple(
                replace(rule, expr=fewer(rule.expr))
                for rule in problem.rules
                if all(item in index for item in rule.expr.items())
            ),
            one_of=tuple(
                OneOf(name=clause.name, options=tuple((index[i], t, room) for i, t, room in clause.options))
                for clause in problem.one_of
                if all(i in index for i, _, _ in clause.options)
            ),
            terms=tuple(terms),
            obstacles=problem.obstacles,
        ),
        items=kept,
        terms=tuple(chosen),
    )
