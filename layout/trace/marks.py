"""The sheets with marks: which mark stands where on which sheet, mm from the sheet's middle, x right, y up."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    import cv2

    from layout.geometry.path import Point

SHEETS = 6
"""Sheets that differ; all are printed, four are usual."""
CELL_MM = 8.0
"""Side of one cell of a mark."""
CELLS = 7
"""Cells along a mark: five of its code and the black border."""
MARK_MM = CELL_MM * CELLS
MIDDLES_MM: tuple[Point, ...] = ((-68.0, 100.0), (68.0, 100.0), (68.0, -100.0), (-68.0, -100.0))
"""Middles of the four marks of every sheet, on A4 and Letter alike."""
_PAPER_HALF_MM = (110.0, 150.0)
"""Half of the largest paper, for telling what is hidden under a sheet."""


@dataclass(frozen=True, slots=True)
class PaperMark:
    """One mark: its number in the dictionary, its sheet (from 1), and its middle."""

    number: int
    sheet: int
    middle: Point

    def corners(self) -> tuple[Point, Point, Point, Point]:
        """Return upper left, upper right, lower right, lower left."""
        x, y, half = *self.middle, MARK_MM / 2
        return ((x - half, y + half), (x + half, y + half), (x + half, y - half), (x - half, y - half))


def marks_of(sheet: int) -> tuple[PaperMark, ...]:
    """Return the four marks of a sheet (1 to ``SHEETS``)."""
    return tuple(PaperMark(4 * (sheet - 1) + k, sheet, middle) for k, middle in enumerate(MIDDLES_MM))


def all_marks() -> dict[int, PaperMark]:
    """Return all marks by their number."""
    return {mark.number: mark for sheet in range(1, SHEETS + 1) for mark in marks_of(sheet)}


def is_dark(number: int) -> list[list[bool]]:
    """Return the cells of a mark row by row from the top; its code is from OpenCV's dictionary DICT_5X5_50."""
    import cv2

    drawn = cv2.aruco.generateImageMarker(dictionary(), number, CELLS)
    return [[int(value) < 128 for value in row] for row in drawn]


def dictionary() -> cv2.aruco.Dictionary:
    """Return the dictionary that the marks are from."""
    import cv2

    return cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_5X5_50)
