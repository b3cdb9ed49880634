"""Commands that write one kind of document."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pypdf
import pytest

from tests.conftest import EXAMPLES
from tests.running import spile

if TYPE_CHECKING:
    from pathlib import Path

    from tests.conftest import Built


def names(folder: Path) -> set[str]:
    """Return the names of the documents in a folder."""
    files = {file.relative_to(folder).as_posix() for file in folder.rglob("*") if file.is_file()}
    return files - {"contents.json"}


def test_template_writes_drawings_templates_and_machine_files(wall: Built, tmp_path: Path) -> None:
    """Only what concerns cutting is written, the same bytes as the build's."""
    file = wall.copy(tmp_path / "wall")
    assert spile("template", file, "--out", tmp_path / "out").code == 0
    written = names(tmp_path / "out")
    assert {"workshop.pdf", "drawings/wall-1.svg", "templates/wall-A4-front.pdf", "machine/wall.dxf"} <= written
    assert not any("schedule" in name for name in written)
    for name in written:
        assert (tmp_path / "out" / name).read_bytes() == (wall.out / name).read_bytes()


def test_template_undoes_the_printer(wall: Built, tmp_path: Path) -> None:
    """What the bars measured changes the template and is printed on it."""
    file = wall.copy(tmp_path / "wall")
    ran = spile("template", file, "--bars", "99.4x99.7mm", "--out", tmp_path / "out", "--json")
    assert (ran.code, "cut 20" in ran.rules) == (0, False)
    sheet = tmp_path / "out" / "templates" / "wall-A4-front.pdf"
    text = "".join(page.extract_text() for page in pypdf.PdfReader(sheet).pages)
    assert "100.604% across the sheet's short side, 100.301% along its long side" in text
    ran = spile("template", file, "--bars", "95x99", "--out", tmp_path / "out", "--json")
    assert (ran.code, "cut 20" in ran.rules) == (0, True)


def test_schedule_before_anything_is_placed(tmp_path: Path) -> None:
    """Without an arrangement the schedule comes with blanks, numbers are given, and the missing lengths are found."""
    file = tmp_path / "workshop_wall.yaml"
    file.write_bytes((EXAMPLES / file.name).read_bytes())
    ran = spile("schedule", file, "--out", tmp_path / "out", "--json")
    assert ran.code == 1
    assert "wire 2" in ran.rules
    assert "csv/schedule.csv" in names(tmp_path / "out")
    assert "numbers:" in (tmp_path / "workshop_wall.register.yaml").read_text(encoding="utf-8")


def test_printcheck_on_letter(tmp_path: Path) -> None:
    """The page has the size of the paper asked for."""
    ran = spile("printcheck", "--paper", "Letter", "--out", tmp_path, "--json")
    assert ran.code == 0
    page = pypdf.PdfReader(tmp_path / "printcheck-Letter.pdf").pages[0]
    assert float(page.mediabox.width) == pytest.approx(8.5 * 72, abs=0.01)
    assert float(page.mediabox.height) == pytest.approx(11 * 72, abs=0.01)


def test_overlay_of_one_device(wall: Built, tmp_path: Path) -> None:
    """One device's own template is one page that names it."""
    ran = spile("overlay", wall.copy(tmp_path / "wall"), "radio", "--out", tmp_path / "out", "--json")
    assert ran.code == 0
    (name,) = names(tmp_path / "out")
    assert "Radio with handset" in pypdf.PdfReader(tmp_path / "out" / name).pages[0].extract_text()


def test_rules_with_their_sources(wall: Built, tmp_path: Path) -> None:
    """Each limit has a value or a reason for none, who set it, why, and a source; the user's own say where."""
    limits = spile("rules", wall.copy(tmp_path / "wall"), "--json").data["limits"]
    assert {"faces-apart", "cut-outs-apart"} & {limit["rule"] for limit in limits}
    assert all(limit["why"] and limit["source"] for limit in limits)
    own = [limit for limit in limits if limit["at"]]
    assert any(limit["value_mm"] == 12 and limit["at"].startswith("workshop_wall.yaml:") for limit in own)
