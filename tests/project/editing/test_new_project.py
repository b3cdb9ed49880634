"""The project that a newcomer starts from."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from layout.project.editing.new_project import FILE_NAME, SCHEMAS, write_new
from layout.project.reading.read import read
from tests.conftest import ROOT

if TYPE_CHECKING:
    from pathlib import Path


def test_new_project_has_nothing_wrong(tmp_path: Path) -> None:
    """The new project reads without a fault and has something of every kind that a beginner meets."""
    reading = read(write_new(tmp_path / "fresh" / "folder"))
    assert reading.findings == ()
    project = reading.project
    assert project is not None
    assert project.project.example
    sections = (
        project.panels,
        project.devices,
        project.wireways,
        project.supplies,
        project.circuits,
        project.wishes.wanted,
    )
    assert all(sections)


def test_an_editor_is_led_to_the_schema(tmp_path: Path) -> None:
    """The first line names a schema that is there; included files and shelves have theirs beside it."""
    file = write_new(tmp_path / "panel")
    first = file.read_text(encoding="utf-8").partition("\n")[0]
    mark, _, path = first.partition("$schema=")
    assert mark == "# yaml-language-server: "
    assert (file.parent / path).is_file()
    for name in SCHEMAS:
        assert (file.parent / "schemas" / name).read_bytes() == (ROOT / "schemas" / name).read_bytes()


def test_nothing_is_overwritten(tmp_path: Path) -> None:
    """A folder that already has a project is left alone."""
    (tmp_path / FILE_NAME).write_text("mine")
    with pytest.raises(FileExistsError):
        write_new(tmp_path)
    assert (tmp_path / FILE_NAME).read_text() == "mine"
    assert [file.name for file in tmp_path.iterdir()] == [FILE_NAME]
