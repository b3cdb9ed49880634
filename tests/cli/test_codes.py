"""Exit codes: 0 fine, 1 findings of severity error, 2 input not usable; and never a traceback."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from tests.conftest import EXAMPLES
from tests.running import python, spile

if TYPE_CHECKING:
    from pathlib import Path

    from tests.conftest import Built

WRONG = {
    "no such file": ("", "file 1"),
    "empty": ("", "file 5"),
    "not YAML": ("panels: {", "file 6"),
    "a misspelt key": ("spile: 2\nproject: {name: x}\npanles: {}\n", "file 30"),
}
ON_A_PROJECT = (
    ("check",), ("arrange", "--effort", "quick"), ("build", "--effort", "quick"), ("template",), ("schedule",),
    ("rules",), ("fits", "60x40"), ("choose", "1"), ("pin", "radio"), ("overlay", "radio"), ("log", "001", "1V"),
)  # fmt: skip


def words(command: tuple[str, ...], file: Path, *more: object) -> list[object]:
    """Return a command line with the project's file in its place."""
    return [command[0], file, *command[1:], *more]


def old_documents(folder: Path) -> dict[str, bytes]:
    """Put documents of an earlier build into a folder and return what is in it."""
    folder.mkdir()
    (folder / "schedule.csv").write_text("the one from before", encoding="utf-8")
    return {file.name: file.read_bytes() for file in folder.iterdir()}


@pytest.mark.parametrize("command", ON_A_PROJECT, ids=lambda command: command[0])
@pytest.mark.parametrize("case", WRONG)
def test_unusable_file_is_code_2_and_changes_nothing(tmp_path: Path, case: str, command: tuple[str, ...]) -> None:
    """A file that can't be used ends every command with 2, a located finding, and earlier documents as they were."""
    text, rule = WRONG[case]
    file, out = tmp_path / "panel.yaml", tmp_path / "out"
    if case != "no such file":
        file.write_text(text, encoding="utf-8")
    before = old_documents(out)
    takes_out = command[0] in ("arrange", "build", "template", "schedule", "overlay")
    ran = spile(*words(command, file, *(("--out", out) if takes_out else ())))
    assert (ran.code, ran.out) == (2, "")
    assert f"stop   {rule} " in ran.err
    assert "Traceback" not in ran.err
    assert {one.name: one.read_bytes() for one in out.iterdir()} == before
    assert not (tmp_path / "panel.register.yaml").exists()


@pytest.mark.parametrize("command", ON_A_PROJECT, ids=lambda command: command[0])
def test_damaged_register_is_code_2_and_is_left_alone(tmp_path: Path, command: tuple[str, ...]) -> None:
    """A register that can't be read stops every command; it is the only memory and is not touched."""
    file = tmp_path / "workshop_wall.yaml"
    file.write_bytes((EXAMPLES / file.name).read_bytes())
    register = tmp_path / "workshop_wall.register.yaml"
    register.write_text("spile_register: 1\nnumbers: {circuits.lamp: one}\n", encoding="utf-8")
    before = register.read_bytes()
    ran = spile(*words(command, file, "--json"))
    assert (ran.code, ran.rules) == (2, ["file 80"])
    assert register.read_bytes() == before


MISTAKES = [
    (("build", "FILE", "--effort", "lazy"), "Invalid value for '--effort'"),
    (("build", "FILE", "--seed", "two"), "Invalid value for '--seed'"),
    (("build", "FILE", "--nonsense"), "No such option"),
    (("build",), "Missing argument"),
    (("bild", "FILE"), "No such command"),
    (("choose", "FILE", "9"), "stop file 90 there is no proposal 9: the register has proposals 1 to 1"),
    (("choose", "FILE", "0"), "Invalid value for 'NUMBER'"),
    (("fits", "FILE", "0x40"), "stop file 90 '0x40' is no size"),
    (("fits", "FILE", "gauge-5"), "stop file 40 the type 'gauge-5' is neither on the shelf nor in the catalogue"),
    (("pin", "FILE", "radoi"), "stop file 90 no device of a panel is called 'radoi'"),
    (("pin", "FILE", "lamp"), "stop file 90 no device of a panel is called 'lamp'"),
    (("pin", "FILE", "radio", "--turn", "45"), "stop file 90 a device can't turn by 45 degrees"),
    (("pin", "FILE", "radio", "--free", "--x", "3"), "stop file 90 a pin is either set or taken away"),
    (("overlay", "FILE", "lamp"), "stop file 90 no device of a panel is called 'lamp'"),
    (("printcheck", "--paper", "A9"), "stop file 90 no sheet is called 'A9'"),
    (("template", "FILE", "--bars", "99"), "stop file 90 '99' is not two lengths"),
    (("template", "FILE", "--bars", "50x100"), "stop file 90 bars of 100 mm measured as 50 x 100 mm"),
    (("template", "FILE", "--bars", "88x100"), "stop file 90 bars of 100 mm measured as 88 x 100 mm"),
    (("template", "FILE", "--bars", "nanx100"), "stop file 90 bars of 100 mm measured as nan x 100 mm"),
    (("log", "FILE", "001"), "stop file 90 nothing is said to be measured on '001'"),
    (("log", "FILE", "001", "3 kg"), "stop file 90 expected a length, a drop or a current"),
    (("log", "FILE", "999", "1V"), "stop paper 3 wire 999 was measured, but the schedule has no such wire"),
    (("log", "FILE", "--csv", "none.csv"), "stop file 90 'none.csv' can't be read: no such file"),
    (("arrange", "FILE", "--keep", "lamp", "--effort", "quick"), "stop fit 7 'lamp' is to be kept"),
]
"""What was typed, and what has to be said about it."""


