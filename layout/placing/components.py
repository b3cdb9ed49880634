"""A problem in parts that have nothing to do with each other: each is solved alone, and the answers are joined."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.engine.stage_result import Positions
from layout.placing.engine.subset import Subset, items_of, restricted
from layout.placing.translation.forbidden_offsets import StandPairs

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from layout.placing.engine.problem import Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class Component:
    """Items of a problem that no rule and no wish ties to any other."""

    items: tuple[int, ...]
    subset: Subset


def components_of(problem: Problem) -> tuple[Component, ...]:
    """Return the parts of a problem, small ones first; one part where all hangs together."""
    groups = _groups(len(problem.items), _ties(problem))
    order = sorted(groups, key=lambda items: (len(items), items))
    return tuple(Component(items=items, subset=restricted(problem, items)) for items in order)


def crossed(problem: Problem, parts: Sequence[Component]) -> bool:
    """Say whether something in another problem of the same items ties two of the parts together."""
    part_of = {item: n for n, part in enumerate(parts) for item in part.items}
    return any(len({part_of[item] for item in tie}) > 1 for tie in _ties(problem))


def joined_positions(count: int, parts: Sequence[Component], answers: Sequence[Positions]) -> Positions:
    """Return the arrangement of the whole from those of its parts."""
    at: list[tuple[int, int]] = [(0, 0)] * count
    turns, present = [0] * count, [False] * count
    for part, answer in zip(parts, answers, strict=True):
        for k, item in enumerate(part.items):
            at[item], turns[item], present[item] = answer.positions[k], answer.turns[k], answer.present[k]
    return Positions(positions=tuple(at), turns=tuple(turns), present=tuple(present))


def positions_of_part(whole: Positions, part: Component) -> Positions:
    """Return what an arrangement of the whole is for one of its parts."""
    return Positions(
        positions=tuple(whole.positions[item] for item in part.items),
        turns=tuple(whole.turns[item] for item in part.items),
        present=tuple(whole.present[item] for item in part.items),
    )


def _ties(problem: Problem) -> Iterable[Sequence[int]]:
    """Yield sets of items that belong together."""
    if isinstance(problem.pairs, StandPairs):
        yield from problem.pairs.limits
        yield from ((i, j) for i, _, j, _ in problem.pairs.cuts)
    else:
        yield range(len(problem.items))
    yield from (rule.expr.items() for rule in problem.rules)
    yield from (items_of(term) for term in problem.terms)
    yield from (tuple(item for item, _, _ in clause.options) for clause in problem.one_of)


def _groups(count: int, ties: Iterable[Sequence[int]]) -> list[tuple[int, ...]]:
    head = list(range(count))

    def find(item: int) -> int:
        while head[item] != item:
            head[item] = head[head[item]]
            item = head[item]
        return item

    for tie in ties:
        for item in tie[1:]:
            one, other = sorted((find(tie[0]), find(item)))
            head[other] = one
    groups: dict[int, list[int]] = {}
    for item in range(count):
        groups.setdefault(find(item), []).append(item)
    return [tuple(items) for items in groups.values()]
