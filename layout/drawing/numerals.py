"""Numbers as drawings print them."""

from __future__ import annotations


def mm(value_mm: float, *, digits: int = 2) -> str:
    """Return a length for a dimension: at most ``digits`` decimals, no trailing zeros, no unit.

    >>> mm(120.0), mm(92.25), mm(-0.001)
    ('120', '92.25', '0')
    """
    text = f"{value_mm:.{digits}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text
