"""The panel on its photograph: laid where its three points say, upright, and without what a camera writes beside it."""

from __future__ import annotations

import base64
import io
import re
from typing import TYPE_CHECKING

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from PIL import Image

from layout.drawing.panel.page_photograph import matrix, photographs
from layout.project.model.panel import Photograph, PhotoPoint
from layout.project.reading.read import read
from tests.conftest import EXAMPLES
from tests.running import spile

if TYPE_CHECKING:
    from pathlib import Path

    from layout.project.model.project import Project
    from tests.conftest import Built

WALL = (EXAMPLES / "workshop_wall.yaml").read_text(encoding="utf-8")
CORNERS = ((100, 700), (1020, 700), (100, 100))
"""Pixels of the lower left, lower right and upper left corner of the wall's panel of 460 x 300 mm: 2 pixels a mm."""
PIXELS = st.tuples(st.integers(0, 4000), st.integers(0, 4000))


def written(file: str = "wall.jpg", pixels: tuple[tuple[int, int], ...] = CORNERS) -> str:
    """Return the wall's project with a photograph."""
    places = ((0, 0), (460, 0), (0, 300))
    points = ", ".join(f"{{pixel: {list(p)}, at: {list(at)}}}" for p, at in zip(pixels, places, strict=True))
    name = "    name: Wall panel\n"
    assert name in WALL
    return WALL.replace(name, f"{name}    photograph: {{file: '{file}', points: [{points}]}}\n")


def project(folder: Path, text: str) -> Project:
    """Return a project as it is read."""
    (folder / "wall.yaml").write_text(text, encoding="utf-8")
    made = read(folder / "wall.yaml").project
    assert made is not None
    return made


def picture(file: Path, *, turned: bool = False) -> None:
    """Write a picture of 1200 x 800, red at its upper left as it is seen, that says where it was taken."""
    image = Image.new("RGB", (1200, 800), (90, 90, 90))
    image.paste((250, 20, 20), (0, 0, 200, 200))
    notes = Image.Exif()
    notes[0x010E] = "TAKEN AT BERTH SEVEN"
    if turned:  # the camera lay on its side: stored turned, with the note to turn it back
        image = image.transpose(Image.Transpose.ROTATE_90)
        notes[0x0112] = 6
    image.save(file, exif=notes.tobytes())


@pytest.mark.parametrize("turned", [False, True])
def test_upright_and_nothing_but_the_picture(tmp_path: Path, turned: bool) -> None:
    """Pixels count in the picture as it is seen; what the camera wrote beside it does not go out."""
    picture(tmp_path / "wall.jpg", turned=turned)
    assert b"BERTH" in (tmp_path / "wall.jpg").read_bytes()
    made, findings = photographs(project(tmp_path, written()), tmp_path)
    assert findings == ()
    under = made["wall"]
    assert under.size == (1200, 800)
    raw = base64.b64decode(under.href.removeprefix("data:image/jpeg;base64,"))
    assert b"BERTH" not in raw
    assert b"Exif" not in raw
    shown = Image.open(io.BytesIO(raw))
    red, green, _ = shown.getpixel((50, 50))
    assert (red > 200, green < 80) == (True, True)


def test_a_pixel_by_hand() -> None:
    """Two pixels a millimetre: the middle of the three corners' rectangle is the middle of the panel."""
    places = ((0.0, 0.0), (460.0, 0.0), (0.0, 300.0))
    made = Photograph(
        file="x.jpg",
        points=tuple(PhotoPoint(pixel=p, at=at) for p, at in zip(CORNERS, places, strict=True)),  # type: ignore[arg-type]
    )
    a, b, c, d, e, f = matrix(made)
    assert (560 * a + 400 * c + e, 560 * b + 400 * d + f) == pytest.approx((230.0, 150.0))


@given(pixels=st.tuples(PIXELS, PIXELS, PIXELS), places=st.tuples(PIXELS, PIXELS, PIXELS))
def test_the_three_points_lie_where_they_are_said_to_lie(pixels, places) -> None:
    """Whatever triangle stands for whatever other, its corners fall on each other."""
    try:
        made = Photograph(
            file="x.jpg", points=tuple(PhotoPoint(pixel=p, at=at) for p, at in zip(pixels, places, strict=True))
        )
    except ValueError:
        assume(False)
    a, b, c, d, e, f = matrix(made)
    for (u, v), at in zip(pixels, places, strict=True):
        assert (a * u + c * v + e, b * u + d * v + f) == pytest.approx(at, abs=1e-6)


@pytest.mark.parametrize(("height", "refused"), [(45, True), (47, False)])
def test_points_in_a_line_are_refused_where_they_stand(tmp_path: Path, height: int, refused: bool) -> None:
    """A triangle lower than a twentieth of its longest side is none: 46 pixels for one 920 pixels long."""
    pixels = ((100, 700), (1020, 700), (560, 700 - height))
    (tmp_path / "wall.yaml").write_text(written(pixels=pixels), encoding="utf-8")
    said = [found for found in read(tmp_path / "wall.yaml").findings if "lie in a line" in found.message]
    assert bool(said) == refused
    assert all(found.at.line for found in said)


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("gone.jpg", "is not there"),
        ("../wall.jpg", "lies outside the project's folder"),
        ("/etc/passwd", "lies outside the project's folder"),
        ("workshop_wall.yaml", "can't be read as a picture"),
        ("cut.jpg", "can't be read as a picture"),
    ],
)
def test_what_is_no_picture_is_told_and_the_page_goes_out(wall: Built, tmp_path: Path, name: str, words: str) -> None:
    """A located finding that names the file; the panel is shown without a photograph."""
    wall.copy(tmp_path)
    picture(tmp_path / "whole.jpg")
    (tmp_path / "cut.jpg").write_bytes((tmp_path / "whole.jpg").read_bytes()[:700])
    (tmp_path / "workshop_wall.yaml").write_text(written(file=name), encoding="utf-8")
    ran = spile("report", tmp_path / "workshop_wall.yaml", "--out", tmp_path / "out", "--json")
    (told,) = [found for found in ran.data["findings"] if found["rule"] == "paper 11"]
    assert words in told["message"]
    assert told["at"]["line"] > 0
    assert "<image" not in (tmp_path / "out" / "report.html").read_text(encoding="utf-8")


def test_a_page_holds_the_photograph_and_a_switch_for_it(wall: Built, tmp_path: Path) -> None:
    """The picture lies under the panel at the place of its points: 1 px is half a millimetre of the panel."""
    wall.copy(tmp_path)
    picture(tmp_path / "wall.jpg")
    (tmp_path / "workshop_wall.yaml").write_text(written(), encoding="utf-8")
    ran = spile("report", tmp_path / "workshop_wall.yaml", "--out", tmp_path / "out", "--json")
    assert "paper 11" not in ran.rules
    page = (tmp_path / "out" / "report.html").read_text(encoding="utf-8")
    (image,) = re.findall(r"<image [^>]*>", page)
    numbers = re.search(r"matrix\(([^)]*)\)", image)
    assert numbers is not None
    a, b, c, d, *_ = map(float, numbers[1].split())
    assert (a, b, c, d) == pytest.approx((0.5 * 220 / 460, 0, 0, 0.5 * 220 / 460))
    assert page.count('type="checkbox"') == 1
