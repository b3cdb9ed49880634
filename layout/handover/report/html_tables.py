"""Lists as HTML: the columns and texts of the books and files, in rows that sort and filter on the page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.handover.lists.table import shown
from layout.handover.report.markup import Markup, element, joined_markup

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.handover.lists.table import Cell, Column, Table
    from layout.handover.report.subjects import Subjects

MOST_ON_PAPER = 16
"""A list of more columns is left out when the page is printed, and says so there."""

TOO_WIDE = "This list is wider than paper; the books have it in a form to be printed."


def html_table(table: Table, subjects: Subjects, *, ids: Mapping[int, str] | None = None) -> Markup:
    """Return a list in a frame that scrolls by itself; columns without any text are left out.

    Parameters
    ----------
    ids
        Id on the page of some rows, by their place in the table.
    """
    columns = [column for column in table.columns if any(_text(row, column) for row in table.rows)]
    head = [_heading(column) for column in columns]
    body = [
        element(
            "tr",
            *(_cell(row, column, subjects) for column in columns),
            class_="bad" if at in table.faulty else None,
            id=(ids or {}).get(at),
        )
        for at, row in enumerate(table.rows)
    ]
    made = element(
        "table",
        element("caption", table.title),
        element("thead", element("tr", *head)),
        element("tbody", *body),
        class_="list",
    )
    wide = len(columns) > MOST_ON_PAPER
    frame = element(
        "div", made, class_="scroll wide" if wide else "scroll", tabindex="0", role="region", aria_label=table.title
    )
    said = [element("p", TOO_WIDE, class_="on-paper")] if wide else []
    return joined_markup([frame, *said, *(element("p", note, class_="foot") for note in table.notes)])


def _heading(column: Column) -> Markup:
    unit = [Markup(" "), element("small", column.unit)] if column.unit else []
    return element(
        "th", column.title, *unit, scope="col", class_=_side(column), style=f"min-width:{column.width_mm / 7:.3g}rem"
    )


def _cell(row: Mapping[str, Cell], column: Column, subjects: Subjects) -> Markup:
    text = _text(row, column)
    value = row[column.key]
    inner = value if isinstance(value, Markup) else subjects.wire_links(text) or text
    return element("td", inner, class_=_side(column))


def _text(row: Mapping[str, Cell], column: Column) -> str:
    return shown(row[column.key], column)


def _side(column: Column) -> str | None:
    return {"right": "right", "centre": "centre"}.get(column.align)
