"""A long list of short rows, two columns to a page: one line a row, texts measured and shortened to fit."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from reportlab.platypus import PageBreak, Table

from layout.drawing.elements import colours
from layout.drawing.elements.metrics import fitted
from layout.drawing.elements.metrics import width_mm as width_mm_of
from layout.drawing.writers.pdf import BOLD, POINTS_PER_MM, REGULAR
from layout.handover.lists.table import UNKNOWN, shown
from layout.handover.paper.page_frame import Faulty
from layout.handover.paper.styles import ALARM, FAULT_FILL, GREY, HEAD_FILL, INK, LEAD, LINE, grid, points, text

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from reportlab.platypus import Flowable

    from layout.handover.lists.table import Cell, Column
    from layout.handover.lists.table import Table as ListTable

LETTERING_MM = 1.8
ROW_MM = 3.7
PAD_MM = 0.9
GUTTER_MM = 6.0

Row = tuple[int, "Mapping[str, Cell] | str"]
"""Number of a row with its cells, or -1 with the name of its group."""


def dense_table(
    table: ListTable, width_mm: float, *, height_mm: float, first_mm: float | None = None, words: str = "NOT FOR WIRING"
) -> list[Flowable]:
    """Return a grouped list as pages of two columns.

    Parameters
    ----------
    height_mm, first_mm
        Room on a page, and what is left of the first one.
    words
        Overprint of pages that show a faulty row.
    """
    columns = [column for column in table.columns if column.key != table.group_by]
    side = (width_mm - GUTTER_MM) / 2
    widths = _widths(table, columns, side)
    waiting, room = list(_rows(table)), height_mm if first_mm is None else first_mm
    story: list[Flowable] = []
    while waiting:
        each = max(int(room / ROW_MM) - 1, 4)
        sides: list[Any] = []
        for _ in range(2):
            taken, waiting = _taken(table, waiting, each)
            sides.append(_side(table, columns, widths, taken, words) if taken else "")
        if story:
            story.append(PageBreak())
        story.append(grid([sides], [side + GUTTER_MM, side]))
        room = height_mm
    return story


def _widths(table: ListTable, columns: Sequence[Column], side_mm: float) -> list[float]:
    """Return the width of each column: narrow ones take what their longest cell needs, the others share the rest."""
    wanted = [
        2 * PAD_MM
        + max(
            width_mm_of(column.heading, LETTERING_MM, bold=True),
            *(width_mm_of(shown(row[column.key], column), LETTERING_MM) for row in table.rows),
        )
        for column in columns
    ]
    if sum(wanted) <= side_mm:
        return [width * side_mm / sum(wanted) for width in wanted]
    widths, room = dict[int, float](), side_mm
    for place in sorted(range(len(wanted)), key=lambda place: wanted[place]):
        widths[place] = min(wanted[place], room / (len(wanted) - len(widths)))
        room -= widths[place]
    return [widths[place] for place in range(len(wanted))]


def _rows(table: ListTable) -> list[Row]:
    found: list[Row] = []
    before: Cell = None
    for number, row in enumerate(table.rows):
        if table.group_by and (not found or row[table.group_by] != before):
            before = row[table.group_by]
            found.append((-1, shown(before)))
        found.append((number, row))
    return found


def _taken(table: ListTable, waiting: list[Row], most: int) -> tuple[list[Row], list[Row]]:
    """Return what stands in one column and what is left; a group's name is never the last, and is said again."""
    taken = waiting[:most]
    while len(taken) > 1 and taken[-1][0] < 0:
        taken.pop()
    rest = waiting[len(taken) :]
    if rest and rest[0][0] >= 0 and table.group_by:
        group = shown(table.rows[rest[0][0]][table.group_by])
        rest = [(-1, f"{group}, continued"), *rest]
    return taken, rest


def _side(
    table: ListTable, columns: Sequence[Column], widths: Sequence[float], rows: Sequence[Row], words: str
) -> Table:
    titles = [_fit(column.heading, wide, bold=True) for column, wide in zip(columns, widths, strict=True)]
    content: list[list[Any]] = [titles]
    rules: list[tuple[Any, ...]] = [
        ("FONT", (0, 0), (-1, -1), REGULAR, points(LETTERING_MM)),
        ("FONT", (0, 0), (-1, 0), BOLD, points(LETTERING_MM)),
        ("TEXTCOLOR", (0, 0), (-1, -1), INK), ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
        ("LEFTPADDING", (0, 0), (-1, -1), PAD_MM * POINTS_PER_MM),
        ("RIGHTPADDING", (0, 0), (-1, -1), PAD_MM * POINTS_PER_MM),
        ("TOPPADDING", (0, 0), (-1, -1), 0), ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
        ("BACKGROUND", (0, 0), (-1, 0), HEAD_FILL), ("LINEBELOW", (0, 0), (-1, 0), 0.6, GREY),
        ("LINEBELOW", (0, 1), (-1, -1), 0.3, LINE),
    ]  # fmt: skip
    rules += [("ALIGN", (at, 0), (at, -1), _SIDES[column.align]) for at, column in enumerate(columns)]
    for number, row in rows:
        at = len(content)
        if isinstance(row, str):
            content.append([_fit(row, sum(widths), bold=True), *[""] * (len(columns) - 1)])
            rules += [
                ("SPAN", (0, at), (-1, at)), ("FONT", (0, at), (-1, at), BOLD, points(LETTERING_MM + 0.2)),
                ("TEXTCOLOR", (0, at), (-1, at), LEAD), ("LINEBELOW", (0, at), (-1, at), 1.2, LEAD),
            ]  # fmt: skip
            continue
        cells: list[Any] = []
        for place, (column, wide) in enumerate(zip(columns, widths, strict=True)):
            value = row[column.key]
            cells.append(_fit(shown(value, column), wide))
            if value is None:
                rules += [("TEXTCOLOR", (place, at), (place, at), ALARM), ("FONT", (place, at), (place, at), BOLD)]
        if number in table.faulty:
            rules.append(("BACKGROUND", (0, at), (-1, at), FAULT_FILL))
            cells[0] = [Faulty(words), _plain(str(cells[0]))]
        content.append(cells)
    made = Table(
        content, colWidths=[wide * POINTS_PER_MM for wide in widths], rowHeights=[ROW_MM * POINTS_PER_MM] * len(content)
    )
    made.setStyle(rules)
    return made


_SIDES = {"left": "LEFT", "right": "RIGHT", "centre": "CENTER"}


def _fit(words: str, wide_mm: float, *, bold: bool = False) -> str:
    return words if words == UNKNOWN else fitted(words, LETTERING_MM, wide_mm - 2 * PAD_MM, bold=bold)


def _plain(words: str) -> Flowable:
    return text(words, LETTERING_MM, colour=colours.INK)
