"""Text measured on the shipped font."""

from __future__ import annotations

import io

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from layout.drawing.elements import metrics
from layout.drawing.elements.scene import Text
from layout.drawing.fonts.cut import SMALL_FONTS, font_bytes


def test_capitals_have_the_stated_height():
    """Height is the height of capitals (ISO 3098): the font's own H gives the figure used."""
    for bold in (False, True):
        font = TTFont(io.BytesIO(font_bytes(bold=bold)))
        assert font["glyf"]["H"].yMax / font["head"].unitsPerEm == pytest.approx(metrics.CAP_HEIGHT_PER_EM)


def test_font_has_latin_greek_cyrillic_and_the_symbols_drawings_need():
    """European letters, Greek, Cyrillic and ohm, diameter, squared, degree, plus-minus print."""
    needed = "AZaz09ÄßéøŁčğ ΑΩαω АЯая Ω⌀Ø²³°±×−µ½≤≥→✓☐–…"
    assert metrics.missing_letters(needed) == ""
    assert metrics.missing_letters("船A舟船") == "船舟"
    with pytest.raises(ValueError, match="船"):
        metrics.width_mm("船", 2.5)


@given(st.text("abcdefgh ijklmn", min_size=1, max_size=80), st.floats(8, 60))
def test_wrapped_lines_fit_and_keep_every_word(text, room_mm):
    """Wrapping loses no word, and a line wider than the room is a single word."""
    lines = metrics.wrapped(text, 2.5, room_mm)
    assert " ".join(lines).split() == text.split()
    assert all(metrics.width_mm(row, 2.5) <= room_mm or " " not in row for row in lines)


@given(st.sampled_from([0.0, 90.0, 180.0, 270.0]), st.sampled_from(["left", "centre", "right"]))
def test_text_box_has_the_texts_width_however_it_is_turned(turn_deg, align):
    """The box of a turned text has its width and height swapped, never changed."""
    text = Text((3, 4), "Panel", 5, align, "middle", turn_deg)
    box = metrics.text_box(text)
    long, short = (box.width, box.height) if turn_deg in {0.0, 180.0} else (box.height, box.width)
    assert long == pytest.approx(metrics.width_mm("Panel", 5))
    assert short == pytest.approx(5 * (metrics.ASCENT_PER_CAP + metrics.DESCENT_PER_CAP))


def test_small_font_has_the_widths_of_the_whole_one():
    """A text is as wide on either font; a letter beyond the small one changes no other."""
    for bold in (False, True):
        whole, small = metrics.advances(bold=bold), metrics.advances(bold=bold, small=True)
        assert small == {ord(letter): whole[ord(letter)] for letter in SMALL_FONTS}
    assert metrics.width_mm("AЯ", 2.5) == pytest.approx(metrics.width_mm("A", 2.5) + metrics.width_mm("Я", 2.5))
