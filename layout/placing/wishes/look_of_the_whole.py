"""Wishes about the look of the whole: lines in common, even spacing, symmetry, mass to the hinge."""

from __future__ import annotations

from itertools import combinations, pairwise
from typing import TYPE_CHECKING

from layout.placing.translation.relation_rules import centre, high, low, sum_of
from layout.placing.wishes.wanted import COST_PER_MM, MISSING_MM
from layout.placing.wishes.wishing import is_round, wished_size

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from layout.placing.translation.turns import Option
    from layout.placing.wishes.wishing import Wishing

PAIRWISE_UP_TO = 6
"""Up to this many devices every two are to line up; of more, each with the next in the file."""

SHARES = 100
"""Whole-number parts that the areas of all faces are counted in."""


def aligned(wishing: Wishing) -> None:
    """Want an edge or a centre line in common; however many pairs are counted, n devices have n - 1 to miss."""
    items = wishing.items()
    pairs = list(combinations(items, 2)) if len(items) <= PAIRWISE_UP_TO else list(pairwise(items))
    if not pairs:
        return
    cost = round(wishing.wish.weight * COST_PER_MM * MISSING_MM * (len(items) - 1) / len(pairs))
    for one, other in pairs:
        first, second = wishing.options(one), wishing.options(other)
        kinds = (centre,) if is_round(wishing, one) or is_round(wishing, other) else (low, centre, high)
        exprs = [
            sum_of([(one, axis, 1, of(first, axis)), (other, axis, -1, of(second, axis))])
            for axis in (1, 0)
            for of in kinds
        ]
        wishing.one_at_zero(tuple(exprs), cost=cost)


def even_spacing(wishing: Wishing) -> None:
    """Want equal gaps between neighbours, in the order named: from left to right, or downwards in a column."""
    items = wishing.items()
    axis = 1 if _stacked(wishing, items) else 0
    order = items[::-1] if axis else items
    for one, middle, other in zip(order, order[1:], order[2:], strict=False):
        # (low of other - high of middle) - (low of middle - high of one)
        ends = zip(low(wishing.options(middle), axis), high(wishing.options(middle), axis), strict=True)
        parts = [
            (other, axis, 1, low(wishing.options(other), axis)),
            (middle, axis, -2, [(a + b) / 2 for a, b in ends]),
            (one, axis, 1, high(wishing.options(one), axis)),
        ]
        wishing.at_zero(sum_of(parts))


def symmetry(wishing: Wishing) -> None:
    """Want named devices in mirrored pairs from outside in (an odd one on the line), else all areas in balance."""
    items = wishing.items()

    def line(option: Option) -> float:
        return wishing.frame(option).width_mm / 2 if wishing.wish.about is None else wishing.wish.about

    if not wishing.wish.devices:
        _balance(wishing, items, [wishing.off_line(item, 0, line) for item in items])
        return
    for k in range((len(items) + 1) // 2):
        one, other = items[k], items[-1 - k]
        if one == other:
            wishing.to_line(one, 0, line, slack_mm=wishing.wish.free)
            continue
        both = [(item, 0, 1, wishing.off_line(item, 0, line)) for item in (one, other)]
        wishing.at_zero(sum_of(both), slack_mm=wishing.wish.free)
        level = [(one, 1, 1, centre(wishing.options(one), 1)), (other, 1, -1, centre(wishing.options(other), 1))]
        wishing.at_zero(sum_of(level))


def mass_to_hinge(wishing: Wishing) -> None:
    """Draw masses to the hinge: the mean distance, weighted by mass, times the number of devices costs."""
    every = [(item, _hinge_way(wishing, item)) for item in wishing.items()]
    hinged = [(item, way) for item, way in every if way is not None]
    for item, way in every:
        if way is None and wishing.wish.devices:
            wishing.note(
                f"the wish '{wishing.name}' counts nothing for {wishing.called(item)}: "
                "its panels have no hinge, or not on one side"
            )
    masses = [_mass(wishing, item) for item, _ in hinged]
    lacking = [wishing.called(item) for (item, _), mass in zip(hinged, masses, strict=True) if mass is None]
    if lacking:
        wishing.note(
            f"the wish '{wishing.name}' counts nothing for {', '.join(lacking)}, whose weight is not known",
            remedy="give weight",
            subjects=tuple(f"devices.{name}" for name in lacking),
        )
    total = sum(mass or 0.0 for mass in masses)
    for (item, (axis, sign)), mass in zip(hinged, masses, strict=True):
        if mass and total:
            offsets = wishing.off_line(item, axis, _far_side(wishing, axis) if sign < 0 else _near_side)
            cost = round(wishing.cost * mass / total * len(hinged))
            wishing.below_zero(sum_of([(item, axis, sign, offsets)]), cost=cost)


def _near_side(_: Option) -> float:
    return 0.0


def _far_side(wishing: Wishing, axis: int) -> Callable[[Option], float]:
    return lambda option: wished_size(wishing.frame(option), axis)


def _stacked(wishing: Wishing, items: Sequence[int]) -> bool:
    """Say whether a relation puts these devices above each other."""
    names = {wishing.called(item) for item in items}
    return any(
        names <= set(relation.devices)
        and (relation.kind in ("column", "top_to_bottom") or (relation.kind == "group" and relation.run == "up"))
        for relation in wishing.project.rules.relations
    )


def _balance(wishing: Wishing, items: Sequence[int], offsets: Sequence[list[float]]) -> None:
    """Draw the middle of all faces' area to the line."""
    areas = [_area(wishing.options(item)[0]) for item in items]
    shares = [max(1, round(SHARES * area / sum(areas))) for area in areas]
    parts = [(item, 0, share, values) for item, share, values in zip(items, shares, offsets, strict=True)]
    cost = max(1, round(wishing.cost / SHARES)) if wishing.cost else 0
    wishing.at_zero(sum_of(parts), slack_mm=SHARES * wishing.wish.free, cost=cost)


def _hinge_way(wishing: Wishing, item: int) -> tuple[int, int] | None:
    """Return the axis to the hinge and +1 where the hinge lies at the low end; None unless all its panels agree."""
    found = set()
    for option in wishing.options(item):
        hinge = wishing.panel(option).hinge
        if hinge is None:
            return None
        found.add((0 if hinge.side in ("left", "right") else 1, 1 if hinge.side in ("left", "bottom") else -1))
    return found.pop() if len(found) == 1 else None


def _mass(wishing: Wishing, item: int) -> float | None:
    device = wishing.built.index.things[item].device
    return device.weight if device else None


def _area(option: Option) -> float:
    x0, y0, x1, y1 = option.stand.box
    return (x1 - x0) * (y1 - y0)
