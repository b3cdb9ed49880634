"""Arrangements side by side on one sheet: panels small and to one scale, value, proof, score by wish, differences."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.contact.contact_panels import PanelRow, Small, key_lines, panel_rows, panels_small
from layout.drawing.contact.contact_scores import (
    TOTAL_MM,
    Scale,
    bars_height_mm,
    difference_size_mm,
    difference_table,
    scale_of,
    total_bar,
    wish_bars,
)
from layout.drawing.elements import colours, pens
from layout.drawing.elements.metrics import fitted_text, width_mm, wrapped
from layout.drawing.elements.scene import Group, Item, Scene, Text, rect
from layout.drawing.paper.drawing_sheets import (
    Sheet,
    SheetTitle,
    drawing_sheets,
    drawing_space,
    framed,
    title_block_box,
)
from layout.geometry.path import Box
from layout.light_dataclass import dataclass
from layout.placing.diversity import names_of
from layout.placing.tidiness_measure import tidiness_of, tidiness_words
from layout.placing.words import proof_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project

ON_SMALL = 2
"""So many arrangements go on the small sheet (A4, Letter), more of them on the next larger one."""

MOST_ON_SHEET = 8
A_SHEET = 6
"""Beyond ``MOST_ON_SHEET`` arrangements, each sheet takes so many."""

LEAST_BESIDE_MM = 100.0
"""Less room than this left of the title block, and the foot stands above it."""

PITCH_MM = 3.4
PROOF_PITCH_MM = 3.4
_BELOW_MM = 6.0
"""Kept free below the words: the sheet's centring mark reaches in there."""

_HEAD_MM = 13.0
_PAD_MM = 3.0
_GAP_MM = 4.0
_HOW_TO_READ = (
    "Lower is better. The broad bar is the value, made up of its wishes; its upright mark is what is proven: no"
    " arrangement can be shorter. Each wish's slim bar has one scale for all, the longest is the worst of them; the"
    " best is in bold. Blue faces stand elsewhere than in 1 by more than half their size."
)
NOT_FOR_CUTTING = "To compare and to choose, not for cutting."


@dataclass(frozen=True, slots=True, kw_only=True)
class _Grid:
    """How one sheet is shared out: its cells, the height of its foot, and the scale of all panels."""

    sheet: Sheet
    cells: tuple[Box, ...]
    foot_mm: float
    row: PanelRow
    scale: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """What is compared: all arrangements of the sheets, and what they share."""

    project: Project
    arrangements: tuple[Arrangement, ...]
    names: tuple[str, ...]
    differences: tuple[tuple[float, ...], ...]
    lines: tuple[str, ...]
    shared: Scale


