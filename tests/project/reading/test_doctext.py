"""Texts of fields for editors."""

from __future__ import annotations

from layout.project.model.panel import Panel
from layout.project.model.wireways import Wireway
from layout.project.reading.doctext import attribute_texts


def test_fields_are_told_as_the_docstring_has_them() -> None:
    """Each field gets its text in one line; where the docstring tells of two at once, the table tells them apart."""
    texts = attribute_texts(Wireway)
    assert texts["bends"] == "Sum of bends, degrees."
    assert texts["from_"] == "Location it starts at."
    assert "conduit" in texts["bore"]
    assert "trunk" in texts["inner"]
    assert "\n" not in "".join(attribute_texts(Panel).values())


def test_docstring_without_the_section_gives_nothing() -> None:
    """A record that explains itself in its summary has no texts for fields."""
    assert attribute_texts(object) == {}
