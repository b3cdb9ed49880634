"""A photograph laid under a panel from the page: what is written, what is refused, and the dialog by mouse and keys."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from PIL import Image

from layout.project.reading.read import read
from tests.accessible import faults, needs_axe
from tests.bench.serving import a_browser, needs_chromium, served, shown
from tests.bench.test_server import WALL, do, put_wall

if TYPE_CHECKING:
    from pathlib import Path

    from starlette.testclient import TestClient

POINTS = [
    {"pixel": [100, 400], "at": [0, 0]}, {"pixel": [500, 400], "at": [400, 0]}, {"pixel": [100, 100], "at": [0, 300]},
]  # fmt: skip
LAY: dict[str, Any] = {"do": "photograph", "panel": "wall", "file": "photo.png", "points": POINTS}
REMARKED = WALL.replace(
    "  wall: {outline: {rect: [400, 300]}, thickness: 9, material: plywood, depth: 200}\n",
    """  wall:
    outline: {rect: [400, 300]}
    thickness: 9
    material: plywood
    depth: 200
    photograph:
      file: photo.png   # taken in winter
      points:
        - {pixel: [90, 400], at: [0, 0]}   # by the door
        - {pixel: [500, 400], at: [400, 0]}
        - {pixel: [100, 100], at: [0, 300]}   # under the shelf
""",
)


@pytest.fixture
def wall(tmp_path: Path) -> Path:
    """Return a project with two pictures beside it, and what is no picture of it."""
    path = put_wall(tmp_path)
    Image.new("RGB", (600, 500), "grey").save(tmp_path / "photo.png")
    Image.new("RGB", (300, 200), "white").save(tmp_path / "Other.JPG", "JPEG")
    (tmp_path / "broken.png").write_text("spile: 2", encoding="utf-8")
    (tmp_path / "notes.txt").write_text("none", encoding="utf-8")
    return path


def test_a_photograph_is_laid_and_taken_out(client: TestClient, wall: Path) -> None:
    """A pixel is a millimetre: its corner lies 100 mm left of the datum; undone, the file is as it was."""
    assert client.get("api/pictures").json() == {"names": ["Other.JPG", "broken.png", "photo.png"], "laid": {}}
    picture = client.get("api/picture/photo.png").json()
    assert picture["size"] == [600, 500]
    assert picture["href"].startswith("data:image/jpeg;base64,")
    (panel,) = do(client, **LAY)["panels"]
    assert panel["photograph"] == ["photo.png", 1.0, 0.0, 0.0, -1.0, -100.0, 400.0]
    assert client.get("api/pictures").json()["laid"] == {"wall": {"file": "photo.png", "points": POINTS}}
    assert "# keep this remark" in wall.read_text(encoding="utf-8")
    assert do(client, do="remove photograph", panel="wall")["panels"][0]["photograph"] is None
    do(client, do="undo")
    do(client, do="undo")
    assert wall.read_text(encoding="utf-8") == WALL


def test_remarks_within_it_stay(client: TestClient, wall: Path) -> None:
    """One mark moved: one figure is another, and every remark stands where it stood."""
    wall.write_text(REMARKED, encoding="utf-8")
    do(client, **LAY)
    assert wall.read_text(encoding="utf-8") == REMARKED.replace("[90, 400]", "[100, 400]")
    do(client, do="undo")
    assert wall.read_text(encoding="utf-8") == REMARKED


@pytest.mark.parametrize(
    ("asked", "why"),
    [
        ({"file": "notes.txt"}, "no picture 'notes.txt'"),
        ({"file": "../photo.png"}, "no picture"),
        ({"file": "broken.png"}, "can't be read as a picture"),
        ({"panel": "ceiling"}, "no panel 'ceiling'"),
        ({"points": POINTS[:2]}, "three spots"),
        ({"points": [*POINTS[:2], {"pixel": [100, 100], "at": [0, "300"]}]}, "at is to be a number"),
        ({"points": [*POINTS[:2], {"pixel": [100, 501], "at": [0, 300]}]}, "outside the picture"),
        ({"points": [*POINTS[:2], {"pixel": [300, 400], "at": [0, 300]}]}, "in a line"),
        ({"do": "remove photograph"}, "no photograph lies"),
    ],
)
def test_what_can_not_be_laid_is_refused(client: TestClient, wall: Path, asked: dict[str, Any], why: str) -> None:
    """No picture, no panel, no three spots of it, a line; the twin, a mark on the picture's very edge, is taken."""
    assert why in do(client, **{**LAY, **asked})["refused"]
    assert wall.read_text(encoding="utf-8") == WALL
    edge = [*POINTS[:2], {"pixel": [100, 500], "at": [0, 300]}]
    assert "refused" not in do(client, **{**LAY, "points": edge})


def test_no_other_file_is_given_out(client: TestClient, wall: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    """A link that leads out of the folder, a name that does, another host."""
    elsewhere = tmp_path_factory.mktemp("elsewhere") / "far.png"
    Image.new("RGB", (10, 10)).save(elsewhere)
    (wall.parent / "far.png").symlink_to(elsewhere)
    assert "outside the project's folder" in client.get("api/picture/far.png").json()["refused"]
    assert client.get(f"api/picture/%2e%2e/{elsewhere.parent.name}/far.png").status_code in (404, 409)
    assert client.get("api/pictures", headers={"Host": "elsewhere.example"}).status_code == 421


@needs_chromium
@needs_axe
def test_the_dialog_by_mouse_and_keys(wall: Path) -> None:
    """A mark dragged in the picture, one walked on the panel, one figure typed; the file has all three."""
    with a_browser() as browser, served(wall) as address, shown(browser, address) as page:
        page.locator("#lay").focus()
        page.keyboard.press("Enter")
        page.locator("#laying select").select_option("photo.png")
        page.wait_for_selector("[aria-label^='Mark 1 in the picture, 60 across, 450 down']")
        assert faults(page) == []
        box = page.locator("[data-mark='pixel 1'] circle").bounding_box()
        sheet = page.locator("#laying svg[aria-label=Picture]").bounding_box()
        assert box is not None
        assert sheet is not None
        scale = min(sheet["width"] / 600, sheet["height"] / 500)
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x - 100 * scale, y - 50 * scale, steps=4)
        page.mouse.up()
        page.locator("[data-mark='at 0']").focus()
        page.keyboard.press("ArrowRight")
        page.keyboard.press("Shift+ArrowUp")
        page.get_by_label("mark 3, Y mm").fill("290")
        page.get_by_label("mark 3, Y mm").press("Tab")
        page.get_by_role("button", name="Write it").click()
        page.wait_for_function("document.querySelector('#undo').textContent.includes('lay the photograph')")
        page.wait_for_selector("#paper image.photograph[href]", state="attached")
    project = read(wall).project
    assert project is not None
    laid = project.panels["wall"].photograph
    assert laid is not None
    first, second, third = laid.points
    assert (first.pixel, first.at) == ((60.0, 450.0), (1.0, 10.0))
    assert second.pixel == pytest.approx((440.0, 400.0), abs=4)
    assert (third.pixel, third.at) == ((60.0, 50.0), (0.0, 290.0))
