"""Characters that can be printed."""

from __future__ import annotations

from layout.drawing.elements.metrics import advances, missing_letters
from layout.project.reading.characters import printable, unprintable


def test_ranges_are_those_of_the_font() -> None:
    """The reader lets through exactly what both weights of the shipped font have, and line breaks."""
    assert printable() == (set(advances()) & set(advances(bold=True))) | {ord("\n")}


def test_alphabets_and_signs_print() -> None:
    """Latin with accents, Greek, Cyrillic and the trade's signs are there; what is not is named once, in order."""
    fine = "Åñçł ΑΩμ БжЯ Ω ² ³ ° Ø □ ± × – € µ → ≥"
    assert unprintable(fine) == ""
    assert unprintable("a電b圧電") == "電圧" == missing_letters("a電b圧電")
