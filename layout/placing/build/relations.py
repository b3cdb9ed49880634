"""Declared relations as rules over positions, and the gaps that groups set."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from layout.placing.build.limits import pair_limits
from layout.placing.engine.problem import SCALE, Linear, Rule

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from layout.placing.build.limits import PairLimits
    from layout.placing.build.turns import Option
    from layout.project.model.project import Project
    from layout.project.model.rules import Relation


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


def from_line(options: Sequence[Option], line_mm: Callable[[Option], float]) -> list[float]:
    """Return the middle's distance along x from an upright line of the panel, about the position, by turn."""
    return [
        value - option.frame.x0 / SCALE - line_mm(option)
        for value, option in zip(centre(options, 0), options, strict=True)
    ]


def sum_of(parts: Sequence[tuple[int, int, int, list[float]]], *, const_mm: float = 0.0, up: bool = False) -> Linear:
    """Return ``const + sum(coef * (position + offset))`` in steps.

    Parameters
    ----------
    parts
        ``(item, axis, coef, offset in mm by turn)``.
    up
        Rounds what is not whole up (the safe side of a rule ``<= 0``), else to the nearest.
    """
    turn = math.ceil if up else round
    fuzz = -1e-6 if up else 0.0
    return Linear(
        terms=tuple((item, axis, coef) for item, axis, coef, _ in parts),
        const=turn(SCALE * const_mm + fuzz),
        by_turn=tuple(
            (item, tuple(turn(SCALE * coef * value + fuzz) for value in offsets))
            for item, _, coef, offsets in parts
            if any(offsets)
        ),
    )


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

    def rules(self) -> tuple[Rule, ...]:
        """Return the rules of all relations, each named by its place in the project."""
        found: list[Rule] = []
        for k, relation in enumerate(self.project.rules.relations):
            name = f"relation {k}"
            found += [Rule(name=name, expr=expr) for expr in self._sums(relation)]
            found += [Rule(name=name, expr=expr) for expr in self._together(relation)]
        return tuple(found)

    def _members(self, relation: Relation) -> list[int]:
        return [self.index[device] for device in relation.devices if device in self.index]

    def _sums(self, relation: Relation) -> Iterator[Linear]:
        pairs = list(pairwise(self._members(relation)))
        match relation.kind:
            case "left_to_right":
                yield from (self._before(one, other, 0) for one, other in pairs)
            case "top_to_bottom":
                yield from (self._before(other, one, 1) for one, other in pairs)
            case "row" | "column":
                axis = 1 if relation.kind == "row" else 0
                for one, other in pairs:
                    yield from self._same(one, other, axis, relation.by)
            case "group":
                axis = 0 if relation.run == "across" else 1
                for one, other in pairs:
                    first, second = (one, other) if axis == 0 else (other, one)
                    yield from self._touching(first, second, axis, self._gap(relation, one, other))
                    yield from self._same(one, other, 1 - axis, "centre")
            case "mirrored":
                for one, other in pairs:
                    yield from self._same(one, other, 1, "centre")
                    yield from self._mirrored(one, other, relation)

    def _gap(self, relation: Relation, one: int, other: int) -> float:
        if relation.gap is not None:
            return relation.gap
        names = [device for device, index in self.index.items() if index in (one, other)]
        return pair_limits(self.project, *(self.project.devices[name] for name in names)).gap

    def _before(self, first: int, second: int, axis: int) -> Linear:
        parts = [
            (first, axis, 1, high(self.options[first], axis)),
            (second, axis, -1, low(self.options[second], axis)),
        ]
        return sum_of(parts, up=True)

    def _touching(self, first: int, second: int, axis: int, gap_mm: float) -> Iterator[Linear]:
        """Second follows first at exactly the gap, or the next step above where that is not on the grid."""
        ends, starts = high(self.options[first], axis), low(self.options[second], axis)
        yield sum_of([(first, axis, 1, ends), (second, axis, -1, starts)], const_mm=gap_mm, up=True)
        yield _back(sum_of([(first, axis, 1, ends), (second, axis, -1, starts)], const_mm=gap_mm, up=True))

    def _same(self, one: int, other: int, axis: int, by: str) -> Iterator[Linear]:
        parts = [
            (one, axis, 1, edge(self.options[one], axis, by)),
            (other, axis, -1, edge(self.options[other], axis, by)),
        ]
        expr = sum_of(parts)
        yield expr
        yield _back(expr)

    def _mirrored(self, one: int, other: int, relation: Relation) -> Iterator[Linear]:
        def line(option: Option) -> float:
            return option.frame.width_mm / 2 if relation.about is None else relation.about

        expr = sum_of([(item, 0, 1, from_line(self.options[item], line)) for item in (one, other)])
        yield expr
        yield _back(expr)

    def _together(self, relation: Relation) -> Iterator[Linear]:
        """Keep devices that may stand on several panels on one: their distance is less than that between panels."""
        if self.widest_mm is not None:
            for one, other in pairwise(self._members(relation)):
                for a, b in ((one, other), (other, one)):
                    yield sum_of([(a, 0, 1, [0.0]), (b, 0, -1, [0.0])], const_mm=-self.widest_mm)


def _back(expr: Linear) -> Linear:
    return Linear(
        terms=tuple((item, axis, -coef) for item, axis, coef in expr.terms),
        const=-expr.const,
        by_turn=tuple((item, tuple(-value for value in values)) for item, values in expr.by_turn),
    )
