"""Which sheet and scale a panel's view is drawn at, and where view and tables stand on it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.panel.panel_view import View
from layout.drawing.paper.drawing_sheets import Sheet, drawing_sheets, drawing_space, table, title_block_box
from layout.geometry.path import Box
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.drawing.elements.scene_table import SceneTable
    from layout.drawing.panel.placed_panel import PanelShapes

VIEW_GAP_MM = 4.0
TABLE_GAP_MM = 6.0
"""Between one table and the next below it."""
RUNNING_ROOM_MM = 25.0
OVERALL_ROOM_MM = 15.5
_HEADING_MM = 6.0
LEAST_SCALE = 5
"""A panel that would be drawn smaller than 1 : 5 goes on a larger sheet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetChoice:
    """A sheet with its scale.

    Attributes
    ----------
    divisor
        The scale is 1 : divisor.
    column_mm
        Width of the tables beside the view; 0 where they stand on sheets of their own.
    above_mm, beside_mm
        Room for dimensions above the view, and at the side away from the datum.
    """

    sheet: Sheet
    divisor: float
    column_mm: float
    above_mm: float = OVERALL_ROOM_MM
    beside_mm: float = OVERALL_ROOM_MM

    @property
    def scale(self) -> str:
        """The scale as it is written."""
        return f"1:{self.divisor:g}"

    @property
    def column(self) -> Box:
        """Room for tables at the right, above the title block; the whole width where they stand alone."""
        return right_column(self.sheet, self.column_mm) if self.column_mm else whole_room(self.sheet)

    @property
    def room(self) -> Box:
        """Room for the view and its dimensions."""
        return view_room(self.sheet, self.column_mm) if self.column_mm else whole_room(self.sheet)

    def view(self, shapes: PanelShapes) -> View:
        """Return the view at its scale, in the middle of its room with space for its dimensions."""
        scale, box, room = 1 / self.divisor, shapes.box, self.room
        left, right = (RUNNING_ROOM_MM, self.beside_mm) if shapes.side == "front" else (self.beside_mm, RUNNING_ROOM_MM)
        spare_x = room.width - left - right - box.width * scale
        spare_y = room.height - RUNNING_ROOM_MM - self.above_mm - _HEADING_MM - box.height * scale
        at = (
            room.x0 + left + spare_x / 2 - box.x0 * scale,
            room.y0 + RUNNING_ROOM_MM + max(spare_y, 0) / 2 - box.y0 * scale,
        )
        return View(scale=scale, at=at)


def choose_sheet(
    box: Box,
    tables: Sequence[SceneTable],
    series: str = "iso",
    *,
    above_mm: float = OVERALL_ROOM_MM,
    beside_mm: float = OVERALL_ROOM_MM,
) -> SheetChoice:
    """Return the smallest sheet from the second of its series, and the largest scale (ISO 5455) that fits on it.

    The tables stand beside the view, unless they find no room there whole and the view is larger without them.

    Raises
    ------
    ValueError
        The panel fits on no sheet of the series.
    """
    column_mm = max(one.size_mm()[0] for one in tables)
    tall = sum(one.size_mm()[1] for one in tables) + TABLE_GAP_MM * (len(tables) - 1)
    best: SheetChoice | None = None
    for sheet in drawing_sheets(series)[1:]:
        beside = _divisor(box, view_room(sheet, column_mm), above_mm, beside_mm)
        alone = _divisor(box, whole_room(sheet), above_mm, beside_mm)
        if alone is None:
            continue
        own_sheet = beside is None or (alone < beside and tall > right_column(sheet, column_mm).height)
        best = SheetChoice(
            sheet=sheet, divisor=alone if beside is None or own_sheet else beside,
            column_mm=0.0 if own_sheet else column_mm, above_mm=above_mm, beside_mm=beside_mm,
        )  # fmt: skip
        if best.divisor <= LEAST_SCALE:
            return best
    if best is None:
        raise ValueError(f"a panel of {box.width:g} x {box.height:g} mm fits on no sheet of the series {series!r}")
    return best


def _divisor(box: Box, room: Box, above_mm: float, beside_mm: float) -> float | None:
    wide = room.width - RUNNING_ROOM_MM - beside_mm
    tall = room.height - RUNNING_ROOM_MM - above_mm - _HEADING_MM
    divisors = [float(divisor) for divisor in table()["scales"]["reduce"]]
    return next((one for one in divisors if box.width / one <= wide and box.height / one <= tall), None)


def right_column(sheet: Sheet, column_mm: float) -> Box:
    """Return the room for tables at the right, above the title block."""
    room = whole_room(sheet)
    return Box(room.x1 - column_mm, room.y0, room.x1, room.y1)


def view_room(sheet: Sheet, column_mm: float) -> Box:
    """Return the room for the view, left of the tables and above the title block."""
    room = whole_room(sheet)
    return Box(room.x0, room.y0, room.x1 - column_mm - VIEW_GAP_MM, room.y1)


def whole_room(sheet: Sheet) -> Box:
    """Return all the room above the title block."""
    space = drawing_space(sheet)
    return Box(
        space.x0 + VIEW_GAP_MM, title_block_box(sheet).y1 + VIEW_GAP_MM, space.x1 - VIEW_GAP_MM, space.y1 - VIEW_GAP_MM
    )
