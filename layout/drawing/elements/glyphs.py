"""Letters as closed paths, for engraving and for hollow overprints."""

from __future__ import annotations

from functools import cache
from math import ceil, sqrt
from typing import TYPE_CHECKING

from layout.drawing.elements.metrics import CAP_HEIGHT_PER_EM, advances, font, width_mm
from layout.drawing.elements.scene import Align, polyline_path, scaled_path
from layout.drawing.fonts.cut import SMALL_FONTS

if TYPE_CHECKING:
    from layout.geometry.path import Path, Point

TOLERANCE_PER_CAP = 0.004
"""Curves are chains of straight pieces that leave them by at most this share of the capital height."""


def text_outlines(
    text: str,
    height_mm: float,
    *,
    at: Point = (0.0, 0.0),
    align: Align = "left",
    turn_deg: float = 0.0,
    bold: bool = False,
    mirrored: bool = False,
) -> tuple[Path, ...]:
    """Return the outlines of one line of text, standing on ``at`` at half the capital height.

    Raises
    ------
    ValueError
        A character is not in the font.
    """
    wide = width_mm(text, height_mm, bold=bold)
    x = {"left": 0.0, "centre": -wide / 2, "right": -wide}[align]
    scale = height_mm / CAP_HEIGHT_PER_EM
    paths = []
    for character in text:
        for ring in glyph(character, bold=bold):
            path = scaled_path(ring, scale).moved(x, -height_mm / 2)
            paths.append((path.mirrored_x() if mirrored else path).turned(turn_deg).moved(*at))
        x += advances(bold=bold, small=character in SMALL_FONTS)[ord(character)] * scale
    return tuple(paths)


@cache
def glyph(character: str, *, bold: bool = False) -> tuple[Path, ...]:
    """Return the outlines of one letter at a font size of 1 mm, standing on the base line."""
    from fontTools.pens.recordingPen import DecomposingRecordingPen  # kept out of start-up

    reader = font(bold=bold)
    glyphs = reader.getGlyphSet()
    pen = DecomposingRecordingPen(glyphs)
    glyphs[reader.getBestCmap()[ord(character)]].draw(pen)
    unit = 1.0 / reader["head"].unitsPerEm
    rings: list[list[Point]] = []
    for verb, points in pen.value:
        here = [(x * unit, y * unit) for x, y in points if (x, y) != (None, None)] if points else []
        if verb == "moveTo":
            rings.append(here)
        elif verb == "lineTo":
            rings[-1] += here
        elif verb == "qCurveTo":
            rings[-1] += _quadratics(rings[-1][-1], here)
    return tuple(polyline_path(kept, closed=True) for ring in rings if len(kept := _without_repeats(ring)) > 2)


def _quadratics(start: Point, points: list[Point]) -> list[Point]:
    """Return a chain along TrueType's run of quadratic pieces; on-curve points between controls are implied."""
    chain: list[Point] = []
    controls, last = points[:-1], points[-1]
    for index, control in enumerate(controls):
        if index + 1 < len(controls):
            following = controls[index + 1]
            end = ((control[0] + following[0]) / 2, (control[1] + following[1]) / 2)
        else:
            end = last
        # A quadratic leaves its chord by at most a quarter of its second difference.
        bend = sqrt((start[0] - 2 * control[0] + end[0]) ** 2 + (start[1] - 2 * control[1] + end[1]) ** 2) / 4
        steps = max(1, ceil(sqrt(bend / (TOLERANCE_PER_CAP * CAP_HEIGHT_PER_EM))))
        for step in range(1, steps + 1):
            t = step / steps
            a, b, c = (1 - t) ** 2, 2 * t * (1 - t), t * t
            chain.append((a * start[0] + b * control[0] + c * end[0], a * start[1] + b * control[1] + c * end[1]))
        start = end
    return chain


def _without_repeats(ring: list[Point]) -> list[Point]:
    kept: list[Point] = []
    for point in ring:
        if not kept or point != kept[-1]:
            kept.append(point)
    if len(kept) > 1 and kept[0] == kept[-1]:
        kept.pop()
    return kept