def contact_sheet(
    project: Project,
    arrangements: Sequence[Arrangement],
    *,
    differences: Sequence[Sequence[float]] = (),
    lines: Sequence[str] = (),
    series: str = "iso",
) -> tuple[Scene, ...]:
    """Return the sheets on which arrangements are compared.

    Parameters
    ----------
    arrangements
        Numbered from 1 in the order given; that is the number by which one is chosen.
    differences
        ``differences[i][j]``: share, by size, of the things that stand elsewhere, 0 to 1; empty shows no table.
    lines
        More to say, how many arrangements are known for instance.
    series
        ``iso`` or ``ansi`` sheets.

    Raises
    ------
    ValueError
        There is no arrangement.
    """
    if not arrangements:
        raise ValueError("a contact sheet needs at least one arrangement")
    count = len(arrangements)
    small, large, *_ = drawing_sheets(series)
    sheet = small.turned() if count <= ON_SMALL else large
    a_sheet = count if count <= MOST_ON_SHEET else A_SHEET
    compared = Compared(
        project=project,
        arrangements=tuple(arrangements),
        names=names_of(project, arrangements),
        differences=tuple(tuple(row) for row in differences),
        lines=tuple(lines),
        shared=scale_of(arrangements, [wish.name or wish.wish for wish in project.wishes.wanted]),
    )
    # How many words stand at the foot follows from the names that fit on faces, and these from the scale.
    grid = _grid(sheet, compared, a_sheet, ())
    grid = _grid(sheet, compared, a_sheet, _numbered(compared, grid))
    sheets = -(-count // a_sheet)
    return tuple(_sheet(compared, grid, page, sheets) for page in range(sheets))


def _sheet(compared: Compared, grid: _Grid, page: int, sheets: int) -> Scene:
    sheet, first = grid.sheet, page * len(grid.cells)
    items: list[Item] = []
    short: dict[str, None] = {}
    shown = compared.arrangements[first : first + len(grid.cells)]
    for number, cell in zip(range(first, first + len(shown)), grid.cells, strict=False):
        made, by_number = _cell(compared, grid, cell, number)
        items.append(made)
        short |= dict.fromkeys(by_number)
    items += _foot(compared, grid, short, with_table=page == 0 and bool(compared.differences))
    return Scene(
        width_mm=sheet.width_mm,
        height_mm=sheet.height_mm,
        items=(*framed(sheet, _block(compared.project, page + 1, sheets, grid.scale)), *items),
        title=f"Alternatives {first + 1} to {first + len(shown)}",
        section="Alternatives",
    )


def _numbered(compared: Compared, grid: _Grid) -> tuple[str, ...]:
    """Return the devices that some arrangement shows by their number only."""
    picture = _picture(grid.cells[0], compared.shared)
    assert picture is not None  # the grid was chosen so
    small = Small(row=grid.row, room=picture, scale=grid.scale)
    found = [key for one in compared.arrangements for key in panels_small(compared.project, one, small)[1]]
    return tuple(dict.fromkeys(found))


def _foot_mm(sheet: Sheet, compared: Compared, short: Sequence[str]) -> float:
    """Return the height kept free at the foot of the sheet: title block, differences, words."""
    space, block = drawing_space(sheet), title_block_box(sheet)
    table = difference_size_mm(len(compared.differences))
    room = (block.x0 if block.x0 - space.x0 > LEAST_BESIDE_MM else space.x1) - space.x0 - 2 * _GAP_MM - table[0]
    words = sum(PITCH_MM * len(part) + 1.0 for part in _said(compared, short, room)) + PITCH_MM + _BELOW_MM
    beside = block.x0 - space.x0 > LEAST_BESIDE_MM
    return (max(block.height, table[1], words) if beside else block.height + max(table[1], words)) + 2 * _GAP_MM


def _said(compared: Compared, short: Sequence[str], room_mm: float) -> list[list[str]]:
    """Return the words of the foot as paragraphs of lines."""
    said = [*compared.lines, _HOW_TO_READ]
    if short:
        said.insert(0, "By number: " + ", ".join(key_lines(compared.project, short)) + ".")
    return [wrapped(paragraph, 2.0, room_mm) for paragraph in said]


def _grid(sheet: Sheet, compared: Compared, count: int, short: Sequence[str]) -> _Grid:
    """Return the cells that show the panels largest."""
    space, foot = drawing_space(sheet), _foot_mm(sheet, compared, short)
    room = Box(space.x0 + _GAP_MM, space.y0 + foot, space.x1 - _GAP_MM, space.y1 - _GAP_MM)
    best: _Grid | None = None
    for columns in range(1, count + 1):
        cells = _cells(room, count, columns)
        picture = _picture(cells[0], compared.shared) if cells else None
        if picture is None:
            continue
        for row in panel_rows(compared.project, compared.arrangements):
            scale = row.scale(picture)
            if best is None or scale > best.scale * 1.001:
                best = _Grid(sheet=sheet, cells=cells, foot_mm=foot, row=row, scale=scale)
    assert best is not None  # on both sheets so many have room in as many columns as there are
    return best


def _cells(room: Box, count: int, columns: int) -> tuple[Box, ...]:
    """Return the cells of a grid in reading order; none where they would be too small."""
    lines = -(-count // columns)
    wide = (room.width - _GAP_MM * (columns - 1)) / columns
    tall = (room.height - _GAP_MM * (lines - 1)) / lines
    if min(wide, tall) < 10.0:
        return ()
    found = []
    for index in range(count):
        x, y = room.x0 + (index % columns) * (wide + _GAP_MM), room.y1 - (index // columns) * (tall + _GAP_MM)
        found.append(Box(x, y - tall, x + wide, y))
    return tuple(found)


def _picture(cell: Box, shared: Scale) -> Box | None:
    """Return the room for the panels in a cell: below its head, above its bars; None where too little is left."""
    low = cell.y0 + _PAD_MM + bars_height_mm(cell.width - 2 * _PAD_MM, len(shared.wishes)) + TOTAL_MM + 4.0
    high = cell.y1 - _HEAD_MM - 1.0
    if cell.width < 26.0 or high - low < 15.0:
        return None
    return Box(cell.x0 + _PAD_MM, low, cell.x1 - _PAD_MM, high)


def _cell(compared: Compared, grid: _Grid, cell: Box, index: int) -> tuple[Group, tuple[str, ...]]:
    """Return one arrangement with number, name, value, tidiness, proof, panels, bars; and devices shown by number."""
    one, shared, picture = compared.arrangements[index], compared.shared, _picture(cell, compared.shared)
    assert picture is not None  # the grid was chosen so
    beside = compared.arrangements[0] if index else None
    small = Small(row=grid.row, room=picture, scale=grid.scale)
    panels, short = panels_small(compared.project, one, small, beside=beside)
    name = f"{index + 1}"
    x = cell.x0 + _PAD_MM + width_mm(name, 7.0, bold=True) + 3.0
    room = cell.x1 - _PAD_MM - x
    usable = one.proof != "not usable"
    tidy = tidiness_words(tidiness_of(compared.project, one))
    measured = fitted_text(f"value {one.value:.0f} weighted mm; {tidy}", 2.0, room)
    value = Box(cell.x0 + _PAD_MM, picture.y0 - 1.5 - TOTAL_MM, cell.x1 - _PAD_MM, picture.y0 - 1.5)
    bars = Box(value.x0, cell.y0 + _PAD_MM, value.x1, value.y0 - 1.5)
    items: list[Item] = [
        rect(cell, pens.HAIR),
        Text((cell.x0 + _PAD_MM, cell.y1 - 10.0), name, 7.0, bold=True),
        Text((x, cell.y1 - 4.6), fitted_text(compared.names[index], 2.5, room, bold=True), 2.5, bold=True),
        *(
            Text((x, cell.y1 - 8.6 - PROOF_PITCH_MM * row), words, 2.0, colour=colours.INK if usable else colours.ALARM)
            for row, words in enumerate((measured, fitted_text(f"Proven: {proof_words(one)}", 2.0, room)))
        ),
        *panels,
        total_bar(one, shared, value),
        wish_bars(one, shared, bars),
    ]
    return Group(tuple(items), name=f"alternative {name}", layer="alternative"), short


def _foot(compared: Compared, grid: _Grid, short: dict[str, None], *, with_table: bool) -> list[Item]:
    """Return the table of differences and the words beside the title block (above it on a small sheet)."""
    space, block = drawing_space(grid.sheet), title_block_box(grid.sheet)
    beside = block.x0 - space.x0 > LEAST_BESIDE_MM
    right = block.x0 - _GAP_MM if beside else space.x1 - _GAP_MM
    x, top = space.x0 + _GAP_MM, space.y0 + grid.foot_mm - _GAP_MM
    items: list[Item] = []
    if with_table:
        table, box = difference_table(compared.differences, (x, top))
        items.append(table)
        x = box.x1
    y = top - 2.5
    items.append(Text((x, y), f"{NOT_FOR_CUTTING} All panels at 1:{1 / grid.scale:.1f}.", 2.5, bold=True,
                      colour=colours.ALARM))  # fmt: skip
    for paragraph in _said(compared, tuple(short), right - x):
        for words in paragraph:
            y -= PITCH_MM
            items.append(Text((x, y), words, 2.0))
        y -= 1.0
    return items


def _block(project: Project, number: int, count: int, scale: float) -> SheetTitle:
    head = project.project
    return SheetTitle(
        title=f"{head.name}: alternatives" if head.name else "Alternatives",
        supplementary_title="Invented data" if head.example else "",
        document_type="Contact sheet",
        number=head.number,
        owner=head.owner,
        created_by=head.drawn_by,
        approved_by=head.approved_by,
        date=head.date,
        revision=head.revision,
        scale=f"1:{1 / scale:.1f}",
        sheet=number,
        sheets=count,
    )
