"""What broke once: names no file can have, seeds without end, a machine without memory, pins that can't be."""

from __future__ import annotations

import subprocess
import sys
from typing import TYPE_CHECKING

import pytest

from layout.handover.files.csv_file import csv_bytes
from layout.handover.lists.table import Column, Table
from tests.conftest import EXAMPLES

if TYPE_CHECKING:
    from pathlib import Path

WALL = EXAMPLES / "workshop_wall.yaml"


def spile(*words: str, memory_kb: int | None = None) -> subprocess.CompletedProcess[str]:
    """Run the command, in little address space where that is asked for."""
    limit = f"ulimit -v {memory_kb}; " if memory_kb else ""
    return subprocess.run(
        ["bash", "-c", f'{limit}exec "$@"', "-", sys.executable, "-m", "layout", *words],
        capture_output=True, text=True, check=False, timeout=120,
    )  # fmt: skip


@pytest.fixture
def wall(tmp_path: Path) -> Path:
    """Return a copy of the workshop wall."""
    path = tmp_path / "wall.yaml"
    path.write_bytes(WALL.read_bytes())
    return path


@pytest.mark.parametrize("name", ['"a\\0b.yaml"', "x" * 5000 + ".yaml"])
def test_an_include_that_is_no_name(tmp_path: Path, name: str) -> None:
    """A NUL and a name of 5,000 letters are located, not a fault of ours."""
    path = tmp_path / "odd.yaml"
    path.write_text(f"spile: 2\nproject: {{name: a}}\ninclude: [{name}]\n", encoding="utf-8")
    told = spile("check", str(path))
    assert told.returncode == 2
    assert "can be no file's name" in told.stderr
    assert "odd.yaml:3" in told.stderr


def test_a_folder_that_is_no_name(wall: Path) -> None:
    """It is told before anything is worked out."""
    told = spile("build", str(wall), "--out", str(wall.parent / ("y" * 5000)))
    assert told.returncode == 2
    assert "no folder's name" in told.stderr


def test_a_seed_without_end(wall: Path) -> None:
    """The library below takes 31 bits."""
    assert spile("arrange", str(wall), "--seed", "9" * 24).returncode == 2


@pytest.mark.skipif(sys.platform != "linux", reason="address space is limited by ulimit")
def test_little_memory_is_said(wall: Path) -> None:
    """A machine that gives too little is no fault of the program, and nothing is half written."""
    told = spile("arrange", str(wall), "--effort", "quick", memory_kb=900_000)
    assert told.returncode == 2
    assert "too little memory" in told.stderr
    assert [path.name for path in wall.parent.iterdir()] == ["wall.yaml"]


def test_a_pin_keeps_line_ends_mark_and_link(tmp_path: Path) -> None:
    """The file is as its editor left it, but for the pin; a link stays a link."""
    text = WALL.read_bytes()
    there = tmp_path / "there.yaml"
    there.write_bytes(b"\xef\xbb\xbf" + text.replace(b"\n", b"\r\n"))
    link = tmp_path / "link.yaml"
    link.symlink_to(there)
    assert spile("pin", str(link), "radio", "--x", "200", "--y", "150", "--quiet").returncode in (0, 1)
    assert link.is_symlink()
    after = there.read_bytes()
    assert after.startswith(b"\xef\xbb\xbf")
    assert after.count(b"\n") == after.count(b"\r\n") == text.count(b"\n") + 1
    assert b"pin: {x: 200, y: 150}\r\n" in after


@pytest.mark.parametrize("command", ["check", "schedule", "arrange", "build", "move", "report"])
def test_a_link_to_itself_is_no_fault_of_ours(command: str, tmp_path: Path) -> None:
    """What leads nowhere is told and not usable, whichever command follows it."""
    loop = tmp_path / "loop.yaml"
    loop.symlink_to(loop)
    more = ("radio", "--by", "5,0") if command == "move" else ()
    told = spile(command, str(loop), *more)
    assert told.returncode == 2, told.stderr
    assert "Traceback" not in told.stderr


@pytest.mark.parametrize("count", [1, 2])
def test_a_link_to_itself_beside_a_good_project(count: int, wall: Path) -> None:
    """An include that leads nowhere, and one project of several; a link that leads somewhere is read."""
    (wall.parent / "loop.yaml").symlink_to(wall.parent / "loop.yaml")
    (wall.parent / "linked.yaml").symlink_to(wall)
    if count == 1:
        wall.write_text(wall.read_text(encoding="utf-8") + "include: loop.yaml\n", encoding="utf-8")
        told = spile("check", str(wall))
    else:
        wall.write_text("spile: 2\nproject: {name: Nothing yet, revision: A}\n", encoding="utf-8")
        told = spile("build", str(wall.parent / "loop.yaml"), str(wall), "--out", str(wall.parent / "out"))
    assert told.returncode == 2, told.stderr
    assert "Traceback" not in told.stderr
    if count == 2:
        assert spile("check", str(wall.parent / "linked.yaml")).returncode in (0, 1)


def test_a_pin_keeps_what_is_not_said_anew(wall: Path) -> None:
    """Another x leaves y and turn."""
    spile("pin", str(wall), "radio", "--x", "200", "--y", "150", "--turn", "0")
    spile("pin", str(wall), "radio", "--x", "210")
    assert "pin: {x: 210, y: 150, turn: 0}" in wall.read_text(encoding="utf-8")


@pytest.mark.parametrize("place", [("9000", "10"), ("390", "10"), ("nan", "10"), ("10", "inf"), ("1e308", "10")])
def test_an_impossible_pin_is_not_written(wall: Path, place: tuple[str, str]) -> None:
    """Off the panel, over its edge, or no number at all: the file is as it was."""
    told = spile("pin", str(wall), "radio", "--x", place[0], "--y", place[1])
    assert told.returncode == 2
    assert wall.read_bytes() == WALL.read_bytes()


@pytest.mark.parametrize(
    ("text", "cell"),
    [
        ("+", "+"), ("-", "-"), ("-0.4", "-0.4"), ("-12 °C", "-12 °C"), ("+5 V", "+5 V"),
        ("+1+cmd", "'+1+cmd"), ("-2-3", "'-2-3"), ("=1", "'=1"), ("@x", "'@x"), ("a+b", "a+b"),
    ],
)  # fmt: skip
def test_cells_that_a_spreadsheet_would_reckon(text: str, cell: str) -> None:
    """A pole's sign and a signed number are no formulas; anything else that begins with a sign is guarded."""
    table = Table(name="t", title="t", columns=(Column(key="a", title="A", width_mm=10),), rows=({"a": text},))
    assert csv_bytes(table).decode() == f"a\r\n{cell}\r\n"


@pytest.mark.parametrize("words", [("check",), ("arrange",), ("pin", "radio", "--x", "200", "--y", "150")])
def test_where_no_file_may_grow(words: tuple[str, ...], wall: Path) -> None:
    """A limit of nothing on the size of files, the folder for temporary ones too: said, and no file is harmed."""
    before = wall.read_bytes()
    told = subprocess.run(
        ["bash", "-c", 'ulimit -f 0; exec "$@"', "-", sys.executable, "-m", "layout", words[0], str(wall), *words[1:]],
        capture_output=True, text=True, check=False, timeout=120,
    )  # fmt: skip
    assert told.returncode == (0 if words[0] == "check" else 2), told.stderr
    assert "Traceback" not in told.stderr
    assert wall.read_bytes() == before
