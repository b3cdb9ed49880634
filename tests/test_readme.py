"""The README: its snippets are good YAML of ours, its commands and files exist."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from layout.cli.main import app
from layout.project.reading.read import read
from layout.vocabulary import words
from tests.conftest import ROOT

if TYPE_CHECKING:
    from pathlib import Path

README = (ROOT / "README.md").read_text(encoding="utf-8")
REST = """
locations: {wall: {name: Behind the wall}}
supplies:
  battery: {kind: battery, voltage: 12 V, location: wall, stud: M8}
feeders:
  feed: {from: battery/+, to: ways_12/in, poles: "+", length: 0.5 m}
  back: {from: ways_12/-, to: battery/-, poles: "-", length: 0.5 m}
breaker_panels:
  ways_12: {voltage: 12 V, location: wall, ways: {1: {}, 2: {rating: 10 A, circuit: radio}}}
"""
"""What the tour tells in words only."""


def test_tour_is_a_project(tmp_path: Path) -> None:
    """The snippets of the tour, put together, read as a project without an error."""
    snippets = re.findall(r"```yaml\n(.*?)```", README, flags=re.DOTALL)
    assert len(snippets) >= 4
    file = tmp_path / "tour.yaml"
    file.write_text("spile: 2\nproject: {name: Tour}\n" + "".join(snippets) + REST, encoding="utf-8")
    reading = read(file)
    assert [finding.message for finding in reading.findings if finding.weight.value == "stop"] == []
    assert reading.project is not None


def test_commands_exist() -> None:
    """Each command that the README names is one, and each command stands in its table."""
    there = {command.name or command.callback.__name__ for command in app.registered_commands}
    named = set(re.findall(r"`spile (\w+)", README))
    assert named <= there
    assert there - named == {"version"}


def test_files_exist() -> None:
    """Each file of the project that the README points at is there."""
    named = re.findall(r"\]\(([\w./-]+)\)|`((?:examples|schemas|docs)/[\w./-]*)`", README)
    paths = [first or second for first, second in named]
    assert paths
    assert [path for path in paths if not (ROOT / path).exists()] == []


def test_every_picture_is_shown() -> None:
    """No picture is kept that the README does not show."""
    shown = set(re.findall(r"\((docs/.*?\.png)\)", README))
    assert {f"docs/{file.name}" for file in (ROOT / "docs").glob("*.png")} == shown


def test_two_commands_are_the_ones_that_are_tried() -> None:
    """The README has one line that builds an example and one that runs the tests; .ci/run takes them from there."""
    lines = [line.strip() for line in README.splitlines() if line.startswith("    ")]
    assert sum("spile build" in line for line in lines) == 1
    assert sum("pytest" in line for line in lines) == 1
    assert "-c constraints.txt" in lines[0]


def test_words_of_the_tour_are_keys() -> None:
    """Each bare word in backticks in the tour is a key of the file."""
    tour = README.partition("## A tour of the YAML")[2].partition("## More")[0]
    told = set(re.findall(r"`([a-z_]+)`", re.sub(r"```.*?```", "", tour, flags=re.DOTALL)))
    assert len(told) > 10
    assert told <= {entry.word.rpartition(".")[2] for entry in words("keys")}
