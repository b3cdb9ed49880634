"""Tables as a spreadsheet, one sheet each: frozen headings, filter, widths, print set-up; always the same bytes."""

from __future__ import annotations

import re
from copy import copy
from io import BytesIO
from typing import TYPE_CHECKING, Any
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from layout.drawing.elements import colours
from layout.handover.files.workbook_theme import TYPEFACE, theme
from layout.handover.lists.table import UNKNOWN
from layout.languages import in_language

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.handover.lists.table import Cell, Column, Table

_EPOCH = (1980, 1, 1, 0, 0, 0)
_STAMP = re.compile(rb"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ")
_CHARACTERS_PER_MM = 0.62
_PAPER = {"A4": 9, "A3": 8, "Letter": 1, "Legal": 5, "Tabloid": 3}
"""Paper codes of ECMA-376 part 1, 18.3.1.63."""
_POINTS = 9.0
_PROGRAM = (
    b'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
    b'<Properties xmlns="http://schemas.openxmlformats.org/officeDocument/2006/extended-properties">'
    b"<Application>spile</Application></Properties>"
)
_READ_FIRST = "read first"


def xlsx_bytes(
    tables: Sequence[Table], *, title: str, revision: str = "", paper: str = "A4", lines: Sequence[str] = ()
) -> bytes:
    """Return a workbook with one sheet a table, behind one that says what must be read first.

    Parameters
    ----------
    lines
        Cautions and what else holds for every sheet.

    Numbers stay numbers, shown with the column's decimals; what is not known is a red question mark.

    Raises
    ------
    ValueError
        There is no table.
    """
    from openpyxl import Workbook  # kept out of start-up
    from openpyxl.utils.indexed_list import IndexedList

    if not tables:
        raise ValueError("a workbook needs at least one table")
    book = Workbook()
    book.remove(book.active)
    book.properties.title = title = in_language(title)
    book.properties.subject = in_language(f"revision {revision}") if revision else ""
    book.properties.creator = "spile"
    book.loaded_theme = theme()
    # openpyxl has no public way to a workbook's default face.
    book._fonts = IndexedList((_font(),))  # noqa: SLF001
    book._named_styles["Normal"].font = _font()  # noqa: SLF001
    if lines:
        _first(book.create_sheet(_tab(in_language(_READ_FIRST), book.sheetnames)), title, revision, lines)
    for table in tables:
        _sheet(book.create_sheet(_tab(in_language(table.name), book.sheetnames)), table, paper)
    raw = BytesIO()
    book.save(raw)
    return _settled(raw.getvalue())


def _font(*, bold: bool = False, color: str | None = None, size: float = _POINTS) -> Any:
    from openpyxl.styles import Font

    return Font(name=TYPEFACE, size=size, bold=bold, color=color or _argb(colours.INK))


def _argb(colour: str) -> str:
    return f"FF{colour[1:].upper()}"


def _first(sheet: Any, title: str, revision: str, lines: Sequence[str]) -> None:
    from openpyxl.styles import Alignment

    sheet.column_dimensions["A"].width = 110.0
    told = [(title, _font(bold=True, size=14)), (f"revision {revision}" if revision else "", _font())]
    told += [(one, _font(color=_argb(colours.ALARM))) for one in lines]
    for at, (words, font) in enumerate(told, start=1):
        cell = sheet.cell(row=at, column=1, value=in_language(words) or None)
        cell.font, cell.alignment = font, Alignment(wrap_text=True, vertical="top")


def _tab(name: str, taken: Sequence[str]) -> str:
    """Return a sheet name without the characters that are not allowed, at most 31 long, not used yet."""
    plain = re.sub(r"[\[\]:*?/\\]", " ", name).strip("' ")[:31] or "table"
    number = 2
    found = plain
    while found.lower() in (other.lower() for other in taken):
        found = f"{plain[:27]} {number}"
        number += 1
    return found


