"""The shipped font cut down."""

from __future__ import annotations

import io
from importlib.resources import files

from fontTools.ttLib import TTFont

from layout.drawing.fonts.cut import ADVANCES, SMALL_FONTS, advances_text, font_bytes, font_for, small_fonts


def letters(font: bytes) -> set[str]:
    """Return what a font can write."""
    return {chr(code) for code in TTFont(io.BytesIO(font)).getBestCmap()}


def test_shipped_small_fonts_are_as_made_anew():
    """The kept files are what the command makes; the small font holds what it says and nothing else."""
    assert small_fonts() == {
        "DejaVuSansCondensed-small.ttf": font_bytes(small=True),
        "DejaVuSansCondensed-Bold-small.ttf": font_bytes(bold=True, small=True),
    }
    assert letters(font_bytes(small=True)) == SMALL_FONTS
    assert files("layout.drawing.fonts").joinpath(ADVANCES).read_text(encoding="utf-8") == advances_text()


def test_a_letter_beyond_the_small_font_brings_its_block():
    """Latin alone gets the small font; Cyrillic its own block with it, one font for every text of that block."""
    assert font_for(frozenset("Aé⌀")) is font_for(frozenset("B"))
    assert font_for(frozenset("Aж")) is font_for(frozenset("Я"))
    assert letters(font_for(frozenset("ж"))) > SMALL_FONTS | set("АЯая")
    assert letters(font_for(frozenset("船"))) == SMALL_FONTS
