"""Sheets of warning labels at full size: large words on red-framed labels, to be cut out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.elements import colours, pens
from layout.drawing.elements.metrics import fitted_text, width_mm, wrapped
from layout.drawing.elements.scene import Item, Scene, Text, rect
from layout.drawing.paper.drawing_sheets import sheet
from layout.geometry.path import Box

if TYPE_CHECKING:
    from collections.abc import Sequence

WIDE_MM, TALL_MM, _GAP_MM, _MARGIN_MM = 85.0, 18.0, 4.0, 14.0
LARGE_MM = 5.0
"""Height of the large words; longer ones are set as small as they must be."""
_FRAME = pens.coloured(pens.WARNING, colours.ALARM, width_mm=0.7)


def warning_sheets(labels: Sequence[tuple[str, str]], *, paper: str, foot: Sequence[str] = ()) -> tuple[Scene, ...]:
    """Return sheets of warning labels, two beside each other.

    Parameters
    ----------
    labels
        Large words, and the line below them.
    foot
        What stands at the foot of each sheet.
    """
    of = sheet(paper)
    down = int((of.height_mm - 2 * _MARGIN_MM - 16.0) // (TALL_MM + _GAP_MM))
    pages = [labels[first : first + 2 * down] for first in range(0, len(labels), 2 * down)]
    scenes = []
    for number, page in enumerate(pages, start=1):
        name = f"Warning labels, sheet {number} of {len(pages)}: print without scaling"
        items: list[Item] = [Text((_MARGIN_MM, of.height_mm - _MARGIN_MM), name, 2.5)]
        for index, (large, small) in enumerate(page):
            x = _MARGIN_MM + (index % 2) * (WIDE_MM + _GAP_MM)
            y = of.height_mm - _MARGIN_MM - 8.0 - (index // 2) * (TALL_MM + _GAP_MM)
            box = Box(x, y - TALL_MM, x + WIDE_MM, y)
            items += [rect(box, _FRAME), *_words(large, small, box)]
        items += [
            Text((_MARGIN_MM, _MARGIN_MM - 3.0 * row), fitted_text(words, 1.8, of.width_mm - 2 * _MARGIN_MM), 1.8)
            for row, words in enumerate(foot)
        ]
        scenes.append(
            Scene(width_mm=of.width_mm, height_mm=of.height_mm, items=tuple(items), title=name, section="Labels")
        )
    return tuple(scenes)


def _words(large: str, small: str, box: Box) -> list[Item]:
    """Return what stands on a label, whole: a warning that is cut off warns of nothing. Long words are set smaller."""
    room = WIDE_MM - 6.0
    size = min(LARGE_MM, LARGE_MM * room / width_mm(large, LARGE_MM, bold=True))
    for height, most in ((2.2, 2), (1.8, 3)):
        lines = wrapped(small, height, room)
        if len(lines) <= most:
            break
    if len(lines) > most:
        lines = [*lines[: most - 1], fitted_text(" ".join(lines[most - 1 :]), height, room)]
    pitch = 1.4 * height
    below = box.y1 - 14.5 + (len(lines) - 1) * pitch / 2
    up = box.y1 - 9.0 + (len(lines) - 1) * 0.9
    texts: list[Item] = [Text((box.centre[0], up), large, size, "centre", bold=True, colour=colours.ALARM)]
    texts += [Text((box.centre[0], below - row * pitch), line, height, "centre") for row, line in enumerate(lines)]
    return texts
