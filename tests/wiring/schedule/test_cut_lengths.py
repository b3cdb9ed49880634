"""Cut list: every piece once, no reel overrun."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.wiring.schedule.cut_lengths import ToCut, cut_list


def piece(number, length_mm, **more):
    """Return a piece of red 2.5 mm2 from 10 m reels."""
    base = {"cable": "single", "size": "2.5 mm²", "colour": "red", "reel_mm": 10_000.0, "copper_mm2": 2.5}
    return ToCut(**{**base, "number": str(number), "length_mm": length_mm, **more})


@given(st.lists(st.floats(10, 14_000), max_size=40))
def test_every_piece_is_cut_once(lengths):
    """All pieces are on some reel, none twice, each at least as long as asked and at most a centimetre more."""
    found = cut_list(piece(n, length) for n, length in enumerate(lengths))
    laid = {cut.number: cut.length_mm for reel in found.reels for cut in reel.pieces}
    assert len(laid) == sum(len(reel.pieces) for reel in found.reels) == len(lengths)
    for n, length in enumerate(lengths):
        assert length <= laid[str(n)] < length + 10 + 1e-6


@given(st.lists(st.floats(10, 14_000), max_size=40))
def test_no_reel_is_overrun_and_few_are_half_empty(lengths):
    """What is left is never negative, and two reels are never both at most half used (law of first fit)."""
    found = cut_list(piece(n, length) for n, length in enumerate(lengths))
    assert all(reel.left_mm >= -1e-6 for reel in found.reels)
    assert sum(1 for reel in found.reels if reel.reel_mm == 10_000 and reel.left_mm > 5000) <= 1


def test_kinds_are_kept_apart():
    """Another colour, size or cable is another reel."""
    found = cut_list([piece(1, 100), piece(2, 100, colour="yellow"), piece(3, 100, size="4 mm²"), piece(4, 100)])
    assert [[cut.number for cut in reel.pieces] for reel in found.reels] == [["1", "4"], ["2"], ["3"]]


def test_copper_weight():
    """20 m of 2.5 mm2 weigh 0.44 kg (IEC 60028)."""
    assert cut_list([piece(1, 10_000), piece(2, 10_000)]).copper_kg == pytest.approx(0.4445)
