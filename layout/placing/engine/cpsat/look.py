"""Wishes about the look of the whole in the exact model: shared lines, and equal gaps in a row.

With an order that is kept (the polish) only lines that are near each other in it are brought together, and
rows are those that it has. Without one, a term with few items is stated in full, and of the rest it is only
said what it costs at least: the model is then one for bounds (``ExactModel.only_bounds``).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.engine.cpsat.model import by_turn

if TYPE_CHECKING:
    from layout.placing.engine.cpsat.model import ExactModel, Literal, Sum
    from layout.placing.engine.look_terms import EvenTerm, LinesTerm, Seat

STATED = 6
"""Up to so many items a term is stated in full."""

_NEAR = 8
"""Steps between two lines that a polish may bring together."""


def lines_cost(model: ExactModel, term: LinesTerm) -> Sum:
    """Return the cost of a wish for few lines, its weight in it."""
    if model.order is None and len(term.seats) > STATED:
        model.only_bounds = True
        return term.least if not any(model.here(*term.items())) else 0
    kinds = range(len(term.marks))
    same: list[list[list[Literal]]] = [[[] for _ in kinds] for _ in term.seats]
    for kind in kinds:
        lines = [_line(model, term, seat, kind) for seat in term.seats]
        for s, one in enumerate(lines):
            for mark in term.marks[kind]:
                fixed = _LineHere(at=mark, low=mark, high=mark, was=mark, here=())
                if one is not None and (literal := _equal(model, one, fixed)) is not None:
                    same[s][kind].append(literal)
            for o, other in enumerate(lines[:s]):
                if one is not None and other is not None and (literal := _equal(model, one, other)) is not None:
                    same[s][kind].append(literal)
                    same[o][kind].append(literal)
    return sum(_seat_cost(model, term, seat, same[s]) for s, seat in enumerate(term.seats))


@dataclass(frozen=True, slots=True, kw_only=True)
class _LineHere:
    """A line in the model: its place, what that can be, where it was in the order kept, and whether it is there."""

    at: Sum
    low: int
    high: int
    was: int | None
    here: tuple[Literal, ...]


def _line(model: ExactModel, term: LinesTerm, seat: Seat, kind: int) -> _LineHere | None:
    line, axis, k = seat.lines[kind], term.axes[kind], seat.item
    if line is None or (model.order is not None and not model.order.present[k]):
        return None
    box, order = model.box[k], model.order
    low, high = (box.y0, box.y1) if axis else (box.x0, box.x1)
    return _LineHere(
        at=(model.y[k] if axis else model.x[k]) + by_turn(model.turn[k], line),
        low=low + min(line),
        high=high + max(line),
        was=None if order is None else order.positions[k][axis] + line[order.turns[k]],
        here=tuple(model.here(k)),
    )


def _equal(model: ExactModel, one: _LineHere, other: _LineHere) -> Literal | None:
    """Return a literal that makes two lines one; None where they cannot be, or were too far from each other."""
    if one.was is not None and other.was is not None and abs(one.was - other.was) > _NEAR:
        return None
    if one.low > other.high or other.low > one.high:
        return None
    literal = model.cp.new_bool_var("")
    model.add(one.at == other.at, [literal])
    for present in (*one.here, *other.here):
        model.cp.add_implication(literal, present)
    return literal


def _seat_cost(model: ExactModel, term: LinesTerm, seat: Seat, same: list[list[Literal]]) -> Sum:
    """Choose one line of an item and count who stands on it."""
    steps: list[tuple[Literal, int]] = []
    for literals in same:
        for count in range(1, len(literals) + 1):
            chosen = model.cp.new_bool_var("")
            model.add(sum(literals) >= count, [chosen])
            steps.append((chosen, term.weight // (count + 1)))
    alone = model.cp.new_bool_var("")
    steps.append((alone, term.weight))
    model.cp.add_exactly_one([literal for literal, _ in steps] + [~one for one in model.here(seat.item)])
    return sum(cost * literal for literal, cost in steps)


def even_cost(model: ExactModel, term: EvenTerm) -> Sum:
    """Return the cost of a wish for equal gaps, its weight in it."""
    if model.order is None:
        model.only_bounds = True
        return 0
    total: Sum = 0
    for row in term.rows(model.order, _NEAR):
        low, high = row.axis, 2 + row.axis
        at = model.y if row.axis else model.x

        def end(item: int, side: int, at: list[Sum] = at) -> Sum:
            assert model.order is not None
            return at[item] + term.extent(item, model.order.turns[item])[side]

        before = end(row.middle, low) - end(row.first, high)
        behind = end(row.last, low) - end(row.middle, high)
        missed = model.cp.new_bool_var("")
        model.add(before - behind <= 1, [~missed])
        model.add(behind - before <= 1, [~missed])
        total = total + term.weight * missed
    return total
