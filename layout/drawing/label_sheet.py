"""Sheets of wire labels for printing at full size: number, where the other end goes, colour and size."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from layout.drawing import pens
from layout.drawing.metrics import fitted, width_mm
from layout.drawing.scene import Item, Scene, Text, line, rect
from layout.drawing.sheets import sheet
from layout.geometry.path import Box

if TYPE_CHECKING:
    from collections.abc import Sequence


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


def label_sheets(
    labels: Sequence[WireLabel], size: LabelSize, *, paper: str = "A4", margin_mm: float = 10.0, title: str = ""
) -> tuple[Scene, ...]:
    """Return sheets of labels, filled row by row, with cut lines and a 100 mm bar to check the print.

    Raises
    ------
    ValueError
        A label does not fit on the paper.
    """
    of = sheet(paper)
    top_room, foot_room = 9.0, 9.0
    pitch_x = size.width_mm + size.gap_mm
    pitch_y = size.height_mm + size.tail_mm + size.gap_mm
    across = int((of.width_mm - 2 * margin_mm + size.gap_mm) // pitch_x)
    down = int((of.height_mm - 2 * margin_mm - top_room - foot_room + size.gap_mm) // pitch_y)
    if across < 1 or down < 1:
        raise ValueError(f"a label of {size.width_mm:g} x {size.height_mm:g} mm does not fit on {paper}")
    a_sheet = across * down
    pages = [labels[first : first + a_sheet] for first in range(0, len(labels), a_sheet)]
    left = (of.width_mm - across * pitch_x + size.gap_mm) / 2
    top = of.height_mm - margin_mm - top_room
    scenes = []
    for number, page in enumerate(pages, start=1):
        name = f"{title or 'Wire labels'}, {size.name}, sheet {number} of {len(pages)}"
        items: list[Item] = [Text((left, of.height_mm - margin_mm - 3.5), name, 2.5)]
        for index, label in enumerate(page):
            x = left + (index % across) * pitch_x
            y = top - (index // across) * pitch_y
            items += _label(label, Box(x, y - size.height_mm, x + size.width_mm, y), size)
        items += _bar(left, margin_mm)
        scenes.append(
            Scene(width_mm=of.width_mm, height_mm=of.height_mm, items=tuple(items), title=name, section="Labels")
        )
    return tuple(scenes)


def _label(label: WireLabel, box: Box, size: LabelSize) -> list[Item]:
    items: list[Item] = [rect(box, pens.HAIR)]
    if size.tail_mm:
        tail = Box(box.x0, box.y0 - size.tail_mm, box.x1, box.y0)
        items.append(rect(tail, pens.TRIM))
    room = box.width - 2.0
    lines = [(label.number, True), *((text, False) for text in (f"→ {label.to}", label.detail) if text.strip("→ ")))]
    height = min(3.0, (box.height - 1.2) / (1.55 * len(lines)))
    if height < 1.3:
        joined = "  ".join(text for text, _ in lines)
        height = min(2.5, (box.height - 1.6) / 1.5)
        return [*items, Text((box.x0 + 1, box.centre[1]), fitted(joined, height, room), height, "left", "middle", bold=True)]
    pitch = (box.height - 1.0) / len(lines)
    for row, (text, bold) in enumerate(lines):
        tall = height
        while tall > 1.3 and width_mm(text, tall, bold=bold) > room:
            tall -= 0.1
        y = box.y1 - 0.5 - pitch * (row + 0.5)
        items.append(Text((box.x0 + 1, y), fitted(text, tall, room, bold=bold), tall, "left", "middle", bold=bold))
    return items


def _bar(left: float, margin_mm: float) -> list[Item]:
    y = margin_mm
    return [
        line((left, y), (left + 100, y), pens.RULE),
        line((left, y - 1.5), (left, y + 1.5), pens.RULE),
        line((left + 100, y - 1.5), (left + 100, y + 1.5), pens.RULE),
        Text((left + 102, y), "100 mm: print without scaling", 2.5, "left", "middle"),
    ]
