"""Numbers as drawings print them."""

from __future__ import annotations

from fractions import Fraction

INCH_MM = 25.4


def mm(value_mm: float, *, digits: int = 2) -> str:
    """Return a length for a dimension: at most ``digits`` decimals, no trailing zeros, no unit.

    >>> mm(120.0), mm(92.25), mm(-0.001)
    ('120', '92.25', '0')
    """
    text = f"{value_mm:.{digits}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text


def tool_size(diameter_mm: float) -> str:
    """Return a drill or saw as it is sold: in mm, and by its inches too where it is an inch size.

    An inch size is a whole number of 64ths that is no whole number of millimetres.

    >>> tool_size(8.0), tool_size(28.575), tool_size(63.5)
    ('8', '28.58 (1 1/8 in)', '63.5 (2 1/2 in)')
    """
    parts = round(diameter_mm / INCH_MM * 64)
    is_inch = abs(parts * INCH_MM / 64 - diameter_mm) < 1e-6 and abs(diameter_mm - round(diameter_mm)) > 1e-6
    if not is_inch:
        return mm(diameter_mm)
    whole, rest = divmod(Fraction(parts, 64), 1)
    words = " ".join(part for part in (str(whole) if whole else "", str(rest) if rest else "") if part)
    return f"{mm(diameter_mm)} ({words} in)"
