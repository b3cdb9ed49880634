"""A long list of short rows, two columns to a page: it fills what room there is and goes on over pages."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Any

from reportlab.platypus import Flowable, Table

from layout.drawing.elements import colours
from layout.drawing.elements.metrics import wrapped
from layout.drawing.writers.pdf import BOLD, POINTS_PER_MM, REGULAR
from layout.handover.lists.table import UNKNOWN, shown
from layout.handover.paper.column_widths import fitting_widths
from layout.handover.paper.page_frame import Faulty
from layout.handover.paper.styles import (
    FAULT_FILL,
    HEAD_FILL,
    LINE,
    PAPER_ALARM,
    PAPER_GREY,
    PAPER_INK,
    PAPER_LEAD,
    grid,
    points,
    text,
)
from layout.languages import Said, in_language

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from layout.handover.lists.table import Cell
    from layout.handover.lists.table import Table as ListTable

LETTERING_MM = 1.8
LINE_MM = 2.7
"""From one line of a row to the next."""
_BETWEEN_MM = 0.7
_PAD_MM = 0.9
GUTTER_MM = 6.0
_EASE_MM = 0.05
_GRID_MM = 0.8
"""Room above and below that the pair of columns takes."""
_NEAR_MM = 5 * LINE_MM
MOST_SHARED = 30
"""A name that is said once is said again after so many rows at the latest."""
_LEAST_ROWS = 4
"""With room for fewer rows the list begins on the next page."""

_Row = tuple[int, "Mapping[str, Cell] | str"]
"""Number of a row with its cells, or -1 with the name of its group."""


class DenseTable(Flowable):  # type: ignore[misc]  # the PDF library says no types
    """A grouped list in two columns of equal height, or as tall as the room is and what is left on the next page.

    Parameters
    ----------
    words
        Overprint of pages that show a faulty row.
    """

    def __init__(
        self, table: ListTable, width_mm: float, *, words: str = "NOT FOR WIRING", rows: Sequence[_Row] | None = None,
        widths: Sequence[float] | None = None,
    ) -> None:  # fmt: skip
        super().__init__()
        self._table, self._width, self._words = table, width_mm, words
        self._columns = [column for column in table.columns if column.paper and column.key != table.group_by]
        self._side = (width_mm - GUTTER_MM) / 2
        self._waiting = list(_rows(table) if rows is None else rows)
        self._once = [column.key for column in self._columns if column.once]
        self._widths = list(self._fitting() if widths is None else widths)
        self._titles = [wrapped(column.heading, LETTERING_MM, wide - 2 * _PAD_MM + _EASE_MM, bold=True)
                        for column, wide in zip(self._columns, self._widths, strict=True)]  # fmt: skip
        self._head_mm = LINE_MM * max(map(len, self._titles)) + _BETWEEN_MM

    def _fitting(self) -> list[float]:
        """Return the width of each column; what is said once may reach over the rows below that it holds for."""
        heading = [((column.heading, LETTERING_MM, True),) for column in self._columns]
        rows = [[((shown(row[c.key], c), LETTERING_MM, False),) for c in self._columns] for row in self._table.rows]
        spare = [[0] * len(self._columns) for _ in range(len(rows) + 1)]
        for place, column in enumerate(self._columns):
            if column.once:
                first = 0
                for at, row in enumerate(self._table.rows):
                    if at and self._shares(self._table.rows[at - 1], row, column.key):
                        rows[at][place] = (("", LETTERING_MM, False),)
                        spare[first + 1][place] += 1
                    else:
                        first = at
        return fitting_widths([heading, *rows], self._side, pad_mm=2 * _PAD_MM, spare_lines=spare)

    def wrap(self, _width: float, height: float) -> tuple[float, float]:
        """Take two columns of equal height where they fit, else say that there is too little room."""
        left, right, rest = self._shared(height / POINTS_PER_MM - _GRID_MM)
        self._made = self._pair(left, right)
        if rest:
            self.width, self.height = self._width * POINTS_PER_MM, height + 1.0
            return self.width, self.height
        self.width, self.height = self._made.wrap(self._width * POINTS_PER_MM, height)
        return self.width, self.height

    def split(self, _width: float, height: float) -> list[Flowable]:
        """Return what fits, and the rest as a list of its own."""
        if height < self.least_points:
            return []
        left, right, rest = self._shared(height / POINTS_PER_MM - _GRID_MM)
        after = DenseTable(self._table, self._width, words=self._words, rows=rest, widths=self._widths)
        return [self._pair(left, right), *([after] if rest else [])]

    @property
    def least_points(self) -> float:
        """Height with which it can begin."""
        return (_LEAST_ROWS * (LINE_MM + _BETWEEN_MM) + self._head_mm) * POINTS_PER_MM

    def draw(self) -> None:
        """Draw both columns."""
        self._made.drawOn(self.canv, 0, 0)

    def _pair(self, left: list[_Row], right: list[_Row]) -> Table:
        sides = [self._column(rows) if rows else "" for rows in (left, right)]
        return grid([sides], [self._side + GUTTER_MM, self._side])

    def _shared(self, room_mm: float) -> tuple[list[_Row], list[_Row], list[_Row]]:
        """Return what stands left and right, and what is left over; equal columns where nothing is."""
        half = sum(self._heights(self._waiting)) / 2 + self._head_mm
        for most in (*(half + more for more in (0.0, 4.0, 8.0, 12.0) if half + more < room_mm), room_mm):
            left, waiting = self._taken(self._waiting, most)
            right, rest = self._taken(waiting, most)
            if not rest:
                return left, right, []
        return left, right, rest

    def _heights(self, rows: Sequence[_Row]) -> list[float]:
        """Return the height of each row; the last of those that share a name takes what the name still lacks."""
        found: list[float] = []
        lacks = 0
        for at, (_, row) in enumerate(rows):
            lines = self._lines(row)
            above, below = (rows[at + step][1] if 0 <= at + step < len(rows) else "" for step in (-1, 1))
            lacks = max(lacks, self._once_lines(row, above)) - lines
            if lacks > 0 and not any(self._shares(row, below, key) for key in self._once):
                lines, lacks = lines + lacks, 0
            lacks = lacks if any(self._shares(row, below, key) for key in self._once) else 0
            found.append(LINE_MM * lines + _BETWEEN_MM)
        return found

    def _once_lines(self, row: Mapping[str, Cell] | str, above: Mapping[str, Cell] | str) -> int:
        """Return the lines of what begins in this row and is not said again below."""
        if isinstance(row, str):
            return 0
        return max(
            (len(self._broken(row, place)) for place, column in enumerate(self._columns)
             if column.once and not self._shares(above, row, column.key)), default=0,
        )  # fmt: skip

    def _shares(self, above: Mapping[str, Cell] | str, row: Mapping[str, Cell] | str, key: str) -> bool:
        """Tell whether two rows that stand below each other say the same in a column that is said once."""
        if isinstance(above, str) or isinstance(row, str):
            return False
        group = self._table.group_by
        return above[key] == row[key] and (not group or above[group] == row[group])

    def _lines(self, row: Mapping[str, Cell] | str) -> int:
        if isinstance(row, str):
            return 1
        own = (len(self._broken(row, place)) for place, column in enumerate(self._columns) if not column.once)
        return max(own, default=1)

    def _broken(self, cells: Mapping[str, Cell], place: int) -> list[str]:
        words = shown(cells[self._columns[place].key], self._columns[place])
        return _broken(in_language(words), self._widths[place])

    def _taken(self, waiting: Sequence[_Row], room_mm: float) -> tuple[list[_Row], list[_Row]]:
        """Return what stands in one column and what is left; a group's name is never the last, and is said again."""
        room, count, end = room_mm - self._head_mm, 0, 0.0
        heights = self._heights(waiting)
        while count < len(waiting):
            here = heights[count]
            if end + here + _NEAR_MM > room:  # a name that is cut here may need lines that it had below
                here = max(here, self._heights(waiting[max(0, count - MOST_SHARED) : count + 1])[-1])
            if end + here > room + 1e-6:
                break
            end += heights[count]
            count += 1
        taken = list(waiting[:count])
        while len(taken) > 1 and taken[-1][0] < 0:
            taken.pop()
        rest = list(waiting[len(taken) :])
        if taken and rest and rest[0][0] >= 0 and self._table.group_by:
            group = shown(self._table.rows[rest[0][0]][self._table.group_by])
            rest = [(-1, f"{group}, continued"), *rest]
        return taken, rest

    def _column(self, rows: Sequence[_Row]) -> Table:
        titles = ["\n".join(lines) for lines in self._titles]
        content: list[list[Any]] = [titles]
        heights = [self._head_mm, *self._heights(rows)]
        last = len(self._columns) - 1
        rules = [*_RULES, *(("ALIGN", (at, 0), (at, -1), _SIDES[c.align]) for at, c in enumerate(self._columns))]
        above: Mapping[str, Cell] | str = ""
        for number, row in rows:
            at = len(content)
            if isinstance(row, str):
                content.append([in_language(row), *[""] * last])
                rules += [
                    ("SPAN", (0, at), (-1, at)), ("ALIGN", (0, at), (0, at), "LEFT"),
                    ("FONT", (0, at), (-1, at), BOLD, points(LETTERING_MM + 0.2)),
                    ("TEXTCOLOR", (0, at), (-1, at), PAPER_LEAD), ("LINEBELOW", (0, at), (-1, at), 1.2, PAPER_LEAD),
                ]  # fmt: skip
                above = row
                continue
            cells: list[Any] = []
            for place, column in enumerate(self._columns):
                lines = self._broken(row, place)
                if column.once and self._shares(above, row, column.key):
                    lines = []
                else:
                    rules.append(("LINEABOVE", (place, at), (place, at), 0.3, LINE))
                cells.append("\n".join(lines))
                if lines == [UNKNOWN]:
                    rules += [
                        ("TEXTCOLOR", (place, at), (place, at), PAPER_ALARM),
                        ("FONT", (place, at), (place, at), BOLD),
                    ]
            if number in self._table.faulty:
                rules.append(("BACKGROUND", (0, at), (-1, at), FAULT_FILL))
                cells[0] = [Faulty(self._words), text(str(cells[0]), LETTERING_MM, colour=colours.INK)]
            content.append(cells)
            above = row
        made = Table(
            content, colWidths=[wide * POINTS_PER_MM for wide in self._widths],
            rowHeights=[tall * POINTS_PER_MM for tall in heights],
        )  # fmt: skip
        made.setStyle(rules)
        return made


