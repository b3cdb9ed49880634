"""Sheets of wire labels for printing at full size: number, where the other end goes, colour and size."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.drawing.elements import pens
from layout.drawing.elements.metrics import fitted_text, width_mm, wrapped
from layout.drawing.elements.scene import Item, Scene, Text, line, rect
from layout.drawing.paper.drawing_sheets import sheet
from layout.geometry.path import Box
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence


_LARGEST_MM = 2.8
ONE_LINE_MM = 4.4
"""A label with less height than this inside has one line."""

_SMALLEST_MM = 1.4
"""Smallest lettering a label printer still makes legible (common practice, no single source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelSize:
    """A label to print on.

    Attributes
    ----------
    width_mm, height_mm
        Of one label; of a wrap-round label, of the white part that is written on.
    tail_mm
        Clear part below it that is wound over the writing; 0 for a flat label or a sleeve.
    gap_mm
        Between labels, both ways.
    """

    name: str
    width_mm: float
    height_mm: float
    tail_mm: float = 0.0
    gap_mm: float = 2.0

    def __post_init__(self) -> None:
        if not (self.width_mm >= 10 and self.height_mm >= 4 and self.tail_mm >= 0 and self.gap_mm >= 0):
            raise ValueError(f"a label is at least 10 x 4 mm, got {self.width_mm:g} x {self.height_mm:g} mm")


AROUND = 3.2
"""A turn round a wire, in outer diameters: pi and a little slack."""
TAILS_MM = (25.0, 40.0, 60.0)
"""Clear parts that wrap-round labels are often sold with (common practice, no single source)."""

SIZES = (
    LabelSize(name="wrap-round 25 x 12 mm, 25 mm clear", width_mm=25, height_mm=12, tail_mm=25),
    LabelSize(name="flat 38 x 9 mm", width_mm=38, height_mm=9),
    LabelSize(name="sleeve 50 x 6 mm", width_mm=50, height_mm=6),
    LabelSize(name="flag 60 x 12 mm, folded at the wire", width_mm=60, height_mm=12),
)
"""Sizes that are often sold; any other is made by its measures."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WireLabel:
    """What one label says: wire number, the far end, and colour with size."""

    number: str
    to: str
    detail: str = ""
    od_mm: float | None = None
    """Outer diameter of what it is wound round; None is not known."""


TOP_ROOM_MM, FOOT_ROOM_MM, _HEADING_MM = 9.0, 13.0, 6.0
"""Room for a sheet's name, for bar and foot, and for what stands above labels of one size."""


def label_sheets(
    kinds: Sequence[tuple[LabelSize, Sequence[WireLabel]]],
    *,
    paper: str = "A4",
    margin_mm: float = 10.0,
    title: str = "",
    foot: Sequence[str] = (),
) -> tuple[Scene, ...]:
    """Return sheets of labels, filled row by row, with cut lines and a 100 mm bar to check the print.

    Sizes follow each other on one sheet, each under its name. Numbers of one size have one size of lettering.

    Parameters
    ----------
    kinds
        Sizes, each with its labels.
    foot
        What stands at the foot of each sheet, at most two lines.

    Raises
    ------
    ValueError
        A label does not fit on the paper, or a number with its detail does not fit on the label.
    """
    of = sheet(paper)
    top, floor = of.height_mm - margin_mm - TOP_ROOM_MM, margin_mm + FOOT_ROOM_MM
    pages: list[list[Item]] = []
    y = floor
    for size, labels in kinds:
        rows = _rows(labels, size, of.width_mm - 2 * margin_mm)
        if (labels and not rows) or size.height_mm + size.tail_mm + _HEADING_MM > top - floor:
            raise ValueError(f"a label of {size.width_mm:g} x {size.height_mm:g} mm does not fit on {paper}")
        largest = min((head_mm(label, size) for label in labels), default=_LARGEST_MM)
        left = _left(size, of.width_mm, margin_mm)
        named = False
        for row in rows:
            if y - size.height_mm - size.tail_mm - (0.0 if named else _HEADING_MM) < floor:
                pages.append([])
                y, named = top, False
            if not named:
                pages[-1].append(Text((left, y - 4.0), size.name, 2.5))
                y, named = y - _HEADING_MM, True
            for at, label in enumerate(row):
                x = left + at * (size.width_mm + size.gap_mm)
                pages[-1] += _label(label, Box(x, y - size.height_mm, x + size.width_mm, y), size, largest)
            y -= size.height_mm + size.tail_mm + size.gap_mm
    scenes = []
    for number, drawn in enumerate(pages, start=1):
        name = f"{title or 'Wire labels'}, sheet {number} of {len(pages)}"
        items: list[Item] = [Text((margin_mm, of.height_mm - margin_mm - 3.5), name, 2.5, bold=True), *drawn]
        items += _bar(margin_mm, margin_mm + 4.0)
        items += [
            Text((margin_mm, margin_mm - 1.0 - 3.0 * row), fitted_text(words, 1.8, of.width_mm - 2 * margin_mm), 1.8)
            for row, words in enumerate(foot[:2])
        ]
        scenes.append(
            Scene(width_mm=of.width_mm, height_mm=of.height_mm, items=tuple(items), title=name, section="Labels")
        )
    return tuple(scenes)


def _across(size: LabelSize, room_mm: float) -> int:
    return int((room_mm + size.gap_mm) // (size.width_mm + size.gap_mm))


def _rows(labels: Sequence[WireLabel], size: LabelSize, room_mm: float) -> list[Sequence[WireLabel]]:
    """Return the labels by rows; none where not one fits across."""
    across = _across(size, room_mm)
    return [labels[first : first + across] for first in range(0, len(labels), across)] if across else []


def _left(size: LabelSize, width_mm: float, margin_mm: float) -> float:
    across = _across(size, width_mm - 2 * margin_mm)
    return (width_mm - across * (size.width_mm + size.gap_mm) + size.gap_mm) / 2


def wrapped_size(od_mm: float | None) -> LabelSize:
    """Return the wrap-round label for a wire: its clear part goes once round it, above the writing."""
    need = AROUND * (od_mm or 0.0)
    tail = next((tail for tail in TAILS_MM if tail >= need), max(TAILS_MM[-1], round(need + 0.5)))
    up_to = tail / AROUND
    name = f"wrap-round 25 x 12 mm, {tail:g} mm clear, for wires up to {up_to:.1f} mm"
    return LabelSize(name=name, width_mm=25, height_mm=12, tail_mm=tail)


def head_mm(label: WireLabel, size: LabelSize) -> float:
    """Return the largest lettering at which a label's number and detail fit on it.

    Raises
    ------
    ValueError
        If they do not fit at all.
    """
    room = Box(1.0, 0.6, size.width_mm - 1.0, size.height_mm - 0.6)
    if room.height < ONE_LINE_MM:
        return _head_heights(label, room.width, min(2.5, room.height / 1.5))[0]
    largest = min(_LARGEST_MM, room.height / (3.6 if room.height > 8 else 2.6))
    beside = _heights(label.number, label.detail, room.width, largest)
    return (beside or _head_heights(replace(label, detail=""), room.width, largest))[0]


def label_fits(label: WireLabel, size: LabelSize) -> bool:
    """Tell whether number and detail of a label stand on it uncut; a long destination may be shortened."""
    try:
        _label(label, Box(0, 0, size.width_mm, size.height_mm), size, _LARGEST_MM)
    except ValueError:
        return False
    return True


def _label(label: WireLabel, box: Box, size: LabelSize, largest_mm: float) -> list[Item]:
    items: list[Item] = [rect(box, pens.HAIR)]
    if size.tail_mm:
        tail = Box(box.x0, box.y0 - size.tail_mm, box.x1, box.y0)
        items.append(rect(tail, pens.TRIM))
    inner = Box(box.x0 + 1.0, box.y0 + 0.6, box.x1 - 1.0, box.y1 - 0.6)
    write = _one_line if inner.height < ONE_LINE_MM else _lines
    return [*items, *write(label, inner, largest_mm)]


def _one_line(label: WireLabel, room: Box, largest_mm: float) -> list[Item]:
    """Return number, detail and destination beside each other, for a sleeve."""
    height, small = _head_heights(label, room.width, min(2.5, room.height / 1.5, largest_mm))
    y = room.centre[1]
    detail_x = room.x0 + width_mm(label.number, height, bold=True) + height
    to_x = detail_x + width_mm(label.detail, small) + height
    items: list[Item] = [
        Text((room.x0, y), label.number, height, "left", "middle", bold=True),
        Text((detail_x, y), label.detail, small, "left", "middle"),
    ]
    if label.to and room.x1 - to_x > 2 * height:
        items.append(Text((to_x, y), fitted_text(f"→ {label.to}", small, room.x1 - to_x), small, "left", "middle"))
    return items


def _lines(label: WireLabel, room: Box, largest_mm: float) -> list[Item]:
    """Return the number with the detail beside it, and the destination below on one or two lines.

    Where the detail finds no room beside the number it goes below as well, before the destination.
    """
    largest = min(largest_mm, room.height / (3.6 if room.height > 8 else 2.6))
    beside = _heights(label.number, label.detail, room.width, largest)
    height, small = beside or _head_heights(replace(label, detail=""), room.width, largest)
    top = room.y1 - 0.2
    items: list[Item] = [Text((room.x0, top), label.number, height, "left", "top", bold=True)]
    to = f"→ {label.to}" if label.to else ""
    if beside:
        items.append(Text((room.x1, top), label.detail, small, "right", "top"))
    else:
        _head_heights(WireLabel(number="", to="", detail=label.detail), room.width, largest)
        to = f"{label.detail} {to}"
    return [*items, *_below(to, room, top - 1.4 * height, height)] if to else items


def _below(words: str, room: Box, top: float, height: float) -> list[Item]:
    """Return words under the number, on as many lines as fit, in the largest lettering that takes them all."""
    size, kept = _SMALLEST_MM, [fitted_text(words, _SMALLEST_MM, room.width)]
    for tried in (2.5, 2.2, 2.0, 1.8, 1.6, _SMALLEST_MM):
        split = wrapped(words, tried, room.width)
        wide = max(width_mm(part, tried) for part in split)
        fits = wide <= room.width and tried * (1.35 + 1.5 * (len(split) - 1)) <= top - room.y0 + 0.3
        if fits and tried <= max(1.1 * height, _SMALLEST_MM):
            size, kept = tried, split
            break
    return [Text((room.x0, top - row * 1.5 * size), part, size, "left", "top") for row, part in enumerate(kept)]


def _head_heights(label: WireLabel, room_mm: float, largest_mm: float) -> tuple[float, float]:
    """Return the lettering of number and detail; neither is ever cut off."""
    found = _heights(label.number, label.detail, room_mm, largest_mm)
    if found is None:
        words = f"{label.number} {label.detail}".strip()
        raise ValueError(f"'{words}' does not fit on a label {room_mm + 2:g} mm wide; take a wider one")
    return found


def _heights(number: str, detail: str, room_mm: float, largest_mm: float) -> tuple[float, float] | None:
    height = largest_mm
    while height >= _SMALLEST_MM:
        small = max(0.75 * height, _SMALLEST_MM)
        wide = width_mm(number, height, bold=True) + (height if detail else 0) + width_mm(detail, small)
        if wide <= room_mm:
            return height, small
        height -= 0.1
    return None


def _bar(left: float, margin_mm: float) -> list[Item]:
    y = margin_mm
    return [
        line((left, y), (left + 100, y), pens.RULE_PEN),
        line((left, y - 1.5), (left, y + 1.5), pens.RULE_PEN),
        line((left + 100, y - 1.5), (left + 100, y + 1.5), pens.RULE_PEN),
        Text((left + 102, y), "100 mm: print without scaling", 2.5, "left", "middle"),
    ]
