"""Declared relations as rules over positions, and the gaps that groups set."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from layout.placing.engine.problem import SCALE, Linear, LinearRule
from layout.placing.translation.pair_limits import pair_limits
from layout.placing.translation.pieces import FUZZ, Rounding

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from layout.placing.translation.pair_limits import PairLimits
    from layout.placing.translation.turns import Option
    from layout.project.model.project import Project
    from layout.project.model.rules import Relation

TurnedTerm = tuple[int, int, int, list[float]]
"""``(item, axis, coef, offset in mm by turn)``."""

WholeNumber = Callable[[float], int]
"""``math.ceil`` is the safe side of a rule ``<= 0``, ``math.floor`` its loose side, ``round`` the nearest."""


def low(options: Sequence[Option], axis: int) -> list[float]:
    """Return the low edge of the face's bounding box about the position, mm, by turn."""
    return [option.stand.box[axis] for option in options]


def high(options: Sequence[Option], axis: int) -> list[float]:
    """Return the high edge likewise."""
    return [option.stand.box[2 + axis] for option in options]


def centre(options: Sequence[Option], axis: int) -> list[float]:
    """Return the middle likewise."""
    return [(option.stand.box[axis] + option.stand.box[2 + axis]) / 2 for option in options]


def edge(options: Sequence[Option], axis: int, by: str) -> list[float]:
    """Return the low edge, high edge or centre line about the position, mm, by turn."""
    return {"low": low, "high": high, "centre": centre}[by](options, axis)


def sum_of(parts: Sequence[TurnedTerm], *, const_mm: float = 0.0, turn: WholeNumber = round) -> Linear:
    """Return ``const + sum(coef * (position + offset))`` in steps.

    An offset that is the same at all turns goes into the constant, so that as little as can be is rounded; ``turn``
    says how.
    """
    fuzz = -FUZZ if turn is math.ceil else FUZZ if turn is math.floor else 0.0
    fixed = const_mm + sum(coef * offsets[0] for _, _, coef, offsets in parts if len(set(offsets)) == 1)
    return Linear(
        terms=tuple((item, axis, coef) for item, axis, coef, _ in parts),
        const=turn(SCALE * fixed + fuzz),
        by_turn=tuple(
            (item, tuple(turn(SCALE * coef * value + fuzz) for value in offsets))
            for item, _, coef, offsets in parts
            if len(set(offsets)) > 1
        ),
    )


def is_whole(parts: Sequence[TurnedTerm], const_mm: float) -> bool:
    """Say whether nothing is rounded in a sum."""
    fixed = const_mm + sum(coef * offsets[0] for _, _, coef, offsets in parts if len(set(offsets)) == 1)
    values = [fixed, *(coef * v for _, _, coef, offsets in parts if len(set(offsets)) > 1 for v in offsets)]
    return all(abs(SCALE * value - round(SCALE * value)) < FUZZ for value in values)


