"""Drawing sheets: sizes, frame with grid references, title block and cautions."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from itertools import pairwise
from math import floor
from typing import TYPE_CHECKING, Any

from layout.drawing.elements import colours, pens
from layout.drawing.elements.metrics import fitted_text, wrapped
from layout.drawing.elements.numerals import DRAWING_UNITS
from layout.drawing.elements.scene import Group, Item, Text, line, rect
from layout.geometry.path import Box, Point
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.drawing.elements.numerals import Units

GRID_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
"""Row letters; I and O are left out (ISO 5457)."""


@cache
def table() -> dict[str, Any]:
    """Return the table of sheets as shipped."""
    from layout.shipped import shipped_yaml

    text = files("layout.drawing.data").joinpath("sheets.yaml").read_text("utf-8")
    loaded: dict[str, Any] = shipped_yaml(text)
    return loaded


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A sheet of paper as it lies: size in mm."""

    name: str
    width_mm: float
    height_mm: float

    @property
    def box(self) -> Box:
        """The whole sheet."""
        return Box(0.0, 0.0, self.width_mm, self.height_mm)

    def turned(self) -> Sheet:
        """Return the sheet the other way up."""
        return Sheet(name=self.name, width_mm=self.height_mm, height_mm=self.width_mm)


def sheet(name: str, *, landscape: bool = False) -> Sheet:
    """Return a standard sheet, upright or lengthways.

    Raises
    ------
    ValueError
        No sheet has that name.
    """
    sizes = table()["sizes"]
    if name not in sizes:
        raise ValueError(f"no sheet is called {name!r}; there are {', '.join(sizes)}")
    found = Sheet(name=name, width_mm=float(sizes[name]["width"]), height_mm=float(sizes[name]["height"]))
    return found.turned() if landscape else found


def drawing_sheets(series: str = "iso") -> list[Sheet]:
    """Return the sheets of a series small to large: the smallest upright, the others lengthways (ISO 5457)."""
    names = table()["series"][series]
    return [sheet(name, landscape=index > 0) for index, name in enumerate(names)]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetTitle:
    """The fields of ISO 7200, with scale and units.

    An empty field prints a dash: nothing is made up. ``date`` comes from the revision or the project
    file, never from the clock.
    """

    title: str
    document_type: str
    number: str = ""
    owner: str = ""
    supplementary_title: str = ""
    created_by: str = ""
    approved_by: str = ""
    department: str = ""
    technical_reference: str = ""
    date: str = ""
    revision: str = ""
    language: str = "en"
    scale: str = "1:1"
    sheet: int = 1
    sheets: int = 1
    units: Units = "mm"


def drawing_space(of: Sheet) -> Box:
    """Return the room inside the frame."""
    frame = table()["frame"]
    left, other = float(frame["margin_left"]), float(frame["margin_other"])
    return Box(left, other, of.width_mm - other, of.height_mm - other)


def title_block_box(of: Sheet) -> Box:
    """Return the title block's place: lower right in the frame."""
    space, block = drawing_space(of), table()["title_block"]
    width = min(float(block["width"]), space.width)
    return Box(space.x1 - width, space.y0, space.x1, space.y0 + float(block["height"]))


def framed(of: Sheet, block: SheetTitle) -> tuple[Item, ...]:
    """Return frame, centring marks, grid references and title block of a sheet."""
    items = [*frame_items(of), *title_block_items(title_block_box(of), block)]
    return (Group(tuple(items), name="frame", layer="frame"),)


