"""Build the hard part of the exact model: items, rooms, regions, pairs, cores, rules."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from layout.placing.engine.cores import sound_cores
from layout.placing.engine.cpsat.model import ExactModel, Literal, Sum, by_turn
from layout.placing.engine.cpsat.pair_sides import pair
from layout.placing.engine.problem import StepBox
from layout.placing.engine.rows import FAR_STEPS, bounds, needed_regions, turn_bounds
from layout.placing.engine.slabs import around, disjoint

if TYPE_CHECKING:
    from collections.abc import Collection

    from layout.placing.engine.problem import AllowedRoom, ForbiddenRegion, OneOf, PackItem, Problem
    from layout.placing.engine.stage_result import Positions


def exact_model(problem: Problem, *, order: Positions | None = None, free: Collection[int] = ()) -> ExactModel:
    """Build the model without wishes.

    Parameters
    ----------
    problem
        What is placed.
    order
        Keep turns, presence and every side that holds in this arrangement (for the polish).
    free
        Items that keep none of these.
    """
    model = ExactModel(problem, order, frozenset(free))
    for k, item in enumerate(problem.items):
        _item(model, k, item)
    if not model.possible:
        return model
    n = len(problem.items)
    for i in range(n):
        for j in range(i + 1, n):
            if all(_may_be_here(model, k) for k in (i, j)):
                pair(model, i, j)
    if order is None:
        _cores(model)
    for rule in problem.rules:
        model.add(model.sum(rule.expr) <= 0, model.here(*rule.expr.items()))
    for clause in problem.one_of:
        _one_of(model, clause)
    return model


def _may_be_here(model: ExactModel, k: int) -> bool:
    order = model.kept(k)
    return order is None or order.present[k]


def _item(model: ExactModel, k: int, item: PackItem) -> None:
    cp, order = model.cp, model.kept(k)
    turns = [item.pin.turn] if item.pin else list(range(len(item.turns)))
    if order is not None:
        turns = [order.turns[k]]
    boxes = {t: box for t in turns if (box := turn_bounds(item.turns[t])) is not None}
    within = around(list(boxes.values())) if boxes else None
    may_leave = item.absent_cost is not None
    if within is None:
        model.possible = model.possible and may_leave
        within = StepBox(0, 0, 0, 0)
    if item.pin:
        within = StepBox(item.pin.x, item.pin.y, item.pin.x, item.pin.y)
    model.box.append(within)
    model.x.append(cp.new_int_var(within.x0, within.x1, f"x{k}"))
    model.y.append(cp.new_int_var(within.y0, within.y1, f"y{k}"))
    literals: list[Literal] = [True] if len(item.turns) == 1 else []
    if not literals:
        literals = [cp.new_bool_var(f"t{k}.{t}") if t in boxes else False for t in range(len(item.turns))]
        cp.add_exactly_one(literals) if boxes else None
        if not boxes:
            literals = [t == turns[0] for t in range(len(item.turns))]
    model.turn.append(literals)
    absent = order is not None and not order.present[k]
    may_leave = absent if order is not None else may_leave
    present = cp.new_bool_var(f"p{k}") if may_leave else None
    model.present.append(present)
    if present is not None and (absent or not boxes):
        cp.add(present == 0)
    if absent:
        return
    for t in boxes:
        when = model.here(k) + ([] if len(item.turns) == 1 else [literals[t]])
        _rooms(model, k, item.turns[t].rooms, when)
        for region in needed_regions(item.turns[t].forbidden):
            _outside(model, k, region, when)


def _inside(model: ExactModel, k: int, room: AllowedRoom, when: list[Literal]) -> None:
    for a, b, c in room.rows:
        model.add(a * model.x[k] + b * model.y[k] <= c, when)


def _rooms(model: ExactModel, k: int, rooms: tuple[AllowedRoom, ...], when: list[Literal]) -> None:
    rooms = tuple(room for room in rooms if bounds(room) is not None)
    if (order := model.kept(k)) is not None:
        held = [room for room in rooms if room.holds(*order.positions[k])]
        rooms = tuple(held[:1]) or rooms
    if len(rooms) == 1:
        _inside(model, k, rooms[0], when)
        return
    choice = [model.cp.new_bool_var(f"r{k}.{r}") for r in range(len(rooms))]
    model.any(choice, when)
    for literal, room in zip(choice, rooms, strict=True):
        _inside(model, k, room, [literal, *when])


def _outside(model: ExactModel, k: int, region: ForbiddenRegion, when: list[Literal]) -> None:
    box, x, y = model.box[k], model.x[k], model.y[k]
    rows = []
    for a, b, c in region.rows:
        ends = [a * p + b * q - c for p in (box.x0, box.x1) for q in (box.y0, box.y1)]
        if min(ends) >= 0:
            return
        if max(ends) >= 0:
            rows.append((a, b, c))
    order = model.kept(k)
    if order is not None and not region.holds(*order.positions[k]):
        px, py = order.positions[k]
        rows = [max(rows, key=lambda row: _depth(row, px, py))]
    if len(rows) == 1:
        ((a, b, c),) = rows
        model.add(a * x + b * y >= c, when)
        return
    literals = []
    for a, b, c in rows:
        literal = model.cp.new_bool_var("")
        model.add(a * x + b * y >= c, [literal])
        literals.append(literal)
    model.any(literals, when)


def _depth(row: tuple[int, int, int], x: int, y: int) -> tuple[int, int]:
    a, b, c = row
    over = a * x + b * y - c
    return over * abs(over) // (a * a + b * b), over


def _cores(model: ExactModel) -> None:
    """Add the boxes that never overlap, as one redundant rule."""
    cp = model.cp
    along_x: list[Any] = []
    along_y: list[Any] = []
    for k, cores in enumerate(sound_cores(model.problem)):
        present = model.present[k]
        if cores is None:
            continue
        for low, high, at, intervals, name in (
            ([core.x0 for core in cores], [core.x1 for core in cores], model.x[k], along_x, "cx"),
            ([core.y0 for core in cores], [core.y1 for core in cores], model.y[k], along_y, "cy"),
        ):
            sizes = [b - a for a, b in zip(low, high, strict=True)]
            start, size = at + by_turn(model.turn[k], low), by_turn(model.turn[k], sizes)
            end = at + by_turn(model.turn[k], high)
            if len(set(low)) > 1 or len(set(high)) > 1:
                start, end = _variable(model, start, -FAR_STEPS), _variable(model, end, -FAR_STEPS)
                size = _variable(model, size, min(sizes))
            if present is None:
                intervals.append(cp.new_interval_var(start, size, end, f"{name}{k}"))
            else:
                intervals.append(cp.new_optional_interval_var(start, size, end, present, f"{name}{k}"))
    if len(along_x) < 2:
        return
    for box in disjoint([box for _, box in model.problem.obstacles]):
        along_x.append(cp.new_fixed_size_interval_var(box.x0, box.width, "ox"))
        along_y.append(cp.new_fixed_size_interval_var(box.y0, box.height, "oy"))
    cp.add_no_overlap_2d(along_x, along_y)


def _variable(model: ExactModel, part: Sum, least: int) -> Sum:
    """Return a variable equal to a sum: an interval takes one variable only."""
    made = model.cp.new_int_var(least, FAR_STEPS, "")
    model.cp.add(made == part)
    return made


def _one_of(model: ExactModel, clause: OneOf) -> None:
    literals: list[Literal] = []
    for item, turn, room in clause.options:
        literal = model.cp.new_bool_var("")
        for needs in (model.turn[item][turn], *model.here(item)):
            model.cp.add_implication(literal, needs)
        _inside(model, item, room, [literal])
        literals.append(literal)
    model.any(literals)
