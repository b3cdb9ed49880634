"""Text and tables that run down a page and on to the next, for the template's first pages."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.elements.metrics import wrapped
from layout.drawing.elements.scene import Item, Text
from layout.drawing.elements.scene_table import SceneTable, table_items
from layout.light_dataclass import dataclass, field

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.geometry.path import Box


_LEAST_ROWS = 4
"""A table is not continued for fewer rows than this: some go along."""


@dataclass(slots=True)
class Flow:
    """Fills a room from the top; what does not fit goes on the next page."""

    room: Box
    pages: list[list[Item]] = field(default_factory=lambda: [[]])
    y: float = 0.0

    def __post_init__(self) -> None:
        self.y = self.room.y1

    def gap(self, height_mm: float) -> None:
        """Leave room, unless at the top of a page."""
        if self.y < self.room.y1:
            self.y -= height_mm

    def need(self, height_mm: float) -> None:
        """Go on to the next page if less than this is left."""
        if self.y - height_mm < self.room.y0 and self.y < self.room.y1:
            self.pages.append([])
            self.y = self.room.y1

    def text(
        self, content: str, *, height_mm: float = 2.5, bold: bool = False, indent_mm: float = 0.0, lead: str = ""
    ) -> None:
        """Add a paragraph; ``lead`` stands before its first line, within the indent."""
        pitch = 1.7 * height_mm
        lines = wrapped(content, height_mm, self.room.width - indent_mm, bold=bold)
        self.need(pitch * min(len(lines), 3))
        for row, words in enumerate(lines):
            self.need(pitch)
            base = self.y - height_mm * 1.2
            if lead and row == 0:
                self.pages[-1].append(Text((self.room.x0, base), lead, height_mm, bold=True))
            if words:
                self.pages[-1].append(Text((self.room.x0 + indent_mm, base), words, height_mm, bold=bold))
            self.y -= pitch

    def heading(self, content: str) -> None:
        """Add a heading that keeps a few lines with it."""
        self.gap(4.0)
        self.need(22.0)
        self.text(content, height_mm=3.5, bold=True)
        self.y -= 1.0

    def block(self, items: Sequence[Item], height_mm: float) -> None:
        """Add items already laid out to hang from the current place; see :attr:`y`."""
        self.pages[-1].extend(items)
        self.y -= height_mm

    def table(self, table: SceneTable) -> None:
        """Add a table, continued under its column titles on every page it needs."""
        first = 0
        while first < len(table.rows):
            self.need(table.head_mm + 2 * table.row_mm)
            count = int((self.y - self.room.y0 - table.head_mm) / table.row_mm + 1e-9)
            count = max(1, min(count, len(table.rows) - first))
            if 0 < len(table.rows) - first - count < _LEAST_ROWS < count:
                count -= _LEAST_ROWS
            self.pages[-1].extend(table_items(table, (self.room.x0, self.y), first=first, count=count))
            self.y -= table.head_mm + count * table.row_mm
            first += count
