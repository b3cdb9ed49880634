"""The language a project asks for, and which of its words no language changes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.languages import Language
from layout.project.reading.read import read
from layout.project.spoken_language import language_of

if TYPE_CHECKING:
    from pathlib import Path

PROJECT = """
spile: 2
project: {name: Kutter, owner: Old owner%s}
locations:
  engine: {name: Maschinenraum}
  bilge: {}
"""


def spoken_in(folder: Path, more: str) -> Language:
    """Return the language of a small project."""
    file = folder / "boat.yaml"
    file.write_text(PROJECT % more, encoding="utf-8")
    project = read(file).project
    assert project is not None
    return language_of(project)


def test_english_unless_asked(tmp_path: Path) -> None:
    """A project that says nothing, or names no known language, speaks English and needs no names."""
    assert spoken_in(tmp_path, "") == Language()
    assert spoken_in(tmp_path, ", language: en") == Language()
    assert spoken_in(tmp_path, ", language: dutch") == Language()


def test_german_with_the_projects_names(tmp_path: Path) -> None:
    """Names, and the ids of what has no name, are kept apart from the program's words."""
    language = spoken_in(tmp_path, ", language: de")
    assert language.code == "de"
    assert {"Kutter", "Old owner", "Maschinenraum", "bilge"} <= language.names
    assert "engine" not in language.names


def test_unknown_language_is_told(tmp_path: Path) -> None:
    """A language that is not shipped stops (paper 70), located; one that is does not."""
    for language, rules in (("dutch", ["paper 70"]), ("de", [])):
        (tmp_path / "boat.yaml").write_text(PROJECT % f", language: {language}", encoding="utf-8")
        told = [one for one in read(tmp_path / "boat.yaml").findings if one.rule == "paper 70"]
        assert [one.rule for one in told] == rules
        assert [one.at.line for one in told] == [3] * len(rules)
