"""A damaged register: what is sound comes back, nothing is invented, and what is lost is said."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.project.register import Register, backup_path, load, register_path, render, save
from layout.project.repair import repair
from tests.project.test_register import ARRANGEMENT, FULL
from tests.running import spile

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Return where a register lies that was saved twice: the last good copy knows two numbers fewer."""
    path = register_path(tmp_path / "boat.yaml")
    save(path, Register(numbers={"circuits.lamp": 1, "circuits.lamp:": 1}, arrangement=ARRANGEMENT))
    save(path, FULL)
    assert backup_path(path).exists()
    return path


def test_a_whole_register_is_left_alone(path: Path) -> None:
    """Nothing to do, nothing done."""
    before = path.read_bytes()
    done = repair(path)
    assert (done.register, done.findings, done.damaged) == (None, (), None)
    assert path.read_bytes() == before


def test_only_the_seal_is_gone(path: Path) -> None:
    """All that was in it comes back; numbers that the good copy lacks are told as doubtful."""
    raw = path.read_text(encoding="utf-8").rsplit("sealed:", 1)[0]
    path.write_text(raw, encoding="utf-8")
    done = repair(path)
    assert load(path) == (FULL, ())
    assert [one.rule for one in done.findings] == ["file 84"]
    assert "2 numbers stood in the damaged file alone" in done.findings[0].message
    assert done.damaged is not None
    assert done.damaged.read_text(encoding="utf-8") == raw


def test_cut_before_its_numbers(path: Path) -> None:
    """Numbers come from the last good copy; the arrangement from the file."""
    path.write_text(path.read_text(encoding="utf-8").split("numbers:")[0], encoding="utf-8")
    done = repair(path)
    assert done.register is not None
    assert dict(done.register.numbers) == {"circuits.lamp": 1, "circuits.lamp:": 1}
    assert done.register.arrangement == ARRANGEMENT


def test_a_number_that_was_changed_does_not_win(path: Path) -> None:
    """What the sealed copy says holds, and the other is named."""
    path.write_text(path.read_text(encoding="utf-8").replace("circuits.lamp: 1", "circuits.lamp: 7"), encoding="utf-8")
    done = repair(path)
    assert done.register is not None
    assert done.register.numbers["circuits.lamp"] == 1
    assert any("'circuits.lamp' had the number 7" in one.message for one in done.findings)


def test_one_bad_line_costs_one_line(path: Path) -> None:
    """The entries around it come back."""
    path.write_text(
        path.read_text(encoding="utf-8").replace("circuits.pump: 2", "circuits.pump: [two"), encoding="utf-8"
    )
    done = repair(path)
    assert done.register is not None
    assert done.register.numbers.keys() == FULL.numbers.keys() - {"circuits.pump"}
    assert any("1 line of 'numbers' can't be read" in one.message for one in done.findings)


def test_a_line_with_a_sign_that_no_text_has_is_lost(path: Path) -> None:
    """NUL, from a disk that lost a block, spoils its line and no other."""
    text = path.read_text(encoding="utf-8").replace("circuits.pump: 2", "circuits.pump: \0")
    path.write_text(text, encoding="utf-8")
    done = repair(path)
    assert done.register is not None
    assert done.register.numbers.keys() == FULL.numbers.keys() - {"circuits.pump"}


def test_without_a_copy_it_is_said_that_losses_are_unknown(path: Path) -> None:
    """A cut file with no copy may have held more than can be told."""
    backup_path(path).unlink()
    path.write_text(path.read_text(encoding="utf-8").split("retired:")[0], encoding="utf-8")
    assert any("can't be known" in one.message for one in repair(path).findings)


def test_a_newer_register_is_not_touched(path: Path) -> None:
    """What a newer program wrote is whole, only not for this one."""
    raw = path.read_text(encoding="utf-8").replace("spile_register: 2", "spile_register: 99")
    path.write_text(raw, encoding="utf-8")
    assert [one.rule for one in repair(path).findings] == ["file 81"]
    assert path.read_text(encoding="utf-8") == raw


@given(st.data())
def test_any_cut_or_change_gives_a_register_that_loads(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    """Wherever it is cut or overwritten, every number of the good copy is there afterwards, as it was."""
    path = register_path(tmp_path_factory.mktemp("repair") / "boat.yaml")
    good = Register(numbers={"circuits.lamp": 1, "circuits.pump": 2})
    backup_path(path).write_text(render(good), encoding="utf-8")
    text = render(FULL)
    at = data.draw(st.integers(0, len(text)))
    more = data.draw(st.text("{}[]:,-#&*!|>'\"%@`\t\n ~0aΩ", max_size=5))
    path.write_text(text[:at] + more + text[at + data.draw(st.integers(0, 500)) :], encoding="utf-8")
    repair(path)
    register, faults = load(path)
    assert faults == () or faults[0].rule == "file 81"
    if register is not None:
        assert {key: register.numbers.get(key) for key in good.numbers} == dict(good.numbers)


def test_the_command_says_what_it_did(path: Path) -> None:
    """It ends with 0, names the file it kept, and a second run has nothing to do."""
    path.write_text(path.read_text(encoding="utf-8")[:-30], encoding="utf-8")
    project = path.with_name("boat.yaml")
    ran = spile("repair", project)
    assert ran.code == 0
    assert "boat.register.damaged-1.yaml" in ran.out
    assert "watch  file 84" in ran.err
    assert "nothing to repair" in spile("repair", project).out
    assert spile("repair", path.with_name("none.yaml")).code == 2
