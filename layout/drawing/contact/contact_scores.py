"""Scores of arrangements drawn for comparing: what makes up the value, bars by wish, and how much two differ."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.elements import colours, pens
from layout.drawing.elements.metrics import fitted_text, width_mm
from layout.drawing.elements.scene import FillPath, Group, Item, Text, box_path, line, rect
from layout.geometry.path import Box
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.project.model.arrangement import Arrangement

_ROW_MM = 3.3
_BAR_MM = 1.7
_TEXT_MM = 1.8
TOTAL_MM = 3.0
_CELL_MM = 4.4
CELL_WIDE_MM = 8.0
"""Height and width of a cell in the table of differences."""

MOST_WISHES = 14
"""More wishes than this are summed up in the last row."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """What all arrangements of a sheet share: their wishes in order, the greatest of each, and of the value."""

    wishes: tuple[str, ...]
    greatest: tuple[float, ...]
    least: tuple[float, ...]
    value: float


def scores(arrangement: Arrangement, wishes: Sequence[str]) -> list[float]:
    """Return the cost of each wish; the last of a full list stands for all that are not named."""
    named = [arrangement.by_wish.get(wish, 0.0) for wish in wishes]
    if wishes and wishes[-1] == OTHERS:
        named[-1] = sum(cost for wish, cost in arrangement.by_wish.items() if wish not in wishes[:-1])
    return named


OTHERS = "all other wishes"


def scale_of(arrangements: Sequence[Arrangement], wished: Sequence[str] = ()) -> Scale:
    """Return the scale that several arrangements are drawn to, wishes in the order in which they are ``wished``."""
    given = dict.fromkeys(wish for one in arrangements for wish in one.by_wish)
    names = (*(name for name in dict.fromkeys(wished) if name in given), *(n for n in given if n not in wished))
    if len(names) > MOST_WISHES:
        names = (*names[: MOST_WISHES - 1], OTHERS)
    columns = [scores(one, names) for one in arrangements]
    return Scale(
        wishes=names,
        greatest=tuple(max(column[k] for column in columns) for k in range(len(names))),
        least=tuple(min(column[k] for column in columns) for k in range(len(names))),
        value=max(one.value for one in arrangements),
    )


def total_bar(arrangement: Arrangement, shared: Scale, box: Box) -> Group:
    """Return the value as one bar of its parts, and a mark at what is proven to be the least."""
    items: list[Item] = []
    per_mm = box.width / shared.value if shared.value > 0 else 0.0
    x = box.x0
    for index, cost in enumerate(scores(arrangement, shared.wishes)):
        if cost > 0:
            part = Box(x, box.y0, x + cost * per_mm, box.y1)
            items.append(FillPath(box_path(part), colours.WISHES[index % len(colours.WISHES)]))
            x = part.x1
    items.append(line((box.x0, box.y0), (box.x1, box.y0), pens.HAIR))
    if arrangement.bound is not None and arrangement.bound > 0:
        at = box.x0 + min(arrangement.bound, shared.value) * per_mm
        items.append(line((at, box.y0 - 1.0), (at, box.y1 + 1.0), pens.RULE_PEN))
    return Group(tuple(items), name="value", layer="scores")


def columns_of(width_mm_: float, wishes: int) -> int:
    """Return in how many columns the wishes stand: two where they are many and there is width."""
    return 2 if wishes > 5 and width_mm_ >= 105 else 1


def bars_height_mm(width_mm_: float, wishes: int) -> float:
    """Return the height that the bars of all wishes take."""
    return _ROW_MM * -(-wishes // columns_of(width_mm_, wishes))


def wish_bars(arrangement: Arrangement, shared: Scale, box: Box) -> Group:
    """Return a slim bar for each wish; a wish has the same scale in every arrangement, its longest the worst."""
    count = columns_of(box.width, len(shared.wishes))
    gap = 5.0
    wide = (box.width - gap * (count - 1)) / count
    a_column = -(-len(shared.wishes) // count)
    names = max((width_mm(wish, _TEXT_MM) for wish in shared.wishes), default=0.0)
    name_room = min(names + 2.0, 0.6 * wide)
    numbers = max((width_mm(_cost(cost), _TEXT_MM, bold=True) for cost in shared.greatest), default=0.0) + 1.5
    items: list[Item] = []
    for index, cost in enumerate(scores(arrangement, shared.wishes)):
        left = box.x0 + (wide + gap) * (index // a_column)
        y = box.y1 - _ROW_MM * (index % a_column + 0.5)
        items.append(
            Text((left, y), fitted_text(shared.wishes[index], _TEXT_MM, name_room - 1.0), _TEXT_MM, "left", "middle")
        )
        start, most = left + name_room, wide - name_room - numbers
        greatest, least = shared.greatest[index], shared.least[index]
        if cost > 0:
            bar = Box(start, y - _BAR_MM / 2, start + most * cost / greatest, y + _BAR_MM / 2)
            items.append(FillPath(box_path(bar), colours.WISHES[index % len(colours.WISHES)]))
        items.append(line((start, y - _BAR_MM / 2), (start, y + _BAR_MM / 2), pens.HAIR))
        best = cost == least < greatest
        items.append(Text((left + wide, y), _cost(cost), _TEXT_MM, "right", "middle", bold=best))
    return Group(tuple(items), name="wishes", layer="scores")


def difference_size_mm(count: int) -> tuple[float, float]:
    """Return width and height of the table of differences, room beside it included; nothing for no arrangements."""
    return (max(6.0 + CELL_WIDE_MM * count, 50.0) + 8.0, 5.0 + _CELL_MM * (count + 1)) if count else (0.0, 0.0)


def difference_table(differences: Sequence[Sequence[float]], top_left: tuple[float, float]) -> tuple[Group, Box]:
    """Return how much stands elsewhere, by size, in percent, for every two arrangements; darker is more."""
    side, left, top = CELL_WIDE_MM, top_left[0], top_left[1]
    items: list[Item] = [Text((left, top - 2.5), "Things that stand elsewhere, %", 2.5, bold=True)]
    x0, y0 = left + 6.0, top - 5.0
    size = _CELL_MM
    for k in range(len(differences)):
        items.append(Text((x0 + (k + 0.5) * side, y0 - size / 2), f"{k + 1}", _TEXT_MM, "centre", "middle", bold=True))
        y = y0 - (k + 1.5) * size
        items.append(Text((left + 3.0, y), f"{k + 1}", _TEXT_MM, "centre", "middle", bold=True))
        for j, share in enumerate(differences[k]):
            cell = Box(x0 + j * side, y - size / 2, x0 + (j + 1) * side, y + size / 2)
            if j != k:
                items.append(FillPath(box_path(cell), _shade(share)))
                items.append(Text(cell.centre, f"{100 * share:.0f}", _TEXT_MM, "centre", "middle"))
            items.append(rect(cell, pens.HAIR))
    wide, tall = difference_size_mm(len(differences))
    return Group(tuple(items), name="differences", layer="differences"), Box(left, top - tall, left + wide, top)


def _shade(share: float) -> str:
    """Return a tint of blue, white at no difference and still light at the greatest."""
    strength = min(max(share, 0.0), 1.0) * 0.55
    return "#" + "".join(f"{round(255 - (255 - part) * strength):02x}" for part in (31, 78, 121))


def _cost(cost: float) -> str:
    return f"{cost:.0f}" if cost >= 10 or cost == 0 else f"{cost:.1f}"
