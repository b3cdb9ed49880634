"""Wrong files: each gets exactly the message it must get, and every code of the reader has at least one."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from layout.findings import area, as_lines, code_order, rules
from layout.project import register
from layout.project.reading.include import MOST_FILES
from layout.project.reading.read import USABLE_FROM, read
from layout.project.reading.source import MOST_BYTES

if TYPE_CHECKING:
    from collections.abc import Callable

    from layout.findings import Finding

BAD = Path(__file__).parent / "bad"
WRONG = sorted(BAD.glob("*.yaml"))
HEAD = "spile: 2\nproject: {name: Wrong}\n"


@pytest.mark.parametrize("path", WRONG, ids=lambda path: path.stem)
def test_wrong_file_gets_its_message(path: Path) -> None:
    """A wrong file is reported with place, expected and found value and remedy, as written beside it."""
    expected = path.with_suffix(".txt").read_text(encoding="utf-8").splitlines()
    assert as_lines(read(path).findings) == expected


def test_there_are_enough_wrong_files() -> None:
    """At least 60 wrong files are tried, and none reads as fine."""
    assert len(WRONG) >= 60
    assert all(path.with_suffix(".txt").read_text(encoding="utf-8").strip() for path in WRONG)


def missing_file(folder: Path) -> tuple[Finding, ...]:
    """Read a file that is not there."""
    return read(folder / "panel.yaml").findings


def folder_for_file(folder: Path) -> tuple[Finding, ...]:
    """Read a folder."""
    (folder / "panel.yaml").mkdir()
    return read(folder / "panel.yaml").findings


def ten_megabytes(folder: Path) -> tuple[Finding, ...]:
    """Read a file of 10 MB."""
    (folder / "panel.yaml").write_bytes(b"# filler\n" * 1_200_000)
    return read(folder / "panel.yaml").findings


def link_out_of_the_folder(folder: Path) -> tuple[Finding, ...]:
    """Include a link that leads out of the project's folder."""
    inner = folder / "inner"
    inner.mkdir()
    (folder / "secret.yaml").write_text("boat: {hull: grp}\n")
    (inner / "shelf.yaml").symlink_to(folder / "secret.yaml")
    (inner / "panel.yaml").write_text(HEAD + "include: [shelf.yaml]\n")
    return read(inner / "panel.yaml").findings


def very_many_files(folder: Path) -> tuple[Finding, ...]:
    """Include one file more than there may be."""
    names = [f"part{number}.yaml" for number in range(MOST_FILES)]
    for number, name in enumerate(names):
        (folder / name).write_text(f"locations: {{place{number}: {{}}}}\n")
    (folder / "panel.yaml").write_text(HEAD + f"include: [{', '.join(names)}]\n")
    return read(folder / "panel.yaml").findings


def damaged_register(folder: Path) -> tuple[Finding, ...]:
    """Load a register that somebody cut short."""
    (folder / "panel.register.yaml").write_text("spile_register: 1\nnumbers: {circuits.lamp: one\n")
    return register.load(folder / "panel.register.yaml")[1]


def newer_register(folder: Path) -> tuple[Finding, ...]:
    """Load the register of a newer program."""
    (folder / "panel.register.yaml").write_text("spile_register: 9\nwonders: many\n")
    return register.load(folder / "panel.register.yaml")[1]


def unwritable_register(folder: Path) -> tuple[Finding, ...]:
    """Save a register into a folder that is not there."""
    return register.save(folder / "gone" / "panel.register.yaml", register.Register(numbers={"circuits.lamp": 1}))


def register_written_meanwhile(folder: Path) -> tuple[Finding, ...]:
    """Save a register that was made from another one than stands there now."""
    path, known = folder / "panel.register.yaml", register.Register()
    register.save(path, register.Register(numbers={"circuits.lamp": 1}), known=known)
    return register.save(path, register.Register(numbers={"circuits.pump": 1}), known=known)


MADE: dict[Callable[[Path], tuple[Finding, ...]], tuple[str, str]] = {
    missing_file: ("file 1", "there is no file 'panel.yaml'"),
    folder_for_file: ("file 2", "'panel.yaml' is no file"),
    ten_megabytes: ("file 3", f"'panel.yaml' is larger than {MOST_BYTES / 1e6:g} MB, the most that is read"),
    link_out_of_the_folder: ("file 21", "'shelf.yaml' lies outside the project's folder"),
    very_many_files: ("file 23", f"more than {MOST_FILES} files in one project"),
    damaged_register: (
        "file 80",
        "the register 'panel.register.yaml' is damaged: a table in { } without a comma or the closing brace",
    ),
    newer_register: ("file 81", "the register 'panel.register.yaml' has version 9; this program knows up to 2"),
    unwritable_register: (
        "file 82",
        "the register 'panel.register.yaml' can't be written: no such file or directory",
    ),
    register_written_meanwhile: (
        "file 83",
        "another command has written the register 'panel.register.yaml' since this one read it; nothing is written",
    ),
}
"""Wrong input that can't be kept as a small file, with the code and message it must get."""


@pytest.mark.parametrize("make", MADE, ids=lambda make: make.__name__)
def test_wrong_input_gets_its_message(make: Callable[[Path], tuple[Finding, ...]], tmp_path: Path) -> None:
    """Wrong input that is made on the spot gets exactly its one message."""
    assert [(finding.rule, finding.message) for finding in make(tmp_path)] == [MADE[make]]


def test_every_code_has_a_wrong_file() -> None:
    """Each code of the reader's table of rules is reported for at least one wrong file or made input."""
    tried = {finding.rule for path in WRONG for finding in read(path).findings} | {code for code, _ in MADE.values()}
    of_commands, of_repair = "file 90", "file 84"  # what repair says has its own tests
    asked = {code for code in rules() if area(code) == "file" and code_order(code) < code_order(of_commands)}
    assert asked - {of_repair} == tried


def test_unusable_input_leaves_no_project() -> None:
    """A project comes out exactly where every fault is one that can be worked with."""
    for path in WRONG:
        reading = read(path)
        usable = all(code_order(finding.rule) >= code_order(USABLE_FROM) for finding in reading.findings)
        assert (reading.project is not None) == usable, path.stem


def test_every_finding_can_be_shown() -> None:
    """Each message of a wrong file is one line, names its file, and points at a line that the file has."""
    for path in WRONG:
        reading = read(path)
        for finding in reading.findings:
            assert "\n" not in finding.message
            assert finding.at.file
            if finding.at.file in reading.sources:
                assert finding.at.line <= len(reading.sources[finding.at.file].splitlines()) + 1
