"""``spile move`` and ``spile undo``: a device put elsewhere at once, or not at all; and what place says after."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from pypdf import PdfReader

from layout.project.register import load, register_path
from tests.running import spile

if TYPE_CHECKING:
    from pathlib import Path

    from tests.conftest import Built


def placed(file: Path, device: str) -> tuple[float, float]:
    """Return where the register has a device."""
    register, _ = load(register_path(file))
    assert register is not None
    assert register.arrangement is not None
    at = register.arrangement.placed[device]
    return at.x, at.y


def room_to_move(file: Path, device: str) -> str:
    """Return a move of one millimetre that is made, whichever way there is."""
    for by in ("1,0", "-1,0", "0,1", "0,-1"):
        if spile("move", file, device, f"--by={by}").code == 0:
            return by
    raise AssertionError("no way to move a millimetre")


def test_move_and_undo(wall: Built, tmp_path: Path) -> None:
    """A move changes the register alone; undo brings back where the device was, and build takes either."""
    file = wall.copy(tmp_path / "wall")
    before, text = placed(file, "usb"), file.read_bytes()
    room_to_move(file, "usb")
    after = placed(file, "usb")
    assert abs(after[0] - before[0]) + abs(after[1] - before[1]) == 1.0
    assert file.read_bytes() == text
    assert spile("check", file).code == 0
    assert spile("undo", file).code == 0
    assert placed(file, "usb") == before


def test_move_that_breaks_a_rule_writes_nothing(wall: Built, tmp_path: Path) -> None:
    """Past the panel's edge a device does not go: what breaks is said, and every file is as it was."""
    file = wall.copy(tmp_path / "wall")
    files = {one.name: one.read_bytes() for one in file.parent.iterdir()}
    ran = spile("move", file, "usb", "--by", "4000,0", "--json")
    assert ran.code == 1
    assert "panel 1" in ran.rules
    assert ran.data["moved"] is False
    assert {one.name: one.read_bytes() for one in file.parent.iterdir()} == files


def test_move_takes_the_pin_along_and_undo_brings_it_back(wall: Built, tmp_path: Path) -> None:
    """A pinned device moves with its pin in the project file; undone, the file is as before, byte for byte."""
    file = wall.copy(tmp_path / "wall")
    assert spile("pin", file, "usb").code == 0
    text, before = file.read_text(encoding="utf-8"), placed(file, "usb")
    room_to_move(file, "usb")
    assert file.read_text(encoding="utf-8") != text
    assert spile("check", file).code == 0
    assert spile("undo", file).code == 0
    assert file.read_text(encoding="utf-8") == text
    assert placed(file, "usb") == before


def test_what_is_no_move_is_refused(wall: Built, tmp_path: Path) -> None:
    """No way, two ways, half a pair, an unknown line or an unknown device end with code 2 and say what to write."""
    file = wall.copy(tmp_path / "wall")
    for more in ((), ("--by", "1,0", "--to", "5,5"), ("--by", "5"), ("--align", "edge", "radio"), ("--to", "a,b")):
        ran = spile("move", file, "usb", *more)
        assert ran.code == 2
        assert "file 90" in ran.err
    assert spile("move", file, "nobody", "--by", "1,0").code == 2
    assert spile("undo", file).code == 2


def test_place_after_an_edit_says_what_is_new_and_what_to_do(wall: Built, tmp_path: Path) -> None:
    """With a pin a millimetre off the chosen arrangement no longer holds; it is said what the proposal moves."""
    file = wall.copy(tmp_path / "wall")
    dx, dy = (float(part) for part in room_to_move(file, "usb").split(","))
    assert spile("undo", file).code == 0
    x, y = placed(file, "usb")
    assert spile("pin", file, "usb", "--x", x + dx, "--y", y + dy).code == 0
    ran = spile("arrange", file, "--keep", "all", "--effort", "quick")
    assert "Proposal 1 is new. Against the chosen one: Charging socket moves 1 mm." in ran.out
    assert "The chosen arrangement no longer holds: it breaks a rule since device Charging socket changed." in ran.out
    assert f"To take a proposal in its place: spile choose {file} 1" in ran.out
    assert spile("choose", file, "1").code == 0
    again = spile("arrange", file, "--keep", "all", "--effort", "quick")
    assert "Proposal 1 is the chosen arrangement again." in again.out


def test_what_may_not_be_cut_is_named_with_the_reason(wall: Built, tmp_path: Path) -> None:
    """Where a rule of the panel is broken, template and machine files are not written, and the command says why."""
    file = wall.copy(tmp_path / "wall")
    x, y = placed(file, "usb")
    spile("pin", file, "usb", "--x", x + 30, "--y", y)
    ran = spile("template", file, "--out", tmp_path / "out")
    assert "Not written: template and machine files of " in ran.out
    assert ", because panel 34: " in ran.out
    assert not list((tmp_path / "out").glob("templates/*"))
    spile("build", file, "--out", tmp_path / "out")
    cover = " ".join(PdfReader(tmp_path / "out" / "workshop.pdf").pages[0].extract_text().split())
    assert "Not written: template and machine files of " in cover
    assert ", because panel 34: " in cover
    spile("pin", file, "usb", "--x", x, "--y", y)
    spile("build", file, "--out", tmp_path / "out")
    assert "Not written" not in PdfReader(tmp_path / "out" / "workshop.pdf").pages[0].extract_text()


@pytest.mark.parametrize("by", ["nan,1", "1e400,0", "0,-1e9"])
def test_a_move_to_nowhere_is_refused(by: str, wall: Built, tmp_path: Path) -> None:
    """No number, and one beyond any panel; the register stays as it was."""
    file = wall.copy(tmp_path / "wall")
    register = file.with_name(wall.register.name)
    before = register.read_bytes()
    told = spile("move", file, "radio", f"--by={by}")
    assert told.code == 2, told.err
    assert "no pair of lengths" in told.err
    assert register.read_bytes() == before
