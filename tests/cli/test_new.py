"""``spile new``: a project that builds as it is, and never over another one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.running import spile

if TYPE_CHECKING:
    from pathlib import Path


def test_new_project_builds_as_it_is(tmp_path: Path) -> None:
    """What is written builds with exit code 0, and a template and a schedule come out."""
    made = spile("new", tmp_path / "panel", "--json")
    assert made.code == 0
    file = tmp_path / "panel" / "panel.yaml"
    assert made.data["files"] == [str(file)]
    built = spile("build", file, "--effort", "quick", "--out", tmp_path / "out", "--json")
    assert built.code == 0, built.out
    names = {name.rsplit("/", 1)[-1] for name in built.data["files"]}
    assert {"schedule.csv", "electrician.pdf", "workshop.pdf", "shopping.pdf"} <= names
    assert any("/templates/" in name for name in built.data["files"])


def test_nothing_is_overwritten(tmp_path: Path) -> None:
    """A project that is there stays as it is."""
    file = tmp_path / "panel.yaml"
    file.write_text("mine", encoding="utf-8")
    ran = spile("new", tmp_path, "--json")
    assert (ran.code, ran.rules) == (2, ["file 91"])
    assert file.read_text(encoding="utf-8") == "mine"


def test_folder_that_is_a_file(tmp_path: Path) -> None:
    """A file where the folder should be is said so."""
    (tmp_path / "panel").write_text("", encoding="utf-8")
    ran = spile("new", tmp_path / "panel")
    assert ran.code == 2
    assert "it is a file" in ran.err
