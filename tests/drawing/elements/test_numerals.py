"""Numbers as they are printed."""

from __future__ import annotations

import pytest

from layout.drawing.elements.numerals import tool_size
from layout.quantity import parse


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