def frame_items(of: Sheet) -> list[Item]:
    """Return the frame with its centring marks and grid references."""
    rules = table()["frame"]
    space = drawing_space(of)
    middle_x, middle_y = of.width_mm / 2, of.height_mm / 2
    beyond = float(rules["centring_mark_beyond"])
    items: list[Item] = [rect(space, pens.FRAME)]
    for outer, inner in (
        ((middle_x, 0.0), (middle_x, space.y0 + beyond)),
        ((middle_x, of.height_mm), (middle_x, space.y1 - beyond)),
        ((0.0, middle_y), (space.x0 + beyond, middle_y)),
        ((of.width_mm, middle_y), (space.x1 - beyond, middle_y)),
    ):
        items.append(line(outer, inner, pens.FRAME))
    field_mm, height = float(rules["grid_field"]), float(rules["grid_letter_height"])
    outside = Box(space.x0 - 5, space.y0 - 5, space.x1 + 5, space.y1 + 5)
    items.append(rect(outside, pens.HAIR))
    columns = _fields(space.x0, space.x1, middle_x, field_mm)
    for index, (low, high) in enumerate(columns):
        for y0, y1 in ((outside.y0, space.y0), (space.y1, outside.y1)):
            if index:
                items.append(line((low, y0), (low, y1), pens.HAIR))
            items.append(Text(((low + high) / 2, (y0 + y1) / 2), str(index + 1), height, "centre", "middle"))
    rows = _fields(space.y0, space.y1, middle_y, field_mm)[::-1]
    for index, (low, high) in enumerate(rows):
        for x0, x1 in ((outside.x0, space.x0), (space.x1, outside.x1)):
            if index:
                items.append(line((x0, high), (x1, high), pens.HAIR))
            items.append(Text(((x0 + x1) / 2, (low + high) / 2), grid_letter(index), height, "centre", "middle"))
    return items


def grid_letter(index: int) -> str:
    """Return the letter of a grid row, from 0; behind Z the letters are doubled: AA, BB (ISO 5457, from memory)."""
    times, at = divmod(index, len(GRID_LETTERS))
    return GRID_LETTERS[at] * (times + 1)


def _fields(low: float, high: float, middle: float, field_mm: float) -> list[tuple[float, float]]:
    """Return the grid fields between two edges, counted from the centre so that they meet there."""
    before = floor((middle - low) / field_mm + 0.5) or 1
    after = floor((high - middle) / field_mm + 0.5) or 1
    inner = [middle + step * field_mm for step in range(-before + 1, after)]
    edges = [low, *inner, high]
    return list(pairwise(edges))


def title_block_items(box: Box, block: SheetTitle) -> list[Item]:
    """Return the title block filled in, within ``box`` (180 x 36 mm at best)."""
    x0, x1 = box.x0, box.x1
    unit = box.width / 180
    a, b = x0 + 45 * unit, x0 + 132 * unit
    y0, y1, y2, y3, y4 = (box.y0 + step for step in (0.0, 9.0, 18.0, 27.0, 36.0))
    mid = (b + x1) / 2
    items: list[Item] = [rect(box, pens.FRAME)]
    quarter = box.width / 4
    cells = [
        (Box(x0, y3, x0 + quarter, y4), "Department", block.department),
        (Box(x0 + quarter, y3, x0 + 2 * quarter, y4), "Technical reference", block.technical_reference),
        (Box(x0 + 2 * quarter, y3, x0 + 3 * quarter, y4), "Created by", block.created_by),
        (Box(x0 + 3 * quarter, y3, x1, y4), "Approved by", block.approved_by),
        (Box(x0, y0, a, y1), "Units", DRAWING_UNITS[block.units]),
        (Box(a, y2, b, y3), "Document type", block.document_type),
        (Box(b, y2, x1, y3), "Identification number", block.number),
        (Box(b, y1, b + 12 * unit, y2), "Rev.", block.revision),
        (Box(b + 12 * unit, y1, x1 - 11 * unit, y2), "Date of issue", block.date),
        (Box(x1 - 11 * unit, y1, x1, y2), "Lang.", block.language),
        (Box(b, y0, mid, y1), "Scale", block.scale),
        (Box(mid, y0, x1, y1), "Sheet", f"{block.sheet} / {block.sheets}"),
    ]
    for cell, label, value in cells:
        items += [rect(cell, pens.RULE_PEN), *_field(cell, label, value)]
    owner = Box(x0, y1, a, y3)
    title = Box(a, y0, b, y2)
    items += [rect(owner, pens.RULE_PEN), *_lines(owner, "Legal owner", block.owner, 2.5, 3)]
    items += [rect(title, pens.RULE_PEN), *_title(title, block)]
    return items


