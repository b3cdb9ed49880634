"""``spile log``: what was measured aboard comes back, is kept, and is compared."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from layout.project.register import load
from tests.running import spile

if TYPE_CHECKING:
    from pathlib import Path

    from tests.conftest import Built


@pytest.fixture
def number(wall: Built) -> str:
    """Return the number of the radio's wire."""
    register, _ = load(wall.register)
    assert register is not None
    return f"{register.numbers['circuits.radio']:03d}"


def test_values_are_kept_beside_the_project(wall: Built, tmp_path: Path, number: str) -> None:
    """Length, drop and amperes are kept, and a later value takes the place of an earlier one of its kind only."""
    file = wall.copy(tmp_path / "wall")
    wire = next(w for w in (f"{number}a", number) if spile("log", file, w, "0.01V", "6A").code != 2)
    kept = file.with_name("workshop_wall.measured.csv")
    assert kept.read_text(encoding="utf-8").splitlines()[1] == f"{wire},,6,0.01"
    ran = spile("log", file, wire, "1.5 m", "--json")
    assert ran.data["measured"] == 1
    assert kept.read_text(encoding="utf-8").splitlines()[1] == f"{wire},1.5,6,0.01"


def test_drop_over_the_limit_is_an_error(wall: Built, tmp_path: Path, number: str) -> None:
    """A drop that is over the limit at design current is code 1, in the words of the test sheet."""
    file = wall.copy(tmp_path / "wall")
    codes = [spile("log", file, wire, "2V", "6A", "--json") for wire in (f"{number}a", number)]
    ran = next(one for one in codes if one.code != 2)
    assert (ran.code, ran.rules) == (1, ["paper 6"])


def test_filled_test_sheet_comes_back(wall: Built, tmp_path: Path) -> None:
    """The CSV of the test sheet, filled in, is read as it is; a word where a number belongs is code 2, nothing kept."""
    file = wall.copy(tmp_path / "wall")
    sheet = (wall.out / "csv" / "tests.csv").read_text(encoding="utf-8-sig").splitlines()
    heads = sheet[0].split(",")
    cells = dict.fromkeys(heads, "") | {"wire": sheet[1].split(",")[heads.index("wire")], "measured_length_m": "1.2"}
    filled = tmp_path / "filled.csv"
    filled.write_text("\n".join([sheet[0], ",".join(cells[head] for head in heads)]), encoding="utf-8")
    ran = spile("log", file, "--csv", filled, "--json")
    assert ran.code in (0, 1)
    assert ran.data["measured"] == 1
    filled.write_text(filled.read_text(encoding="utf-8").replace("1.2", "long"), encoding="utf-8")
    kept = file.with_name("workshop_wall.measured.csv").read_bytes()
    ran = spile("log", file, "--csv", filled, "--json")
    assert (ran.code, ran.rules) == (2, ["paper 4"])
    assert file.with_name("workshop_wall.measured.csv").read_bytes() == kept


def test_nothing_measured_is_fine(wall: Built, tmp_path: Path) -> None:
    """Without values the command compares what is there: nothing."""
    ran = spile("log", wall.copy(tmp_path / "wall"), "--json")
    assert (ran.code, ran.data["measured"]) == (0, 0)
