"""Numbers as they are printed."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.drawing.elements.numerals import inches, measure, size, tool_size
from layout.quantity import parse

PARTS = st.integers(1, 64 * 200)


@pytest.mark.parametrize(
    ("written", "printed"),
    [
        ("52 mm", "52"),
        ("3.5 mm", "3.5"),
        ("4.5", "4.5"),
        ("2 1/16 in", "52.39 (2 1/16 in)"),
        ("3/16 in", "4.76 (3/16 in)"),
        ("2 1/2 in", "63.5 (2 1/2 in)"),
        ("1 in", "25.4 (1 in)"),
    ],
)
def test_tools_are_named_as_they_are_sold(written, printed):
    """An inch drill or saw is called by its inches beside the millimetres; a metric one is not given any."""
    assert tool_size(parse(written, "length", bare=True)) == printed


def read(text):
    """Return the inches that a printed fraction says, the mark before it left out."""
    return sum(Fraction(part) for part in text.removeprefix("≈").split())


@given(parts=PARTS)
def test_a_whole_64th_is_printed_exactly_in_lowest_terms(parts):
    """Read back, the fraction is the length to the last bit; nothing says about; the quantity reader agrees."""
    text = inches(parts * 25.4 / 64)
    assert read(text) == Fraction(parts, 64)
    assert re.fullmatch(r"\d+|(\d+ )?\d+/(2|4|8|16|32|64)", text)
    assert parse(f"{text} in", "length") == pytest.approx(parts * 25.4 / 64)


@given(value_mm=st.floats(0.2, 5000))
def test_never_off_by_more_than_half_a_64th_and_said_beyond_a_twentieth_of_a_millimetre(value_mm):
    """The nearest 64th: at most 0.2 mm off, and marked whenever it is more than 0.05 mm off."""
    text = inches(value_mm)
    off = abs(float(read(text)) * 25.4 - value_mm)
    assert off <= 25.4 / 128 + 1e-9
    assert text.startswith("≈") == (off > 0.05 + 1e-9)


@pytest.mark.parametrize(
    ("value_mm", "printed"),
    [(3.175, "1/8"), (3.225, "1/8"), (3.226, "≈1/8"), (25.4, "1"), (92.0, "≈3 5/8"), (0.0, "0"), (-6.35, "-1/4")],
)
def test_fractions_by_hand(value_mm, printed):
    """An eighth, a twentieth of a millimetre more, and just beyond it."""
    assert inches(value_mm) == printed


def test_a_size_in_inches_keeps_its_millimetres():
    """Nothing that is cut hangs on a rounded fraction."""
    assert size("⌀{}", 8.0, units="inch") == "⌀≈5/16 in (⌀8)"
    assert size("⌀{}", 8.0, units="mm") == "⌀8"
    assert measure(12.7, "inch") == "1/2 in (12.7 mm)"
