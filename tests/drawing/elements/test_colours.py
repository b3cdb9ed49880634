"""Colours come from one table and can be read, in colour and in grey."""

from __future__ import annotations

import re
from itertools import combinations, pairwise

import pytest

from layout.drawing.elements import colours
from tests.conftest import ROOT

INKS = ("INK", "LEAD", "BODY", "GREY", "ALARM", "AMBER")
GROUNDS = ("WHITE", "TINT", "HEAD_TINT", "FAULT_TINT")
LITERAL = re.compile(r"#[0-9a-fA-F]{6}\b")


def grey(colour: str) -> float:
    """Return the luma of a colour as a grey printer shows it (ITU-R BT.601), 0 to 1."""
    red, green, blue = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    return 0.299 * red + 0.587 * green + 0.114 * blue


@pytest.mark.parametrize("ink", [ink for ink in INKS if ink != "AMBER"])
@pytest.mark.parametrize("ground", GROUNDS)
def test_inks_read_on_every_ground(ink: str, ground: str) -> None:
    """Every ink has the contrast that WCAG 2.1, 1.4.3 asks of small text, on white and on every tint."""
    assert colours.contrast(getattr(colours, ink), getattr(colours, ground)) >= 4.5


def test_amber_reads_on_white() -> None:
    """Amber stands on white only."""
    assert colours.contrast(colours.AMBER, colours.WHITE) >= 4.5


def test_contrast_is_that_of_the_standard() -> None:
    """Contrast agrees with two pairs worked by hand from WCAG 2.1: #777777 just misses 4.5, #767676 just has it."""
    assert colours.contrast("#777777", "#ffffff") == pytest.approx(4.478, abs=0.001)
    assert colours.contrast("#767676", "#ffffff") == pytest.approx(4.542, abs=0.001)


@pytest.mark.parametrize("ink", INKS)
def test_inks_read_in_grey(ink: str) -> None:
    """On a grey printer every ink keeps more than half the way to black."""
    assert grey(getattr(colours, ink)) < 0.45


def test_tints_do_not_hide_what_stands_on_them() -> None:
    """Cable tints let ink read; in grey they stay lighter than any ink."""
    for tint in colours.CABLE_TINTS.values():
        assert colours.contrast(colours.INK, tint) >= 7
        assert grey(tint) > 0.8


def test_neighbouring_fills_differ_in_grey() -> None:
    """Fills that lie on each other can be told apart without colour."""
    for row in (colours.SYSTEM_TINTS, colours.WISHES):
        assert all(abs(grey(a) - grey(b)) > 0.08 for a, b in pairwise(row))
    assert all(a != b for a, b in combinations(colours.WISHES, 2))


def test_no_colour_stands_elsewhere() -> None:
    """No module but the table spells out a colour."""
    table = ROOT / "layout/drawing/elements/colours.py"
    files = [file for part in ("drawing", "handover") for file in (ROOT / "layout" / part).rglob("*.py")]
    assert [str(file) for file in files if file != table and LITERAL.search(file.read_text("utf-8"))] == []
