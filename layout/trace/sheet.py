"""The page with marks that is laid beside a thing before it is photographed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.elements import pens
from layout.drawing.elements.metrics import wrapped
from layout.drawing.elements.scene import FillPath, Group, Item, Scene, Text, box_path, line
from layout.drawing.paper.drawing_sheets import sheet as paper_sheet
from layout.drawing.template.print_marks import bars
from layout.geometry.path import Box
from layout.trace.marks import CELL_MM, CELLS, MARK_MM, SHEETS, is_dark, marks_of

if TYPE_CHECKING:
    from layout.geometry.path import Point
    from layout.trace.marks import PaperMark

_INSTRUCTIONS = (
    "Print at 100 %. Tape four sheets round the thing, flat, with a hand's breadth of bare ground between.",
    "Measure once with a tape, cross to cross, between two sheets far apart.",
    "Measure how far the edge stands above or below these sheets.",
    "Photograph from above, all marks in the picture, zoomed in from farther away; three pictures are better than one.",
)
TEXT_LEFT_MM, TEXT_RIGHT_MM = -92.0, 92.0


def mark_scenes(paper: str = "A4") -> tuple[Scene, ...]:
    """Return all sheets with marks on upright paper, at true nominal size.

    Raises
    ------
    ValueError
        No paper has that name, or it is smaller than the marks need.
    """
    of = paper_sheet(paper)
    if of.width_mm < 2 * (68 + MARK_MM / 2 + 5) or of.height_mm < 2 * (100 + MARK_MM / 2 + 5):
        raise ValueError(f"marks do not fit on {paper}; print them on A4 or Letter")
    middle = (of.width_mm / 2, of.height_mm / 2)
    return tuple(
        Scene(
            width_mm=of.width_mm,
            height_mm=of.height_mm,
            items=(Group(tuple(_items(number)), name=f"sheet {number}", dx_mm=middle[0], dy_mm=middle[1]),),
            title=f"Sheet with marks {number}",
            section="Sheets with marks",
        )
        for number in range(1, SHEETS + 1)
    )


def _items(number: int) -> list[Item]:
    items: list[Item] = []
    for mark in marks_of(number):
        items += _mark(mark)
    items += [
        line((-12.0, 0.0), (12.0, 0.0), pens.HAIR),
        line((0.0, -12.0), (0.0, 12.0), pens.HAIR),
        Text((TEXT_LEFT_MM, 53.0), f"{number}", 10.0, bold=True),
        Text((TEXT_LEFT_MM + 14.0, 53.0), "Sheet with marks", 5.0, bold=True),
        bars((-50.0, -66.0), upright=False),
    ]
    y = 46.0
    for words in _INSTRUCTIONS:
        for row in wrapped(words, 2.5, TEXT_RIGHT_MM - TEXT_LEFT_MM):
            items.append(Text((TEXT_LEFT_MM, y), row, 2.5))
            y -= 4.6
    items.append(Text((2.0, 2.0), "tape from this cross", 2.5))
    return items


def _mark(mark: PaperMark) -> list[Item]:
    """Return a mark: each run of dark cells is one box, so that no seam shows."""
    cells = is_dark(mark.number)
    left, top = mark.corners()[0]
    items: list[Item] = []
    for row in range(CELLS):
        column = 0
        while column < CELLS:
            end = column
            while end < CELLS and cells[row][end]:
                end += 1
            if end > column:
                items.append(FillPath(box_path(_cells_box((left, top), row, column, end))))
            column = end + 1
    return items


def _cells_box(at: Point, row: int, first: int, last: int) -> Box:
    x, y = at
    return Box(x + first * CELL_MM, y - (row + 1) * CELL_MM, x + last * CELL_MM, y - row * CELL_MM)
