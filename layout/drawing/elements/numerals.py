"""Numbers as drawings print them."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

Units = Literal["mm", "inch"]
"""In which lengths stand on drawings."""

DRAWING_UNITS: dict[Units, str] = {"mm": "dimensions in mm", "inch": "inches, ≈ to 1/64"}
"""What a sheet says of its lengths."""

MM_TOO: dict[Units, str] = {"mm": "", "inch": " mm"}
"""What stands behind a limit, which is in mm on every sheet."""

INCH_MM = 25.4
_PARTS = 64
"""Parts of an inch on a rule, and the step of inch drills."""

ABOUT_MM = 0.05
"""A fraction that is further off than this says so."""


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
    parts = round(diameter_mm / INCH_MM * _PARTS)
    is_inch = abs(parts * INCH_MM / _PARTS - diameter_mm) < 1e-6 and abs(diameter_mm - round(diameter_mm)) > 1e-6
    return f"{mm(diameter_mm)} ({_fraction(parts)} in)" if is_inch else mm(diameter_mm)


def inches(value_mm: float) -> str:
    """Return a length by its nearest 64th of an inch, marked where that is off by more than 0.05 mm.

    >>> inches(63.5), inches(92.0), inches(-6.35), inches(0.0)
    ('2 1/2', '≈3 5/8', '-1/4', '0')
    """
    parts = round(abs(value_mm) / INCH_MM * _PARTS)
    about = "≈" if abs(parts * INCH_MM / _PARTS - abs(value_mm)) > ABOUT_MM + 1e-9 else ""
    return f"{about}{'-' if value_mm < 0 and parts else ''}{_fraction(parts)}"


def length_text(value_mm: float, units: Units) -> str:
    """Return a length for a dimension, in the drawing's units, without them."""
    return mm(value_mm) if units == "mm" else inches(value_mm)


def size(words: str, *values_mm: float, units: Units) -> str:
    """Return a size in words; in inches with its millimetres behind it, so that nothing is lost to a fraction.

    Parameters
    ----------
    words
        With ``{}`` for each length.

    >>> size("{} × {}", 63.5, 50.0, units="mm"), size("{} × {}", 63.5, 50.0, units="inch")
    ('63.5 × 50', '2 1/2 × ≈1 31/32 in (63.5 × 50)')
    """
    plain = words.format(*(mm(value) for value in values_mm))
    return plain if units == "mm" else f"{words.format(*(inches(value) for value in values_mm))} in ({plain})"


def measure(value_mm: float, units: Units) -> str:
    """Return a length with its unit.

    >>> measure(12.0, "mm"), measure(12.7, "inch")
    ('12 mm', '1/2 in (12.7 mm)')
    """
    return f"{mm(value_mm)} mm" if units == "mm" else f"{inches(value_mm)} in ({mm(value_mm)} mm)"


def _fraction(parts: int) -> str:
    whole, rest = divmod(Fraction(parts, _PARTS), 1)
    return " ".join(part for part in (str(whole) if whole else "", str(rest) if rest else "") if part) or "0"
