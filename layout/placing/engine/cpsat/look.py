"""Wishes about the look of the whole in the exact model: shared lines, and equal gaps in a row.

With an order that is kept (the polish) only lines that are near each other in it are brought together, and
rows are those that it has. Without one, a term with few items is stated in full, and of the rest it is only
said what it costs at least: the model is then one for bounds (``ExactModel.only_bounds``).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.placing.engine.cpsat.model import by_turn

if TYPE_CHECKING:
    from layout.placing.engine.cpsat.model import ExactModel, Literal, Sum
    from layout.placing.engine.look_terms import EvenTerm, LinesTerm, Seat

STATED = 6
"""Up to so many items a term is stated in full."""

NEAR = 12
"""Steps between two lines that a polish may bring together."""


def lines_cost(model: ExactModel, term: LinesTerm) -> Sum:
    """Return the cost of a wish for few lines, its weight in it."""
    if model.order is None and len(term.seats) > STATED:
        model.only_bounds = True
        return term.least if not any(model.here(*term.items())) else 0
    kinds = range(len(term.marks))
    places = [[_place(model, seat, kind) for kind in kinds] for seat in term.seats]
    same: list[list[list[Literal]]] = [[[] for _ in kinds] for _ in term.seats]
    for s, seat in enumerate(term.seats):
        for kind in kinds:
            for mark in term.marks[kind]:
                if (literal := _equal(model, (seat,), kind, places[s][kind], mark)) is not None:
                    same[s][kind].append(literal)
            for other in range(s):
                pair = (seat, term.seats[other])
                literal = _equal(model, pair, kind, places[s][kind], places[other][kind])
                if literal is not None:
                    same[s][kind].append(literal)
                    same[other][kind].append(literal)
    return sum(_seat_cost(model, term, seat, same[s]) for s, seat in enumerate(term.seats))


def _place(model: ExactModel, seat: Seat, kind: int) -> Sum:
    axis, constants = seat.lines[kind]
    at = model.y[seat.item] if axis else model.x[seat.item]
    return at + by_turn(model.turn[seat.item], constants)


def _ends(model: ExactModel, seat: Seat, kind: int) -> tuple[int, int]:
    axis, constants = seat.lines[kind]
    box = model.box[seat.item]
    low, high = (box.y0, box.y1) if axis else (box.x0, box.x1)
    return low + min(constants), high + max(constants)


def _equal(model: ExactModel, seats: tuple[Seat, ...], kind: int, one: Sum, other: Sum) -> Literal | None:
    """Return a literal that makes two lines one; None where they cannot be, or are too far from each other."""
    if model.order is not None:
        if not all(model.order.present[seat.item] for seat in seats):
            return None
        at = [seat.places(model.order)[kind] for seat in seats]
        if abs(at[0] - (at[1] if len(at) > 1 else other)) > NEAR:
            return None
    low, high = _ends(model, seats[0], kind)
    its_low, its_high = _ends(model, seats[1], kind) if len(seats) > 1 else (other, other)
    if low > its_high or its_low > high:
        return None
    literal = model.cp.new_bool_var("")
    model.add(one == other, [literal])
    for present in model.here(*(seat.item for seat in seats)):
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
    for row in term.rows(model.order, NEAR):
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