class Relations:
    """The relations of a project between things that are placed.

    ``widest_mm`` is the width of the widest panel where there are several, else None.
    """

    def __init__(
        self, project: Project, index: Mapping[str, int], options: Sequence[Sequence[Option]], widest_mm: float | None
    ) -> None:
        self.project, self.index, self.options, self.widest_mm = project, index, options, widest_mm

    def limits(self, known: Mapping[tuple[int, int], PairLimits]) -> dict[tuple[int, int], PairLimits]:
        """Return the pair limits with the gaps that groups set between neighbours."""
        found = dict(known)
        for relation in self.project.rules.relations:
            if relation.kind == "group" and relation.gap is not None:
                for one, other in pairwise(self._members(relation)):
                    key = (min(one, other), max(one, other))
                    if key in found:
                        found[key] = replace(found[key], gap=relation.gap)
        return found

    def rules(self, side: Rounding) -> tuple[LinearRule, ...]:
        """Return the rules of all relations, each named by its place in the project."""
        found: list[LinearRule] = []
        for k, relation in enumerate(self.project.rules.relations):
            sums = [*self._sums(relation, side), *self._together(relation)]
            found += [LinearRule(name=f"relation {k}", expr=expr) for expr in sums]
        return tuple(found)

    def _members(self, relation: Relation) -> list[int]:
        return [self.index[device] for device in relation.devices if device in self.index]

    def _sums(self, relation: Relation, side: Rounding) -> Iterator[Linear]:
        pairs = list(pairwise(self._members(relation)))
        match relation.kind:
            case "left_to_right":
                yield from (self._before(one, other, 0, side) for one, other in pairs)
            case "top_to_bottom":
                yield from (self._before(other, one, 1, side) for one, other in pairs)
            case "row" | "column":
                axis = 1 if relation.kind == "row" else 0
                for one, other in pairs:
                    yield from _equal(self._level(one, other, axis, relation.by), side)
            case "group":
                axis = 0 if relation.run == "across" else 1
                for one, other in pairs:
                    yield from self._touching(one, other, axis, self._gap(relation, one, other))
                    yield from _equal(self._level(one, other, 1 - axis, "centre"), side)
            case "mirrored":
                for one, other in pairs:
                    yield from _equal(self._level(one, other, 1, "centre"), side)
                    yield from _equal(self._about(one, other, relation), side)

    def _gap(self, relation: Relation, one: int, other: int) -> float:
        if relation.gap is not None:
            return relation.gap
        names = [device for device in relation.devices if self.index.get(device) in (one, other)]
        return pair_limits(self.project, *(self.project.devices[name] for name in names)).gap

    def _before(self, first: int, second: int, axis: int, side: Rounding) -> Linear:
        parts = [(first, axis, 1, high(self.options[first], axis)), (second, axis, -1, low(self.options[second], axis))]
        # Rounded once, a whole-number rule says the same either way; with a part by turn it is rounded twice.
        once = all(len(set(offsets)) == 1 for _, _, _, offsets in parts)
        return sum_of(parts, turn=math.ceil if once or side is Rounding.SAFE else math.floor)

    def _touching(self, first: int, second: int, axis: int, gap_mm: float) -> Iterator[Linear]:
        """Second follows first at exactly the gap, or the next step above where that is not on the grid."""
        parts = [(first, axis, 1, high(self.options[first], axis)), (second, axis, -1, low(self.options[second], axis))]
        expr = sum_of(parts, const_mm=gap_mm, turn=math.ceil)
        yield expr
        yield _back(expr)

    def _level(self, one: int, other: int, axis: int, by: str) -> list[TurnedTerm]:
        return [
            (one, axis, 1, edge(self.options[one], axis, by)),
            (other, axis, -1, edge(self.options[other], axis, by)),
        ]

    def _about(self, one: int, other: int, relation: Relation) -> list[TurnedTerm]:
        def off(option: Option) -> float:
            line = option.frame.width_mm / 2 if relation.about is None else relation.about
            return centre([option], 0)[0] - option.frame.x0 / SCALE - line

        return [(item, 0, 1, [off(option) for option in self.options[item]]) for item in (one, other)]

    def _together(self, relation: Relation) -> Iterator[Linear]:
        """Keep devices that may stand on several panels on one: their distance is less than that between panels."""
        if self.widest_mm is not None:
            for one, other in pairwise(self._members(relation)):
                for a, b in ((one, other), (other, one)):
                    yield sum_of([(a, 0, 1, [0.0]), (b, 0, -1, [0.0])], const_mm=-self.widest_mm)


def _equal(parts: Sequence[TurnedTerm], side: Rounding) -> Iterator[Linear]:
    """Yield both halves of ``sum == 0``: the nearest that the grid has; loose, the nearest on either side."""
    expr = sum_of(parts)
    slack = 1 if side is Rounding.LOOSE and not is_whole(parts, 0.0) else 0
    yield replace(expr, const=expr.const - slack)
    back = _back(expr)
    yield replace(back, const=back.const - slack)


def _back(expr: Linear) -> Linear:
    return Linear(
        terms=tuple((item, axis, -coef) for item, axis, coef in expr.terms),
        const=-expr.const,
        by_turn=tuple((item, tuple(-value for value in values)) for item, values in expr.by_turn),
    )
