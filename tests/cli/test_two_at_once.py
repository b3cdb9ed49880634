"""Two commands at once, and an arrangement that outlived its panel."""

from __future__ import annotations

import os
import subprocess
import sys
from typing import TYPE_CHECKING

import pytest

from layout.frozen import FrozenMap
from layout.project.editing import lock
from layout.project.model.arrangement import Arrangement, Placed
from layout.project.register import Register, load, register_path, save
from tests.conftest import EXAMPLES
from tests.running import ROOT, spile

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

HOLDER = """
import pathlib, sys
from layout.project.editing import lock
lock.hold(pathlib.Path(sys.argv[1]), "spile build")
print("held", flush=True)
sys.stdin.read()
"""
PLACES = {"ways": (180, 79), "meter": (63, 79), "usb": (286, 79), "dimmer": (341, 79), "radio": (110, 240)}


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """Give the workshop wall with an arrangement chosen."""
    path = tmp_path / "wall.yaml"
    path.write_bytes((EXAMPLES / "workshop_wall.yaml").read_bytes())
    placed = {key: Placed(device=key, panel="wall", x=x, y=y) for key, (x, y) in PLACES.items()}
    arrangement = Arrangement(placed=FrozenMap(placed))
    save(register_path(path), Register(arrangement=arrangement, proposals=(arrangement,)))
    return path


@pytest.fixture
def holder(project: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[subprocess.Popen[str]]:
    """Give another process that is writing for the project."""
    monkeypatch.setattr(lock, "_PATIENCE_S", 0.0)
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    words = [sys.executable, "-c", HOLDER, str(project)]
    with subprocess.Popen(words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=environment) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "held\n"
        yield process
        process.kill()


@pytest.mark.parametrize("words", [("choose", "1"), ("pin", "radio"), ("schedule",), ("log", "001", "1m")])
def test_a_second_writer_is_told_who_is_at_it(
    words: tuple[str, ...], project: Path, holder: subprocess.Popen[str]
) -> None:
    """A command that would write is refused, says which command and process hold the project, and writes nothing."""
    before = {path: path.read_bytes() for path in project.parent.iterdir()}
    ran = spile(words[0], project, *words[1:], "--json")
    assert (ran.code, ran.rules) == (2, ["file 96"])
    said = f"'wall.yaml' is being written by 'spile build' (process {holder.pid})"
    assert ran.data["findings"][0]["message"] == said
    assert {path: path.read_bytes() for path in project.parent.iterdir()} == before


def test_readers_never_wait(project: Path, holder: subprocess.Popen[str]) -> None:
    """A command that only reads goes on while another one writes."""
    assert spile("check", project, "--json").code in {0, 1}


def test_a_killed_writer_holds_nothing(project: Path, holder: subprocess.Popen[str]) -> None:
    """However the process that held the project ended, the next command can write."""
    holder.kill()
    holder.wait()
    assert spile("choose", project, 1, "--json").code in {0, 1}


def test_nothing_is_held_after_a_command(project: Path) -> None:
    """A command lets go of its project when it ends, also when it ends with a refusal."""
    assert spile("choose", project, 9, "--json").code == 2
    assert lock._HELD == {}


@pytest.mark.parametrize(
    "words", [("check",), ("schedule", "--out"), ("template", "--out"), ("choose", "1"), ("fits", "60x40")]
)
def test_a_panel_that_is_gone_is_told_where_it_stood(words: tuple[str, ...], project: Path, tmp_path: Path) -> None:
    """When a panel is renamed after placing, each device on it is a finding at its place, and nothing breaks."""
    text = (
        project.read_text(encoding="utf-8")
        .replace("  wall:\n    name", "  board:\n    name")
        .replace("panel: wall", "panel: board")
    )
    project.write_text(text, encoding="utf-8")
    before = load(register_path(project))
    where = (tmp_path / "out",) if words[-1] == "--out" else ()
    ran = spile(words[0], project, *words[1:], *where, "--json")
    assert ran.code == 1
    gone = [one for one in ran.data["findings"] if one["rule"] == "panel 38"]
    assert {one["subjects"][0] for one in gone} == {f"devices.{key}" for key in PLACES}
    assert all(one["at"]["line"] for one in gone)
    after = load(register_path(project))[0]
    assert before[0] is not None
    assert after is not None
    assert after.arrangement == before[0].arrangement
