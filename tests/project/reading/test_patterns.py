"""Patterns for editors refuse nothing that the reader takes, and refuse a wrong unit as it does."""

from __future__ import annotations

import re

import pytest

from layout.quantity import (
    EXAMPLES,
    OHM_SIGN,
    UNITS,
    WIRE_SIZE_PATTERN,
    QuantityError,
    WireSize,
    parse,
    written_pattern,
)  # fmt: skip


@pytest.mark.parametrize("kind", sorted(UNITS))
@pytest.mark.parametrize("number", ["12", "-3.5", "1/2", "3 1/8", "1-1/2", ".5", "7.", "+4"])
def test_what_is_read_is_let_through(kind: str, number: str) -> None:
    """Each way to write a number with each unit passes both."""
    for unit in UNITS[kind]:
        for text in (f"{number} {unit}", f" {number}{unit} ", f"{number} {unit}".replace("Ω", OHM_SIGN)):
            parse(text, kind)
            assert re.search(written_pattern(kind, bare=False), text), text


@pytest.mark.parametrize(
    ("kind", "text"),
    [("power", "30 A"), ("current", "6"), ("length", "12 mm2"), ("voltage", "12,5 V"), ("ratio", "0.5"), ("time", "")],
)
def test_what_is_refused_is_refused_in_the_editor(kind: str, text: str) -> None:
    """``power: 30 A`` is wrong while it is typed."""
    with pytest.raises(QuantityError):
        parse(text, kind)
    assert not re.search(written_pattern(kind, bare=False), text)
    assert re.search(written_pattern(kind, bare=False), EXAMPLES[kind].partition(" or ")[0])


@pytest.mark.parametrize("text", ["2.5 mm2", "14 AWG", "4/0 sae", "awg 14", "2/0 AWG", "AWG2/0", " 1/2 mm² "])
def test_wire_sizes_pass(text: str) -> None:
    """An area or a gauge."""
    WireSize.read(text)
    assert re.search(WIRE_SIZE_PATTERN, text)


@pytest.mark.parametrize("text", ["2.5", "14", "2.5 mm", "5/0 AWG", "3 SAE", "SAE 14"])
def test_other_sizes_do_not(text: str) -> None:
    """A size without its unit, or in another one, is refused by both."""
    with pytest.raises(QuantityError):
        WireSize.read(text)
    assert not re.search(WIRE_SIZE_PATTERN, text)
