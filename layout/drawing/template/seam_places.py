"""Where the crosses, letters and words of a seam stand: off every line of the template if there is room.

Both sheets of a seam show the same places, so they are chosen once, in panel coordinates.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.elements.clip import clip_path
from layout.drawing.elements.label_placing import Crossings
from layout.drawing.elements.metrics import width_mm
from layout.drawing.panel.panel_view import strokes
from layout.geometry.path import Box
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from layout.drawing.template.template_content import Content
    from layout.drawing.template.tile_grid import Grid, Seam
    from layout.geometry.path import Point

CROSS_MM = 5.0
"""Length of a cross's arm."""

LETTER_MM = 3.5
WORDS_MM = 1.8
_STEP_MM = 2.0
"""Distance between the places that are tried."""

FIRM = frozenset({"outline", "cut", "unsure", "helper", "centre", "register"})
"""Layers a cross keeps off, even where it has to stand on other lines."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SeamPlaces:
    """Points on a seam's line, in panel mm: two crosses, and the middle of its words where they have room."""

    crosses: tuple[Point, Point]
    words: Point | None = None


def seam_places(shown: Content, grid: Grid) -> dict[str, SeamPlaces]:
    """Return the places of every seam by its letter."""
    return {seam.letter: _places(shown, seam, grid.page.overlap_mm) for seam in grid.seams}


def seam_words(seam: Seam) -> tuple[str, str]:
    """Return what a seam says on the upper sheet, which is cut, and on the one below."""
    return f"cut here, lay over {seam.under.name}", f"{seam.over.name} comes over this"


def _places(shown: Content, seam: Seam, overlap_mm: float) -> SeamPlaces:
    (xa, ya), (xb, yb) = seam.start, seam.end
    length = (xb - xa) + (yb - ya)
    near = Box(xa, ya, xb, yb).grown(20.0)
    pieces = [(mark.layer, piece) for mark in shown.marks for piece in clip_path(mark.path, near, mark.box)]
    all_lines = Crossings([stroke for _, piece in pieces for stroke in strokes(piece)])
    firm = Crossings([stroke for layer, piece in pieces if layer in FIRM for stroke in strokes(piece)])

    def point(along: float) -> Point:
        return (xa, ya + along) if seam.upright else (xa + along, ya)

    def cross_box(along: float) -> Box:
        return _box(point(along), CROSS_MM + 1.0, CROSS_MM + 2 * LETTER_MM, upright=seam.upright)

    def free(along: float) -> bool:
        return not all_lines.count(cross_box(along))

    def off_firm(along: float) -> bool:
        return not firm.count(cross_box(along))

    def ring_off_firm(along: float) -> bool:
        return not firm.count(_box(point(along), 3.0, 3.0, upright=seam.upright))

    chances = [free, off_firm, ring_off_firm]
    low, high = (
        _nearest(length, share, (from_share, to_share), chances)
        for share, from_share, to_share in ((0.25, 0.04, 0.46), (0.75, 0.54, 0.96))
    )
    half = max(width_mm(words, WORDS_MM) for words in seam_words(seam)) / 2 + 1.0
    reach = overlap_mm / 2

    def words_fit(along: float) -> bool:
        apart = min(abs(along - low), abs(along - high)) > half + CROSS_MM
        return apart and not all_lines.count(_box(point(along), half, reach, upright=seam.upright))

    words = None
    if reach >= 3.0 and length > 2 * half:
        middle = _first(length, 0.5, (half / length, 1 - half / length), words_fit)
        words = None if middle is None else point(middle)
    return SeamPlaces(crosses=(point(low), point(high)), words=words)


def _nearest(
    length: float, share: float, within: tuple[float, float], chances: Sequence[Callable[[float], bool]]
) -> float:
    """Return the place nearest to a share of the length that the first possible of the chances allows."""
    for is_good in chances:
        found = _first(length, share, within, is_good)
        if found is not None:
            return found
    return length * share


def _first(length: float, share: float, within: tuple[float, float], is_good: Callable[[float], bool]) -> float | None:
    wanted, low, high = length * share, length * within[0], length * within[1]
    steps = int((high - low) / _STEP_MM) + 1
    for step in range(steps + 1):
        for along in (wanted + step * _STEP_MM, wanted - step * _STEP_MM):
            if low <= along <= high and is_good(along):
                return along
    return None


def _box(at: Point, along_mm: float, across_mm: float, *, upright: bool) -> Box:
    wide, tall = (across_mm, along_mm) if upright else (along_mm, across_mm)
    return Box(at[0] - wide, at[1] - tall, at[0] + wide, at[1] + tall)
