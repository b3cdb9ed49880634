"""A distribution panel's printed legend, at full size: strips to cut out and slide beside the breakers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.elements import colours, pens
from layout.drawing.elements.metrics import ASCENT_PER_CAP, DESCENT_PER_CAP, fitted_text, width_mm, wrapped
from layout.drawing.elements.scene import Item, Scene, Text, line, rect
from layout.geometry.path import Box
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.geometry.path import Point

HEIGHTS_MM = (3.0, 2.5, 2.2, 1.8)
"""Lettering tried from the largest."""
MODULE_MM = 18.0
"""Width of one modular device (DIN 43880), where the project gives no pitch."""
_HEAD_MM = 3.4


@dataclass(frozen=True, slots=True, kw_only=True)
class LegendCell:
    """One way: its mark, what it feeds (empty prints as a blank field), the rating, and how many pitches wide."""

    mark: str
    text: str
    rating: str = ""
    pitches: int = 1


def legend_strips(
    cells: Sequence[LegendCell],
    *,
    pitch_mm: float = MODULE_MM,
    height_mm: float = 14.0,
    room_mm: float = 180.0,
    title: str = "",
) -> Scene:
    """Return the legend in strips of as many cells as fit into ``room_mm``, to be printed at full size.

    Parameters
    ----------
    pitch_mm
        Distance of two ways on the panel, which is the width of a cell.
    height_mm
        Height of a strip.

    Raises
    ------
    ValueError
        There is no cell, or a cell is wider than the room.
    """
    a_strip = int((room_mm + 1e-6) // pitch_mm)
    if not cells or a_strip < max(cell.pitches for cell in cells):
        raise ValueError(f"{len(cells)} legend cells of {pitch_mm:g} mm do not fit into {room_mm:g} mm")
    strips: list[list[LegendCell]] = [[]]
    for cell in cells:
        if _pitches(strips[-1]) + cell.pitches > a_strip:
            strips.append([])
        strips[-1].append(cell)
    gap = 6.0
    head = 7.0 if title else 0.0
    wide = max(max(_pitches(strip) for strip in strips) * pitch_mm + 8, width_mm(title, 2.5, bold=True) + 8)
    tall = head + len(strips) * (height_mm + gap) + 4
    items: list[Item] = [Text((4, tall - 4.5), title, 2.5, bold=True)] if title else []
    top = tall - head - 4
    tall_mm = height_mm - _HEAD_MM - 0.8
    fitting = (_fit(cell.text, cell.pitches * pitch_mm - 2.0, tall_mm)[0] for cell in cells if cell.text)
    lettering = min(fitting, default=HEIGHTS_MM[0])
    for strip in strips:
        items += _strip(strip, (4.0, top), (pitch_mm, height_mm), lettering)
        top -= height_mm + gap
    return Scene(width_mm=wide, height_mm=tall, items=tuple(items), title=title)


def _pitches(strip: Sequence[LegendCell]) -> int:
    return sum(cell.pitches for cell in strip)


def _strip(strip: Sequence[LegendCell], corner: Point, size: tuple[float, float], lettering_mm: float) -> list[Item]:
    (left, top), (pitch_mm, height_mm) = corner, size
    items: list[Item] = []
    right = left + _pitches(strip) * pitch_mm
    x0 = left
    for cell in strip:
        box = Box(x0, top - height_mm, x0 + cell.pitches * pitch_mm, top)
        x0 = box.x1
        items += [rect(box, pens.HAIR), *_cell(cell, box, lettering_mm)]
    # Trim marks outside the corners, so that the knife has something to follow.
    for x in (left, right):
        items += [line((x, top + 0.5), (x, top + 2.5), pens.RULE_PEN)]
        items += [line((x, top - height_mm - 0.5), (x, top - height_mm - 2.5), pens.RULE_PEN)]
    return items


def _cell(cell: LegendCell, box: Box, lettering_mm: float) -> list[Item]:
    head = _HEAD_MM
    items: list[Item] = [Text((box.x0 + 1.0, box.y1 - 1.0), cell.mark, 1.8, "left", "top", bold=True)]
    if cell.rating:
        items.append(Text((box.x1 - 1.0, box.y1 - 1.0), cell.rating, 1.8, "right", "top", colour=colours.GREY))
    if not cell.text:
        return items
    room, tall = box.width - 2.0, box.height - head - 0.8
    height, lines = _fit(cell.text, room, tall, largest_mm=lettering_mm)
    pitch = 1.45 * height
    block = pitch * (len(lines) - 1) + height
    base = box.y0 + 0.4 + (tall + block) / 2 - height
    items += [Text((box.centre[0], base - row * pitch), content, height, "centre") for row, content in enumerate(lines)]
    return items


def _fit(text: str, room_mm: float, tall_mm: float, *, largest_mm: float = HEIGHTS_MM[0]) -> tuple[float, list[str]]:
    """Return the largest lettering at which the text fits, and its lines; at the smallest the rest is cut off."""
    for height in (size for size in HEIGHTS_MM if size <= largest_mm):
        lines = wrapped(text, height, room_mm)
        most = int((tall_mm - 0.6 - height * (ASCENT_PER_CAP + DESCENT_PER_CAP)) / (1.45 * height)) + 1
        if len(lines) <= most and all(width_mm(content, height) <= room_mm for content in lines):
            return height, lines
    height = HEIGHTS_MM[-1]
    most = max(1, int((tall_mm - height * (ASCENT_PER_CAP + DESCENT_PER_CAP)) / (1.45 * height)) + 1)
    lines = wrapped(text, height, room_mm)
    kept = [*lines[: most - 1], " ".join(lines[most - 1 :])] if len(lines) > most else lines
    return height, [fitted_text(content, height, room_mm) for content in kept]
