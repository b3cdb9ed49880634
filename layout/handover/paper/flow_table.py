"""A table value as a table that flows over pages: repeated headings, groups, faulty rows marked."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from reportlab.platypus import LongTable, Spacer

from layout.drawing.elements import colours
from layout.drawing.writers.pdf import POINTS_PER_MM, REGULAR
from layout.handover.lists.table import UNKNOWN, shown
from layout.handover.paper.column_widths import fitting_widths
from layout.handover.paper.page_frame import Faulty
from layout.handover.paper.styles import (
    FAULT_FILL,
    HEAD_FILL,
    LINE,
    PAPER_GREY,
    PAPER_LEAD,
    text,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Container, Mapping, Sequence

    from reportlab.platypus import Flowable

    from layout.handover.lists.table import Cell, Column, Table

PAD_MM = 1.4
"""Room beside the text of a cell."""
WRITING_MM = 1.3
"""Room below the text of rows in which something is to be written."""


def flow_table(
    table: Table,
    width_mm: float,
    *,
    lettering_mm: float = 1.8,
    draw: Mapping[str, Callable[[Mapping[str, Cell]], Flowable]] | None = None,
    words: str = "NOT FOR WIRING",
    group_names: Mapping[str, str] | None = None,
    widths_mm: Sequence[float] | None = None,
    headed: bool = True,
) -> list[Flowable]:
    """Return the table as flowables, with its notes below.

    Parameters
    ----------
    width_mm
        Room; column widths are shared out in proportion.
    draw
        By column key: makes a cell's content where text is not enough.
    words
        Overprint of pages that show a faulty row; empty only tints the row.
    group_names
        Heading of each group, by the group's value.
    widths_mm
        Of its columns; without it they fit the texts.
    headed
        Whether it has its row of headings; without, tables of one form stand below one such row.
    """
    columns = [column for column in table.columns if column.key != table.group_by]
    if widths_mm is None:
        widths_mm = widths_of(columns, table.rows, width_mm, lettering_mm=lettering_mm, draw=draw or {})
    widths = [wide * POINTS_PER_MM for wide in widths_mm]
    content: list[list[Any]] = [[_heading(column, lettering_mm) for column in columns]] if headed else []
    below = -1 - len(table.notes)
    rules: list[tuple[Any, ...]] = base_rules(headed=headed, below=below)
    for number, row in enumerate(table.rows):
        before = table.rows[number - 1] if number else None
        if table.group_by and (before is None or before[table.group_by] != row[table.group_by]):
            value = shown(row[table.group_by])
            name = (group_names or {}).get(value, value)
            at = len(content)
            content.append([text(name, lettering_mm + 0.3, bold=True, colour=colours.LEAD), *[""] * (len(widths) - 1)])
            rules += [
                *group_rules(at), ("NOSPLIT", (0, at), (0, at + 1)),
            ]  # fmt: skip
        at = len(content)
        content.append(_cells(columns, row, lettering_mm, draw or {}))
        if number in table.faulty:
            if words:
                content[-1][0] = [Faulty(words), content[-1][0]]
            rules.append(("BACKGROUND", (0, at), (-1, at), FAULT_FILL))
    if not table.rows:
        return notes(table.notes)
    rules += [
        ("BOX", (at, 1), (at, below), 0.3, PAPER_GREY) for at, column in enumerate(columns) if column.blank
    ]  # fmt: skip
    if any(column.blank for column in columns):
        rules.append(("BOTTOMPADDING", (0, 1), (-1, below), WRITING_MM * POINTS_PER_MM))
    last = len(content) - 1
    for at, line in enumerate(table.notes, start=len(content)):  # rows too, so that they never stand on a page alone
        content.append([text(line, lettering_mm, colour=colours.BODY), *[""] * (len(widths) - 1)])
        rules += [("SPAN", (0, at), (-1, at)), ("LEFTPADDING", (0, at), (0, at), 0),
                  ("TOPPADDING", (0, at), (-1, at), 1.2 if at > last + 1 else 1.5 * POINTS_PER_MM),
                  ("BOTTOMPADDING", (0, at), (-1, at), 0)]  # fmt: skip
    if table.notes:
        rules.append(("NOSPLIT", (0, last), (0, len(content) - 1)))
    flow = LongTable(content, colWidths=widths, repeatRows=int(headed), hAlign="LEFT")
    flow.setStyle(rules)
    return [flow]


def notes(lines: Sequence[str], lettering_mm: float = 1.8) -> list[Flowable]:
    """Return footnotes below a table."""
    if not lines:
        return []
    return [Spacer(0, 1.5 * POINTS_PER_MM), *(text(line, lettering_mm, colour=colours.BODY) for line in lines)]


def headings_row(columns: Sequence[Column], widths_mm: Sequence[float], lettering_mm: float = 1.8) -> Flowable:
    """Return the row of headings alone."""
    row = LongTable(
        [[_heading(column, lettering_mm) for column in columns]],
        colWidths=[wide * POINTS_PER_MM for wide in widths_mm], hAlign="LEFT",
    )  # fmt: skip
    row.setStyle(base_rules())
    return row


def widths_of(
    columns: Sequence[Column], rows: Sequence[Mapping[str, Cell]], width_mm: float, *, lettering_mm: float = 1.8,
    draw: Container[str] = (),
) -> list[float]:  # fmt: skip
    """Return column widths in mm that fit the texts; what is drawn or written into keeps its share, or more."""
    unit = width_mm / sum(column.width_mm for column in columns)
    fixed = {at: one.width_mm * unit for at, one in enumerate(columns) if one.blank or one.key in draw}
    head = [((one.title, lettering_mm, True), (one.unit, lettering_mm, False)) for one in columns]
    body = [[((shown(row[one.key], one), lettering_mm, False),) for one in columns] for row in rows]
    return fitting_widths([head, *body], width_mm, pad_mm=2 * PAD_MM, fixed=fixed)


def _heading(column: Column, lettering_mm: float) -> Any:
    words = [text(column.title, lettering_mm, bold=True, align=column.align)]
    if column.unit:
        words.append(text(column.unit, lettering_mm, align=column.align, colour=_hex(PAPER_GREY)))
    return words


def _cells(
    columns: Sequence[Column],
    row: Mapping[str, Cell],
    lettering_mm: float,
    draw: Mapping[str, Callable[[Mapping[str, Cell]], Flowable]],
) -> list[Any]:
    found: list[Any] = []
    for column in columns:
        value = row[column.key]
        if column.key in draw:
            found.append(draw[column.key](row))
        elif value is None:
            found.append(text(UNKNOWN, lettering_mm, bold=True, align=column.align, colour=colours.ALARM))
        else:
            found.append(text(shown(value, column), lettering_mm, align=column.align))
    return found


def group_rules(at: int) -> list[tuple[Any, ...]]:
    """Return the look of a row that names a group: set off by a rule and its weight, not by a band."""
    return [
        ("SPAN", (0, at), (-1, at)), ("TOPPADDING", (0, at), (-1, at), 0.8 * POINTS_PER_MM),
        ("LINEBELOW", (0, at), (-1, at), 1.2, PAPER_LEAD),
    ]  # fmt: skip


def base_rules(*, headed: bool = True, below: int = -1) -> list[tuple[Any, ...]]:
    """Return the look that all tables share; ``below`` is the last row that has a line."""
    pad = PAD_MM * POINTS_PER_MM
    head: list[tuple[Any, ...]] = [
        ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
        ("BACKGROUND", (0, 0), (-1, 0), HEAD_FILL),
        ("LINEBELOW", (0, 0), (-1, 0), 0.6, PAPER_GREY),
    ]
    return [
        ("FONT", (0, 0), (-1, -1), REGULAR),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        *(head if headed else []),
        ("LINEBELOW", (0, int(headed)), (-1, below), 0.3, LINE),
        ("LEFTPADDING", (0, 0), (-1, -1), pad),
        ("RIGHTPADDING", (0, 0), (-1, -1), pad),
        ("TOPPADDING", (0, 0), (-1, -1), 0.3 * POINTS_PER_MM),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 0.5 * POINTS_PER_MM),
    ]


def _hex(colour: Any) -> str:
    return f"#{colour.hexval()[2:]}"
