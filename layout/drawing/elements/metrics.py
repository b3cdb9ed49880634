"""Text measured once, on the font that is shipped and embedded.

The font is DejaVu Sans Condensed (``fonts/``). Heights are heights of capital letters, as ISO 3098
states them; kerning is never applied, so that every writer gets the same width.
"""

from __future__ import annotations

from functools import cache, lru_cache
from io import BytesIO
from math import cos, radians, sin
from typing import TYPE_CHECKING

from layout.drawing.fonts.cut import SMALL_FONTS, font_bytes, small_advances
from layout.geometry.path import Box, Point
from layout.languages import Said, in_language

if TYPE_CHECKING:
    from fontTools.ttLib import TTFont

    from layout.drawing.elements.scene import Text

FAMILY = "Spile Sans"
"""Name under which the shipped font is embedded."""

CAP_HEIGHT_PER_EM = 1493 / 2048
"""Capital height of the shipped font (its letter H), as a share of the font size."""

DESCENT_PER_CAP = 0.33
"""How far letters reach below the base line, as a share of the capital height."""

ASCENT_PER_CAP = 1.06
"""How far lower-case ascenders and brackets reach above the base line, likewise."""

ISO_3098_HEIGHTS_MM = (1.8, 2.5, 3.5, 5.0, 7.0, 10.0, 14.0, 20.0)
"""Lettering heights of ISO 3098-1 (read)."""


@cache
def font(*, bold: bool = False) -> TTFont:
    """Return the shipped font as read by fontTools (shared: do not change it)."""
    from fontTools.ttLib import TTFont as Reader  # kept out of start-up

    return Reader(BytesIO(font_bytes(bold=bold)), lazy=True)


@cache
def advances(*, bold: bool = False, small: bool = False) -> dict[int, float]:
    """Return the advance width of every character the font has, as a share of the font size."""
    if small:
        return small_advances(bold=bold)
    reader = font(bold=bold)
    widths = reader["hmtx"].metrics
    per_em = reader["head"].unitsPerEm
    return {code: widths[name][0] / per_em for code, name in reader.getBestCmap().items()}


def font_size_mm(height_mm: float) -> float:
    """Return the font size (em) that gives capitals of ``height_mm``."""
    return height_mm / CAP_HEIGHT_PER_EM


def width_mm(text: str, height_mm: float, *, bold: bool = False) -> float:
    """Return the advance width of one line of text in mm, as it is said in the language that is spoken.

    Raises
    ------
    ValueError
        A character is not in the font: :func:`missing` finds these at the place they come from.
    """
    return _advance(in_language(text), bold) * font_size_mm(height_mm)


@lru_cache(maxsize=50_000)  # a build measures each word some four times
def _advance(text: str, bold: bool) -> float:
    """Return the advance width of one line of text as a share of the font size."""
    try:
        total = sum(map(advances(bold=bold, small=True).__getitem__, map(ord, text)))
    except KeyError:
        if lacking := missing_letters(text):
            raise ValueError(f"the font lacks {lacking!r}, in {text!r}") from None
        total = sum(map(advances(bold=bold).__getitem__, map(ord, text)))
    return total


def missing_letters(text: str) -> str:
    """Return the characters of ``text`` that the font lacks, each once, in order of appearance."""
    more = dict.fromkeys(character for character in text if character not in SMALL_FONTS)
    if not more:
        return ""
    regular, strong = advances(), advances(bold=True)
    return "".join(character for character in more if ord(character) not in regular or ord(character) not in strong)


def fitted_text(text: str, height_mm: float, room_mm: float, *, bold: bool = False) -> str:
    """Return ``text``, or its beginning with an ellipsis, so that it fits into ``room_mm``."""
    text = in_language(text)
    if width_mm(text, height_mm, bold=bold) <= room_mm:
        return text
    short = text
    while short and width_mm(Said(short + "…"), height_mm, bold=bold) > room_mm:
        short = short[:-1].rstrip()
    return Said(short + "…")


def wrapped(text: str, height_mm: float, room_mm: float, *, bold: bool = False) -> list[str]:
    """Return ``text`` broken between words into lines no wider than ``room_mm``.

    A single word wider than the room keeps a line to itself.
    """
    lines: list[str] = []
    for paragraph in in_language(text).split("\n"):
        current = Said()
        for word in map(Said, paragraph.split()):
            longer = Said(f"{current} {word}") if current else word
            if current and width_mm(longer, height_mm, bold=bold) > room_mm:
                lines.append(current)
                current = word
            else:
                current = longer
        lines.append(current)
    return lines


def text_corners(text: Text) -> tuple[Point, Point, Point, Point]:
    """Return the corners of the text's box, with ascenders and descenders, turned into place."""
    wide = width_mm(text.content, text.height_mm, bold=text.bold)
    left = {"left": 0.0, "centre": -wide / 2, "right": -wide}[text.align]
    base = base_offset_mm(text)
    low = base - DESCENT_PER_CAP * text.height_mm
    high = base + ASCENT_PER_CAP * text.height_mm
    c, s = cos(radians(text.turn_deg)), sin(radians(text.turn_deg))

    def place(x: float, y: float) -> Point:
        return (text.at[0] + x * c - y * s, text.at[1] + x * s + y * c)

    return (
        place(left, low), place(left + wide, low), place(left + wide, high), place(left, high),
    )  # fmt: skip


def base_offset_mm(text: Text) -> float:
    """Return the distance of the base line above the anchor, before turning."""
    return {"base": 0.0, "middle": -text.height_mm / 2, "top": -text.height_mm}[text.level]


def text_box(text: Text) -> Box:
    """Return the upright box around the text."""
    corners = text_corners(text)
    xs = [x for x, _ in corners]
    ys = [y for _, y in corners]
    return Box(min(xs), min(ys), max(xs), max(ys))
