"""The choice of side for a pair of items, with as few literals as the turns allow."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.placing.engine.cpsat.model import ExactModel, Literal, Sum, by_turn
from layout.placing.engine.rows import needed_regions

if TYPE_CHECKING:
    from layout.placing.engine.problem import ForbiddenRegion, HalfPlane

Constants = tuple[int, tuple[int, ...], tuple[int, ...]]
"""Right side of a row: ``base + first[turn_i] + second[turn_j]``."""


def pair(model: ExactModel, i: int, j: int) -> None:
    """Add what keeps two items apart, i < j."""
    turns_i, turns_j = range(len(model.turn[i])), range(len(model.turn[j]))
    if (order := model.kept(i)) is not None:
        turns_i = range(order.turns[i], order.turns[i] + 1)
    if (order := model.kept(j)) is not None:
        turns_j = range(order.turns[j], order.turns[j] + 1)
    between = model.problem.pairs.between
    lists = {(ti, tj): needed_regions(between(i, ti, j, tj)) for ti in turns_i for tj in turns_j}
    here = model.here(i, j)
    shared = _shared(lists)
    if shared is not None:
        for region in shared:
            _region(model, i, j, region, here)
        return
    for (ti, tj), regions in lists.items():
        when = here + [model.turn[k][t] for k, t in ((i, ti), (j, tj)) if len(model.turn[k]) > 1]
        for one in regions:
            rows = [((a, b), (c, (0,) * len(model.turn[i]), (0,) * len(model.turn[j]))) for a, b, c in one.rows]
            _region(model, i, j, rows, when)


def _shared(
    lists: dict[tuple[int, int], tuple[ForbiddenRegion, ...]],
) -> list[list[tuple[tuple[int, int], Constants]]] | None:
    """Return the regions with right sides as sums over the two turns, or None when they are no such sums."""
    (first_i, first_j), model = next(iter(lists.items()))
    last_i, last_j = max(lists)
    normals = [[(a, b) for a, b, _ in region.rows] for region in model]
    if any([[(a, b) for a, b, _ in region.rows] for region in regions] != normals for regions in lists.values()):
        return None
    found = []
    for r, region in enumerate(model):
        rows = []
        for s, (a, b, base) in enumerate(region.rows):
            one = tuple(lists[t, first_j][r].rows[s][2] - base if t >= first_i else 0 for t in range(last_i + 1))
            two = tuple(lists[first_i, t][r].rows[s][2] - base if t >= first_j else 0 for t in range(last_j + 1))
            if any(regions[r].rows[s][2] != base + one[ti] + two[tj] for (ti, tj), regions in lists.items()):
                return None
            rows.append(((a, b), (base, one, two)))
        found.append(rows)
    return found


def _region(
    model: ExactModel,
    i: int,
    j: int,
    rows: list[tuple[tuple[int, int], Constants]],
    when: list[Literal],
) -> None:
    """Add: the offset is on the free side of one of the rows."""
    first, second = model.box[i], model.box[j]
    low_x, high_x = second.x0 - first.x1, second.x1 - first.x0
    low_y, high_y = second.y0 - first.y1, second.y1 - first.y0
    open_rows = []
    for (a, b), (base, one, two) in rows:
        most = max(a * low_x, a * high_x) + max(b * low_y, b * high_y)
        least = min(a * low_x, a * high_x) + min(b * low_y, b * high_y)
        if least >= base + max(one) + max(two):
            return
        if most >= base + min(one) + min(two):
            open_rows.append(((a, b), (base, one, two)))
    open_rows = _kept(model, i, j, open_rows)
    dx, dy = model.x[j] - model.x[i], model.y[j] - model.y[i]
    literals: list[Literal] = []
    chosen: list[tuple[Literal, HalfPlane]] = []
    for (a, b), (base, one, two) in open_rows:
        side = _spread(model.turn[i], one) + _spread(model.turn[j], two) + base
        offset = a * dx + b * dy if a and b else a * dx if a else b * dy
        if len(open_rows) == 1:
            model.add(offset >= side, when)
            return
        literal = model.cp.new_bool_var("")
        model.add(offset >= side, [literal])
        literals.append(literal)
        chosen.append((literal, (a, b, base + min(one) + min(two))))
    model.any(literals, when)
    if chosen and not when:
        model.choices.setdefault((i, j), []).append(chosen)


def _spread(turn: list[Literal], constants: tuple[int, ...]) -> Sum:
    return by_turn(turn, constants) if len(constants) == len(turn) else constants[-1]


def _kept(
    model: ExactModel, i: int, j: int, rows: list[tuple[tuple[int, int], Constants]]
) -> list[tuple[tuple[int, int], Constants]]:
    """Return only the row with most room in the order that is kept, or all rows where none holds."""
    order = model.kept(i, j)
    if order is None:
        return rows
    dx = order.positions[j][0] - order.positions[i][0]
    dy = order.positions[j][1] - order.positions[i][1]

    def room(row: tuple[tuple[int, int], Constants]) -> float:
        (a, b), (base, one, two) = row
        spare = a * dx + b * dy - base - one[-1] - two[-1]
        return spare * abs(spare) / (a * a + b * b)

    best = max(rows, key=room, default=None)
    return rows if best is None or room(best) < 0 else [best]
