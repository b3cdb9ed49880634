"""The wish for a tidy look: few lines, equal things in one row or column, equal gaps in the rows that come about."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from layout.placing.engine.look_terms import EvenTerm, LinesTerm, LookLine, Seat
from layout.placing.engine.problem import MAX_COORDINATE, SCALE
from layout.placing.translation.pair_limits import edge_of
from layout.placing.translation.relation_rules import centre, edge, sum_of
from layout.placing.wishes.wanted import COST_PER_MM, MISSING_MM
from layout.placing.wishes.wishing import is_round

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.placing.translation.turns import Option
    from layout.placing.wishes.wishing import Wishing

_KINDS = ("low", "centre", "high")
"""Lines by which a device may stand, along either axis."""

EVEN_SHARE = 0.5
"""Cost of an uneven gap, as a share of that of a line."""

EQUAL_SHARE = 1.0
"""Cost of an equal thing that stands in another row, likewise."""

GROUP_SHARE = 0.2
"""Cost of a millimetre between equal things, along x or y, as a share of the wish's: what is alike reads as a group."""

EVERY_PAIR = 5
"""Up to so many equal things every two are drawn together; of more, each and the two after it in the file."""


def tidy(wishing: Wishing) -> None:
    """Want few lines; each that is needed counts as much as 100 mm."""
    cost = round(wishing.wish.weight * COST_PER_MM * MISSING_MM)
    for items in _joined_by_panels(wishing):
        if len(items) < 2 or not cost:
            continue
        for axis in (0, 1):
            seats = tuple(_seat(wishing, item, [(axis, kind) for kind in _KINDS]) for item in items)
            marks = _marks(wishing, items, axis)
            wishing.terms.append(
                LinesTerm(name=wishing.name, weight=cost, axes=(axis,) * len(_KINDS), seats=seats, marks=marks)
            )
        for equal in _equal(wishing, items):
            seats = tuple(_seat(wishing, item, [(1, "centre"), (0, "centre")]) for item in equal)
            least = round(EQUAL_SHARE * cost)
            wishing.terms.append(LinesTerm(name=wishing.name, weight=least, axes=(1, 0), seats=seats, marks=((), ())))
            _together(wishing, equal)
        boxes = tuple(
            (item, tuple(_box(option) for option in options), tuple(option.frame.index for option in options))
            for item in items
            if (options := wishing.options(item))
        )
        wishing.terms.append(EvenTerm(name=wishing.name, weight=round(EVEN_SHARE * cost), boxes=boxes))


def _together(wishing: Wishing, equal: Sequence[int]) -> None:
    """Draw equal things together; however many pairs are counted, each thing feels its mean distance to the others."""
    count = len(equal)
    pairs = [
        (a, b) for a, b in combinations(range(count), 2) if count <= EVERY_PAIR or (b - a) % count in (1, 2, count - 1)
    ]
    cost = round(GROUP_SHARE * wishing.cost * count / len(pairs))
    for a, b in pairs:
        for axis in (0, 1):
            ends = [(equal[k], axis, sign, centre(wishing.options(equal[k]), axis)) for k, sign in ((a, 1), (b, -1))]
            wishing.at_zero(sum_of(ends), cost=cost)


def _joined_by_panels(wishing: Wishing) -> list[list[int]]:
    """Return the items, those together that can stand on one panel."""
    groups: list[tuple[set[str], list[int]]] = []
    problem = wishing.built.problem
    free = [k for k, item in enumerate(problem.items) if item.absent_cost is None] if problem else []
    named = set(wishing.items()) if wishing.wish.devices else set(free)
    for item in (k for k in free if k in named):
        panels = {option.frame.panel for option in wishing.options(item)}
        mine = [group for group in groups if group[0] & panels]
        groups = [group for group in groups if group not in mine]
        groups.append((panels.union(*(group[0] for group in mine)), [k for group in mine for k in group[1]] + [item]))
    return [sorted(items) for _, items in groups]


def _seat(wishing: Wishing, item: int, lines: Sequence[tuple[int, str]]) -> Seat:
    options = wishing.options(item)
    found: list[LookLine | None] = []
    for axis, kind in lines:
        pairs = zip(edge(options, axis, kind), options, strict=True)
        line = tuple(round(SCALE * off) + _apart(option, axis) for off, option in pairs)
        found.append(None if kind != "centre" and is_round(wishing, item) else line)
    return Seat(item=item, lines=tuple(found))


def _apart(option: Option, axis: int) -> int:
    """Return what keeps level lines of two panels apart, which lie side by side in the engine's plane."""
    return 2 * MAX_COORDINATE * option.frame.index if axis else 0


def _marks(wishing: Wishing, items: Sequence[int], axis: int) -> tuple[tuple[int, ...], ...]:
    """Return the lines that each panel has already: the margins and the middle."""
    low, middle, high = [], [], []
    for panel in dict.fromkeys(option.frame.panel for item in items for option in wishing.options(item)):
        frame, sheet = wishing.built.index.frame(panel), wishing.built.index.panels[panel]
        devices = [wishing.built.index.things[item].device for item in items]
        margin = min((edge_of(wishing.project, device, sheet) for device in devices if device), default=0.0)
        size = (frame.width_mm, frame.height_mm)[axis]
        start = frame.x0 if axis == 0 else 2 * MAX_COORDINATE * frame.index
        low.append(start + round(SCALE * margin))
        middle.append(start + round(SCALE * size / 2))
        high.append(start + round(SCALE * (size - margin)))
    return tuple(low), tuple(middle), tuple(high)


def _equal(wishing: Wishing, items: Sequence[int]) -> list[list[int]]:
    """Return sets of items whose faces are equally large."""
    sets: dict[tuple[int, int], list[int]] = {}
    for item in items:
        x0, y0, x1, y1 = _box(wishing.options(item)[0])
        width, height = sorted((x1 - x0, y1 - y0))
        sets.setdefault((width, height), []).append(item)
    return [equal for equal in sets.values() if len(equal) > 1]


def _box(option: Option) -> tuple[int, int, int, int]:
    x0, y0, x1, y1 = (round(SCALE * side) for side in option.stand.box)
    return x0, y0, x1, y1
