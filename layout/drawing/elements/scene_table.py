"""Small tables inside a scene, columns as wide as their measured text.

Tables that flow over pages are the PDF library's own business (``layout.handover``).
"""

from __future__ import annotations

from layout.drawing.elements import colours, pens
from layout.drawing.elements.metrics import fitted_text, width_mm
from layout.drawing.elements.scene import Align, FillPath, Item, Text, box_path, line
from layout.geometry.path import Box, Point
from layout.light_dataclass import dataclass

ROW_PER_CAP = 2.2
"""Height of a row, as a share of the capital height."""

PAD_PER_CAP = 0.7
"""Room left and right of a cell's text, likewise."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SceneColumn:
    """A column: its heading, how its cells align, and the most room it may take (0: no limit)."""

    title: str
    align: Align = "left"
    most_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SceneTable:
    """Heading, columns and rows of text."""

    columns: tuple[SceneColumn, ...]
    rows: tuple[tuple[str, ...], ...]
    heading: str = ""
    height_mm: float = 2.5

    def __post_init__(self) -> None:
        for row in self.rows:
            if len(row) != len(self.columns):
                raise ValueError(f"a row has {len(row)} cells for {len(self.columns)} columns: {row}")

    @property
    def row_mm(self) -> float:
        """Height of one row."""
        return self.height_mm * ROW_PER_CAP

    @property
    def head_mm(self) -> float:
        """Height of the heading and the row of column titles."""
        return self.row_mm * (2 if self.heading else 1)

    def column_widths_mm(self) -> list[float]:
        """Return each column's width, its padding included."""
        widths = []
        for index, column in enumerate(self.columns):
            cells = [width_mm(row[index], self.height_mm) for row in self.rows]
            widest = max([width_mm(column.title, self.height_mm, bold=True), *cells])
            if column.most_mm:
                widest = min(widest, column.most_mm)
            widths.append(widest + 2 * PAD_PER_CAP * self.height_mm)
        return widths

    def size_mm(self, rows: int | None = None) -> tuple[float, float]:
        """Return width and height with ``rows`` rows (all of them unless given)."""
        count = len(self.rows) if rows is None else rows
        heading = width_mm(self.heading, self.height_mm, bold=True) if self.heading else 0.0
        return max(sum(self.column_widths_mm()), heading), self.head_mm + count * self.row_mm


def table_items(table: SceneTable, top_left: Point, *, first: int = 0, count: int | None = None) -> tuple[Item, ...]:
    """Return rows ``first`` to ``first + count`` of a table that hangs from ``top_left``."""
    rows = table.rows[first:] if count is None else table.rows[first : first + count]
    widths = table.column_widths_mm()
    left, y = top_left
    right = left + sum(widths)
    items: list[Item] = []
    if table.heading:
        items.append(Text((left, y - table.row_mm / 2), table.heading, table.height_mm, "left", "middle", bold=True))
        y -= table.row_mm
    items.append(FillPath(box_path(Box(left, y - table.row_mm, right, y)), colours.TINT))
    titles = tuple(column.title for column in table.columns)
    for number, row in enumerate([titles, *rows]):
        if number and number % 2 == 0:
            items.append(FillPath(box_path(Box(left, y - table.row_mm, right, y)), colours.TINT))
        x = left
        for column, wide, content in zip(table.columns, widths, row, strict=True):
            if content:
                items.append(_cell(table, content, (x, x + wide), y, column.align, bold=number == 0))
            x += wide
        y -= table.row_mm
        if number == 0:
            items.append(line((left, y), (right, y), pens.RULE_PEN))
    items.append(line((left, y), (right, y), pens.RULE_PEN))
    items.append(
        line(
            (left, top_left[1] - table.head_mm + table.row_mm),
            (right, top_left[1] - table.head_mm + table.row_mm),
            pens.RULE_PEN,
        )
    )
    return tuple(items)


def table_columns(table: SceneTable, room: Box, *, first: int = 0, gap_mm: float = 6.0) -> tuple[tuple[Item, ...], int]:
    """Fill ``room`` with a table, side by side when it is long, from its upper left corner.

    Returns
    -------
    The items, and the number of the first row that found no room (the count of rows when all did).
    """
    wide = table.size_mm()[0]
    a_side = int((room.height - table.head_mm) / table.row_mm + 1e-9)
    items: list[Item] = []
    x = room.x0
    while first < len(table.rows) and a_side > 0 and x + wide <= room.x1 + 1e-6:
        items.extend(table_items(table, (x, room.y1), first=first, count=a_side))
        first = min(first + a_side, len(table.rows))
        x += wide + gap_mm
    return tuple(items), first


def _cell(
    table: SceneTable, content: str, across: tuple[float, float], top: float, align: Align, *, bold: bool
) -> Text:
    inset = PAD_PER_CAP * table.height_mm
    left, right = across[0] + inset, across[1] - inset
    text = fitted_text(content, table.height_mm, right - left + 1e-6, bold=bold)
    x = {"left": left, "centre": (left + right) / 2, "right": right}[align]
    return Text((x, top - table.row_mm / 2), text, table.height_mm, align, "middle", bold=bold)