@pytest.mark.parametrize(("typed", "said"), MISTAKES, ids=lambda value: " ".join(value) if len(value) < 8 else None)
def test_mistakes_on_the_command_line(wall: Built, tmp_path: Path, typed: tuple[str, ...], said: str) -> None:
    """A mistake is named, ends with 2 (1 where it is about the design), and neither project nor register changes."""
    file = wall.copy(tmp_path / "wall")
    before = {one.name: one.read_bytes() for one in file.parent.iterdir()}
    ran = spile(*(file if word == "FILE" else word for word in typed))
    assert ran.code == (1 if "fit 7" in said else 2)
    assert said in " ".join(ran.err.split())
    assert "Traceback" not in ran.err
    assert {one.name: one.read_bytes() for one in file.parent.iterdir()} == before


@pytest.mark.parametrize("command", [("arrange",), ("fits", "30x30")], ids=lambda one: one[0])
def test_nothing_to_place_is_code_2(tmp_path: Path, command: tuple[str, ...]) -> None:
    """Without panels and devices there is nothing to arrange, which is said, and nothing is remembered."""
    file = tmp_path / "panel.yaml"
    file.write_text("spile: 2\nproject: {name: Nothing yet}\n", encoding="utf-8")
    ran = spile(*words(command, file, "--json"))
    assert (ran.code, ran.rules) == (2, ["file 90"])
    assert [one.name for one in tmp_path.iterdir()] == ["panel.yaml"]


def test_errors_in_the_design_are_code_1(wall: Built, tmp_path: Path) -> None:
    """A project that reads well and has an error is code 1, and still gives what can be given."""
    file = wall.copy(tmp_path / "wall")
    text = file.read_text(encoding="utf-8").replace("load: 6 A", "load: {}")
    file.write_text(text, encoding="utf-8")
    ran = spile("build", file, "--out", tmp_path / "out", "--json")
    assert ran.code == ran.data["exit"] == 1
    assert "wire 1" in ran.rules
    assert (tmp_path / "out" / "csv" / "schedule.csv").exists()
    assert "radio" in (tmp_path / "out" / "csv" / "still-to-find-out.csv").read_text(encoding="utf-8")


@pytest.mark.parametrize("command", ["build", "arrange", "template", "schedule"])
def test_folder_that_is_a_file_is_code_2(wall: Built, tmp_path: Path, command: str) -> None:
    """Documents can't go where a file is; that is said before any work, and the register stays."""
    file = wall.copy(tmp_path / "wall")
    before = file.with_name("workshop_wall.register.yaml").read_bytes()
    (tmp_path / "out").write_text("", encoding="utf-8")
    more = ("--alternatives", "2") if command == "arrange" else ()
    ran = spile(command, file, *more, "--out", tmp_path / "out" / "deeper", "--json")
    assert (ran.code, ran.rules) == (2, ["file 92"])
    assert file.with_name("workshop_wall.register.yaml").read_bytes() == before


@pytest.mark.parametrize("command", [("check",), ("schedule",), ("rules",), ("fits", "20x20")], ids=lambda one: one[0])
def test_json_is_one_object_and_nothing_else(wall: Built, tmp_path: Path, command: tuple[str, ...]) -> None:
    """With --json standard output is one object with the exit code and the findings; standard error is empty."""
    file = wall.copy(tmp_path / "wall")
    more = ("--out", tmp_path / "out") if command[0] == "schedule" else ()
    ran = spile(*words(command, file, *more, "--json"))
    assert json.loads(ran.out)["exit"] == ran.code == 0
    assert isinstance(ran.data["findings"], list)
    assert ran.err == ""


def test_terminal_that_lacks_a_sign_is_no_failure(wall: Built, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where standard output knows ASCII only, text comes with escapes and JSON stays JSON."""
    monkeypatch.setenv("PYTHONIOENCODING", "ascii")
    plain = python("-m", "layout", "rules", wall.file)
    assert plain.code == 0, plain.err
    ran = python("-m", "layout", "check", wall.file, "--json")
    assert ran.code == 0, ran.err
    assert ran.out.isascii()
    assert any("\N{SUPERSCRIPT TWO}" in finding["message"] for finding in ran.data["findings"])


@pytest.mark.parametrize("command", [("check",), ("schedule",), ("rules",), ("fits", "20x20")], ids=lambda one: one[0])
def test_quiet_says_findings_only(wall: Built, tmp_path: Path, command: tuple[str, ...]) -> None:
    """With --quiet standard output is empty and standard error has the findings."""
    file = wall.copy(tmp_path / "wall")
    more = ("--out", tmp_path / "out") if command[0] == "schedule" else ()
    loud = spile(*words(command, file, *more))
    quiet = spile(*words(command, file, *more, "--quiet"))
    assert loud.out
    assert quiet.out == ""
    assert quiet.err == loud.err