@lru_cache(maxsize=20_000)
def _broken(words: str, wide_mm: float) -> list[str]:
    return wrapped(Said(words), LETTERING_MM, wide_mm - 2 * _PAD_MM + _EASE_MM)


def _rows(table: ListTable) -> list[_Row]:
    found: list[_Row] = []
    before: Cell = None
    for number, row in enumerate(table.rows):
        if table.group_by and (not found or row[table.group_by] != before):
            before = row[table.group_by]
            found.append((-1, shown(before)))
        found.append((number, row))
    return found


_RULES: tuple[tuple[Any, ...], ...] = (
    ("FONT", (0, 0), (-1, -1), REGULAR, points(LETTERING_MM)),
    ("FONT", (0, 0), (-1, 0), BOLD, points(LETTERING_MM)),
    ("LEADING", (0, 0), (-1, -1), LINE_MM * POINTS_PER_MM),
    ("TEXTCOLOR", (0, 0), (-1, -1), PAPER_INK), ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ("LEFTPADDING", (0, 0), (-1, -1), _PAD_MM * POINTS_PER_MM),
    ("RIGHTPADDING", (0, 0), (-1, -1), _PAD_MM * POINTS_PER_MM),
    ("TOPPADDING", (0, 0), (-1, -1), 0.1 * POINTS_PER_MM), ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
    ("BACKGROUND", (0, 0), (-1, 0), HEAD_FILL), ("LINEBELOW", (0, 0), (-1, 0), 0.6, PAPER_GREY),
    ("LINEBELOW", (0, -1), (-1, -1), 0.3, LINE),
)  # fmt: skip
_SIDES = {"left": "LEFT", "right": "RIGHT", "centre": "CENTER"}
