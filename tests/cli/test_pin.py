"""``spile pin``: a position by hand, written into the project file without touching the rest of it."""

from __future__ import annotations

import difflib
from typing import TYPE_CHECKING

from tests.running import spile

if TYPE_CHECKING:
    from pathlib import Path

    from tests.conftest import Built


def added(before: str, after: str) -> list[str]:
    """Return the lines that are new, after checking that none is gone."""
    lines = [line for line in difflib.ndiff(before.splitlines(), after.splitlines()) if line[0] in "+-"]
    assert not [line for line in lines if line[0] == "-"]
    return [line[2:].strip() for line in lines]


def test_pin_where_it_stands_and_free_again(wall: Built, tmp_path: Path) -> None:
    """A pin without a position takes the chosen one; taking it away gives back the file, byte for byte."""
    file = wall.copy(tmp_path / "wall")
    before = file.read_text(encoding="utf-8")
    ran = spile("pin", file, "radio", "--json")
    assert ran.code == 0
    assert ran.data["files"] == [str(file)]
    (line,) = added(before, file.read_text(encoding="utf-8"))
    assert line.startswith("pin: {panel: wall, x: ")
    assert spile("check", file).code == 0
    assert spile("pin", file, "radio", "--free").code == 0
    assert file.read_text(encoding="utf-8") == before


def test_pin_at_a_place(wall: Built, tmp_path: Path) -> None:
    """A given position is written as given, and a chosen arrangement that differs is found."""
    file = wall.copy(tmp_path / "wall")
    before = file.read_text(encoding="utf-8")
    assert spile("pin", file, "usb", "--x", "400", "--y", "150.5").code == 0
    assert added(before, file.read_text(encoding="utf-8")) == ["pin: {x: 400, y: 150.5}"]
    ran = spile("check", file, "--json")
    assert ran.code == 1
    assert {"panel 34", "fit 8"} <= set(ran.rules)


def test_pin_off_the_panel_is_not_written(wall: Built, tmp_path: Path) -> None:
    """A pin beside the panel can't be meant: it is said how far off it is, and the file stays as it was."""
    file = wall.copy(tmp_path / "wall")
    before = file.read_bytes()
    ran = spile("pin", file, "usb", "--x", "4000", "--y", "150")
    assert ran.code == 2
    assert "Charging socket stands 3559 mm out of Wall panel" in ran.err
    assert file.read_bytes() == before


def test_entry_that_can_not_be_patched_is_left_to_a_person(wall: Built, tmp_path: Path) -> None:
    """A device written as an alias can't be changed alone; the file is left as it is and the finding says so."""
    file = wall.copy(tmp_path / "wall")
    text = file.read_text(encoding="utf-8")
    entry = "  usb:\n    name: Charging socket\n    panel"
    text = text.replace(entry, entry.replace("usb:", "usb: &usb"), 1)
    text = text.replace("\nrules:", "\n  second: *usb\n\nrules:", 1)
    file.write_text(text, encoding="utf-8")
    ran = spile("pin", file, "second", "--x", "60", "--y", "200", "--json")
    assert (ran.code, ran.rules) == (2, ["file 93"])
    assert file.read_text(encoding="utf-8") == text
