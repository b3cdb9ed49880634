"""In a browser: a zone is pulled open, a device put where it is lit to fit, and two sides are laid over each other."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from layout.project.reading.read import read
from tests.bench.serving import a_browser, needs_chromium, served, shown
from tests.bench.test_server import SPOTS, chosen, put_wall

if TYPE_CHECKING:
    from pathlib import Path

pytestmark = needs_chromium


def test_zones_places_and_sides(tmp_path: Path) -> None:
    """What is drawn stands in the file; a lit place is pressed and the register has it; the second side is dashed."""
    wall = put_wall(tmp_path)
    with a_browser() as browser, served(wall) as address, shown(browser, address) as page:
        page.locator("#zones").click()
        paper = page.locator("#paper").bounding_box()
        assert paper is not None
        x, y = paper["x"] + paper["width"] / 2, paper["y"] + paper["height"] * 0.9
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x + 80, y - 30, steps=3)
        page.mouse.up()
        page.keyboard.type("Batten")  # the name has the focus
        page.keyboard.press("Enter")
        page.wait_for_function("document.querySelector('#undo').textContent.includes('draw Batten')")
        project = read(wall).project
        assert project is not None
        size = project.panels["wall"].no_go["batten"].shape.rect
        assert size is not None
        assert size[0] / size[1] == pytest.approx(80 / 30, rel=0.05)  # both sides to the same scale
        page.get_by_role("button", name="Done").click()

        page.locator("[data-device=lamp]").focus()
        page.keyboard.press("Enter")
        page.get_by_role("button", name="Where would it fit?").click()
        page.wait_for_selector("path.spot")
        page.locator("path.spot").first.focus()
        page.keyboard.press("Enter")
        page.wait_for_function("document.querySelector('#undo').textContent.includes('place Lamp')")
        assert chosen(wall, "lamp") != SPOTS["lamp"]
        assert page.locator("path.spot").count() == 0

        page.get_by_role("button", name="Compare").click()
        page.get_by_role("button", name="Lay over each other").click()
        page.wait_for_selector("#pane path.second")
        assert "1 of 3 devices stand elsewhere" in page.locator("#pane figcaption").inner_text()
