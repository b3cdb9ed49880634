"""A panel whose sizes came from pictures only: traced, written down, built to template and laid over the truth."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from typing import TYPE_CHECKING

import cv2
import ezdxf
import numpy as np
import pypdf
import pytest
import yaml
from ezdxf.math import bulge_center
from PIL import Image

from layout.geometry.path import Arc, Line, Path
from layout.geometry.shapes import circle
from tests.running import Ran, spile
from tests.trace.paper import Scanner, scanned
from tests.trace.random_scenes import a_scene
from tests.trace.scene import Scene, Spoil, photographed
from tests.trace.truth import SHAPES, deviation_mm

if TYPE_CHECKING:
    from pathlib import Path as FilePath

FOCAL_35, DIAGONAL_35_MM = 0xA405, 43.27


def stored(file: FilePath, image: np.ndarray, focal_px: float) -> None:
    """Store a photograph as a telephone does, with its focal length (EXIF, on full frame)."""
    picture = Image.fromarray(cv2.cvtColor(image, cv2.COLOR_BGR2RGB))
    exif = picture.getexif()
    exif.get_ifd(0x8769)[FOCAL_35] = round(focal_px / float(np.hypot(*picture.size)) * DIAGONAL_35_MM)
    picture.save(file, quality=92, exif=exif)


@dataclass(frozen=True, slots=True)
class Board:
    """A made-up panel, photographed and traced from the command line; ``folder`` holds what was written."""

    scene: Scene
    folder: FilePath
    ran: Ran


@pytest.fixture(scope="module")
def board(tmp_path_factory: pytest.TempPathFactory) -> Board:
    """Photograph and trace a panel."""
    folder = tmp_path_factory.mktemp("board")
    scene = a_scene(np.random.default_rng(9), width=1800)
    image = photographed(scene, scene.cameras[0], Spoil(), np.random.default_rng(9))
    stored(folder / "board.jpg", image, scene.cameras[0].focal_px)
    asked = ("--what", "outline", "--above", f"{scene.thick_mm:.1f} mm", "--tape", f"1-2={scene.distance_mm(1, 2):.1f}")
    ran = spile("trace", folder / "board.jpg", *asked, "--beside", folder / "panel.yaml", "--out", folder, "--json")
    return Board(scene, folder, ran)


def cut_paths(file: FilePath) -> list[Path]:
    """Return what a machine would cut, read from the DXF by another library than the one under test."""
    space = ezdxf.readfile(file).modelspace()
    rounds = space.query('CIRCLE[layer=="cut"]')
    paths = [circle(2 * one.dxf.radius, at=(one.dxf.center.x, one.dxf.center.y)) for one in rounds]
    for line in space.query('LWPOLYLINE[layer=="cut"]'):
        points = [(x, y, bulge) for x, y, bulge in line.get_points("xyb")]
        pieces = []
        for (xa, ya, bulge), (xb, yb, _) in zip(points, points[1:] + points[:1], strict=True):
            start, end = (xa, ya), (xb, yb)
            if bulge:
                centre = bulge_center(start, end, bulge)
                pieces.append(Arc(start, end, (centre.x, centre.y), bulge > 0))
            elif np.hypot(xb - xa, yb - ya) > 1e-6:
                pieces.append(Line(start, end))
        paths.append(Path(tuple(pieces), closed=True))
    return sorted(paths, key=lambda path: -abs(path.area()))


def test_pictures_become_a_panel_that_lies_on_the_truth(board: Board) -> None:
    """Photograph and scan, through the command line, the project file and the machine file, within what was stated."""
    assert board.ran.code == 0, board.ran.out
    folder, template = board.folder, scanned(SHAPES["gauge"], Scanner(across=1.001), np.random.default_rng(2))
    cv2.imwrite(str(folder / "gauge.png"), template)
    asked = ("--what", "cutout", "--across", "85", "--up", "85")
    cutout = spile("trace", folder / "gauge.png", *asked, "--out", folder, "--json")
    read = [yaml.safe_load((folder / f"{name}.traced.yaml").read_text("utf-8")) for name in ("board", "gauge")]
    assert [one["size_from"] for one in read] == ["traced", "traced"]
    project = folder / "panel.yaml"
    gauge = {"panel": "board", "face": {"circle": 100}, "behind": {"shape": {"circle": 84}, "depth": 60}}
    head = {"name": "Board from pictures", "number": "T-1", "revision": "A", "date": "2026-11-27", "example": True}
    panel = {"thickness": round(board.scene.thick_mm, 1), "material": "plywood", "depth": 110}
    whole = {
        "spile": 2, "project": head, "panels": {"board": panel | read[0]}, "devices": {"gauge": gauge | read[1]},
    }  # fmt: skip
    project.write_text(yaml.safe_dump(whole), "utf-8")
    assert spile("arrange", project, "--effort", "quick", "--quiet").code == 0
    sure = spile("template", project, "--out", folder / "built", "--json")
    assert (sure.code, "cut 3" in sure.rules) == (0, False)
    outline, hole = cut_paths(folder / "built/machine/board.dxf")
    assert deviation_mm(outline, board.scene.path) < board.ran.data["traced"][0]["uncertainty_mm"]
    assert deviation_mm(hole, SHAPES["gauge"]) < cutout.data["traced"][0]["uncertainty_mm"]
    said = "".join(page.extract_text() for page in pypdf.PdfReader(folder / "built/workshop.pdf").pages)
    assert "traced from a picture" in said


def test_guessed_outline_is_a_finding(tmp_path: FilePath) -> None:
    """An outline that nobody measured is said to be not for cutting; the same one traced is not (test above)."""
    text = """
        spile: 2
        project: {name: Guessed}
        panels: {board: {outline: {rect: [300, 200]}, size_from: guessed, thickness: 9, material: plywood, depth: 90}}
        devices:
          gauge: {panel: board, face: {circle: 100}, cutout: {circle: 85}, size_from: measured,
                  behind: {shape: {circle: 84}, depth: 60}}
    """
    project = tmp_path / "panel.yaml"
    project.write_text(textwrap.dedent(text), "utf-8")
    assert spile("arrange", project, "--effort", "quick", "--quiet").code == 0
    ran = spile("template", project, "--out", tmp_path, "--json")
    assert [f["message"] for f in ran.data["findings"] if f["rule"] == "cut 3"] == [
        "the outline of board is guessed; DO NOT CUT it"
    ]


def test_underlay_lies_where_it_says(board: Board) -> None:
    """The corrected photograph stands beside the project; inside the outline is the bright face, outside the ground."""
    where = yaml.safe_load((board.folder / "board.underlay.yaml").read_text("utf-8"))
    picture = cv2.imread(str(board.folder / "board.underlay.jpg"), cv2.IMREAD_GRAYSCALE)
    box = board.scene.path.bounds()

    def bright(x: float, y: float) -> int:
        column = round((x - where["lower_left"][0]) / where["mm_per_pixel"])
        row = picture.shape[0] - round((y - where["lower_left"][1]) / where["mm_per_pixel"])
        return int(picture[row, column])

    assert bright(box.width / 2, box.height / 2) > bright(-20, -20) + 30
    assert (board.folder / "board.overlay.png").read_bytes()[:4] == b"\x89PNG"