def _sheet(sheet: Any, table: Table, paper: str) -> None:
    from openpyxl.styles import Alignment, Border, PatternFill, Side
    from openpyxl.utils import get_column_letter

    thin = Side(style="thin", color=_argb(colours.RULE))
    for at, column in enumerate(table.columns, start=1):
        head = sheet.cell(row=1, column=at, value=in_language(column.heading))
        head.font = _font(bold=True)
        head.fill = PatternFill("solid", fgColor=_argb(colours.HEAD_TINT))
        head.border = Border(bottom=thin)
        head.alignment = Alignment(wrap_text=True, vertical="bottom", horizontal=_side(column))
        sheet.column_dimensions[get_column_letter(at)].width = max(6.0, round(column.width_mm * _CHARACTERS_PER_MM, 1))
    placing = [Alignment(wrap_text=True, vertical="top", horizontal=_side(column)) for column in table.columns]
    plain = _font()
    marked = PatternFill("solid", fgColor=_argb(colours.FAULT_TINT))
    looks: dict[tuple[int, bool, bool, str | None], Any] = {}  # to look up each part of each cell's style is slow
    for number, row in enumerate(table.rows):
        for at, column in enumerate(table.columns, start=1):
            cell, value = sheet.cell(row=number + 2, column=at), row[column.key]
            _fill(cell, value)
            look = (at, value is None, number in table.faulty, _number_format(value, column))
            if look not in looks:
                if value is None:
                    cell.font = _font(bold=True, color=_argb(colours.ALARM))
                if look[-1] is not None:
                    cell.number_format = look[-1]
                cell.alignment = placing[at - 1]
                if value is not None:
                    cell.font = plain
                if number in table.faulty:
                    cell.fill = marked
                looks[look] = cell._style  # noqa: SLF001  # openpyxl has no public way to give a cell another's style
            cell._style = copy(looks[look])  # noqa: SLF001
    foot = len(table.rows) + 3
    for row_at, note in enumerate(table.notes, start=foot):
        cell = sheet.cell(row=row_at, column=1, value=in_language(note))
        cell.data_type, cell.font = "s", plain
    last = get_column_letter(len(table.columns))
    sheet.freeze_panes = "A2"
    if table.rows:
        sheet.auto_filter.ref = f"A1:{last}{len(table.rows) + 1}"
    sheet.print_title_rows = "1:1"
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.paperSize = _PAPER.get(paper, 9)
    sheet.page_setup.fitToWidth = 1
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    if table.title:
        sheet.oddHeader.left.text = in_language(table.title).replace("&", "&&")
    sheet.oddFooter.right.text = in_language("page &P of &N")


def _fill(cell: Any, value: Cell) -> None:
    if value is None:
        cell.value = UNKNOWN
    elif isinstance(value, bool):
        cell.value = in_language("yes" if value else "no")
    elif isinstance(value, str):
        if value:
            cell.value = in_language(value)
            cell.data_type = "s"
    else:
        cell.value = round(value, 9)


def _number_format(value: Cell, column: Column) -> str | None:
    if value is None or isinstance(value, bool | str):
        return None
    return "0" if isinstance(value, int) or not column.digits else "0." + "0" * column.digits


def _side(column: Column) -> str:
    return {"left": "left", "right": "right", "centre": "center"}[column.align]


def _settled(raw: bytes) -> bytes:
    """Return the archive with fixed times: of its entries, and of creation in the properties."""
    out = BytesIO()
    with ZipFile(BytesIO(raw)) as source, ZipFile(out, "w", ZIP_DEFLATED) as target:
        for name in source.namelist():
            content = source.read(name)
            if name == "docProps/app.xml":
                content = _PROGRAM
            elif name == "docProps/core.xml":
                content = _STAMP.sub(b"1980-01-01T00:00:00Z", content)
            entry = ZipInfo(name, _EPOCH)
            entry.compress_type = ZIP_DEFLATED
            entry.external_attr = 0o600 << 16
            target.writestr(entry, content)
    return out.getvalue()