def _label(cell: Box, label: str) -> Text:
    return Text((cell.x0 + 1.0, cell.y1 - 0.8), label, 1.8, "left", "top", colour=colours.GREY)


def _field(cell: Box, label: str, value: str) -> list[Item]:
    room = cell.width - 2.4
    return [_label(cell, label), Text((cell.x0 + 1.2, cell.y0 + 1.5), fitted_text(value or "–", 2.5, room), 2.5)]


def _lines(cell: Box, label: str, value: str, height_mm: float, most: int) -> list[Item]:
    lines = wrapped(value or "–", height_mm, cell.width - 2.4)
    if len(lines) > most:
        lines = [*lines[: most - 1], " ".join(lines[most - 1 :])]
    first = cell.y1 - 4.3 - height_mm
    texts: list[Item] = [
        Text(
            (cell.x0 + 1.2, first - row * height_mm * 1.7), fitted_text(content, height_mm, cell.width - 2.4), height_mm
        )
        for row, content in enumerate(lines)
    ]
    return [_label(cell, label), *texts]


def _title(cell: Box, block: SheetTitle) -> list[Item]:
    room = cell.width - 2.4
    height = 3.5
    lines = wrapped(block.title, height, room, bold=True)
    items: list[Item] = [_label(cell, "Title")]
    if len(lines) == 1:
        items.append(Text((cell.x0 + 1.2, cell.y0 + 8.2), lines[0], height, bold=True))
        low = 2.4
    else:
        height = 2.5
        lines = wrapped(block.title, height, room, bold=True)
        lines = [lines[0], fitted_text(" ".join(lines[1:]), height, room, bold=True)] if len(lines) > 1 else lines
        items += [
            Text((cell.x0 + 1.2, cell.y0 + 11.2 - row * 4.4), content, height, bold=True)
            for row, content in enumerate(lines)
        ]
        low = 1.8
    if block.supplementary_title:
        items.append(Text((cell.x0 + 1.2, cell.y0 + low), fitted_text(block.supplementary_title, 2.5, room), 2.5))
    return items


def cautions_items(
    lines: Sequence[str], top_left: Point, width_mm: float, *, height_mm: float = 2.5, heading: str = "Cautions"
) -> tuple[tuple[Item, ...], float]:
    """Return the cautions, numbered and wrapped, hanging from ``top_left``, and the height they take."""
    x, y = top_left
    pitch = height_mm * 1.7
    items: list[Item] = [
        Text((x + 2.0, y - 2.0), heading, height_mm * 1.2, "left", "top", bold=True, colour=colours.ALARM)
    ]
    base = y - 2.0 - height_mm * 1.2 - pitch * 1.1
    for number, caution in enumerate(lines, start=1):
        wrapped_lines = wrapped(caution, height_mm, width_mm - 4.0 - 2.4 * height_mm)
        items.append(Text((x + 2.0, base), f"{number}", height_mm, bold=True, colour=colours.ALARM))
        for content in wrapped_lines:
            items.append(Text((x + 2.0 + 2.4 * height_mm, base), content, height_mm))
            base -= pitch
    height = y - base - pitch + 2.0 + height_mm * 0.4
    items.insert(0, rect(Box(x, y - height, x + width_mm, y), pens.WARNING))
    return tuple(items), height


CAUTIONS = (
    "Isolate every supply, batteries and shore power included, before drilling or cutting.",
    "Work on AC is for a licensed person. Local codes win over this document.",
    "Compare each device with its maker's own template before cutting.",
    "Measure the 100 mm bars with a steel rule, both ways: paper lies.",
)
"""What stands on every drawing and template that someone could act on."""
