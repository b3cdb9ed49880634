"""``spile trace`` and ``spile printcheck --marks`` from the command line."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np
import pypdfium2
import pytest
import yaml

from layout.trace import needs
from layout.trace.marks import MARK_MM, all_marks, dictionary
from tests.running import spile
from tests.trace.paper import Scanner, scanned
from tests.trace.truth import SHAPES

if TYPE_CHECKING:
    from pathlib import Path


@pytest.mark.parametrize(("paper", "size"), [("A4", (210.0, 297.0)), ("Letter", (215.9, 279.4))])
def test_sheets_with_marks_are_true_to_size(tmp_path: Path, paper: str, size: tuple[float, float]) -> None:
    """Each page read back by another library shows its four marks where the table says, to a twentieth of a mm."""
    assert spile("printcheck", "--marks", "--paper", paper, "--out", tmp_path, "--json").code == 0
    document = pypdfium2.PdfDocument(tmp_path / f"marks-{paper}.pdf")
    px = 150 / 25.4
    found: dict[int, np.ndarray] = {}
    for page in document:
        drawn = np.ascontiguousarray(page.render(scale=150 / 72).to_numpy()[:, :, 0])
        settings = cv2.aruco.DetectorParameters()
        settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_CONTOUR
        corners, numbers, _ = cv2.aruco.ArucoDetector(dictionary(), settings).detectMarkers(drawn)
        assert len(numbers) == 4
        found |= {int(n): c[0] for n, c in zip(numbers.ravel(), corners, strict=True)}
    assert set(found) == set(all_marks())
    for number, corners in found.items():
        middle = corners.mean(axis=0) / px - np.array(size) / 2
        assert middle * [1, -1] == pytest.approx(all_marks()[number].middle, abs=0.15)
        assert np.hypot(*(corners[0] - corners[1])) / px == pytest.approx(MARK_MM, abs=0.3)


def test_scan_from_the_command_line(tmp_path: Path) -> None:
    """The lines for the project file are said and written, with what they are good for."""
    scan = scanned(SHAPES["gauge"], Scanner(), np.random.default_rng(7))
    cv2.imwrite(str(tmp_path / "gauge.png"), scan)
    words = ("trace", tmp_path / "gauge.png", "--what", "cutout", "--across", "85", "--up", "85 mm", "--out", tmp_path)
    assert "cutout: {circle: 85" in spile(*words).out
    ran = spile(*words, "--json")
    assert ran.code == 0
    assert ran.data["traced"][0]["for_cutting"] is True
    kept = yaml.safe_load((tmp_path / "gauge.traced.yaml").read_text(encoding="utf-8"))
    assert kept["size_from"] == "traced"
    assert kept["cutout_tolerance"]["plus"] >= ran.data["traced"][0]["uncertainty_mm"]


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--what", "shape"), "outline or cutout or no_go"),
        (("--what", "cutout", "--across", "wide"), "length like 12 mm"),
        (("--what", "cutout", "--across", "85", "--inside", "here"), "--inside 820,460"),
        (("--what", "cutout", "--tape", "1184"), "--tape 1-3=1184"),
        (("--what", "cutout", "--across", "85"), "can't be read"),
    ],
)
def test_wrong_answers_end_with_code_2(tmp_path: Path, options: tuple[str, ...], words: str) -> None:
    """Each says what to write instead; a picture that is not there as well."""
    ran = spile("trace", tmp_path / "none.jpg", *options, "--out", tmp_path)
    assert ran.code == 2
    assert words in " ".join(ran.err.split())


def test_unusable_picture_is_a_finding(tmp_path: Path) -> None:
    """A file that is no picture is told with the code of unusable pictures."""
    (tmp_path / "a.jpg").write_bytes(b"words, not light")
    ran = spile("trace", tmp_path / "a.jpg", "--what", "cutout", "--scan", "--out", tmp_path, "--json")
    assert (ran.code, ran.rules) == (2, ["file 94"])


def test_missing_libraries_are_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the extra the command says what to install, and nothing else fails."""
    monkeypatch.setitem(needs.LIBRARIES, "no_such_module", "such-a-package")
    for words in (("trace", tmp_path / "a.jpg"), ("printcheck", "--marks")):
        ran = spile(*words, "--out", tmp_path, "--json")
        assert (ran.code, ran.rules) == (2, ["file 95"])
        assert "such-a-package" in ran.data["findings"][0]["message"]
        assert "spile[trace]" in ran.data["findings"][0]["remedy"]
