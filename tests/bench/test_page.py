"""The page in a browser: drag with the judge answering, keys, wires, no error and no request elsewhere."""

from __future__ import annotations

import json
import time
import urllib.request
from typing import TYPE_CHECKING, Any

import pytest

from layout.project.register import load, register_path
from tests.bench.serving import a_browser, needs_chromium, served, shown
from tests.bench.test_server import SPOTS, WALL, chosen

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, Page

pytestmark = needs_chromium


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Return Debian's browser, started once."""
    with a_browser() as started:
        yield started


@pytest.fixture
def page(browser: Browser, wall: Path) -> Iterator[Page]:
    """Return the page of the wall, once it was opened with its own policy and nothing was said against that."""
    with served(wall) as address:
        with shown(browser, address, bypass_csp=False):
            pass
        with shown(browser, address) as opened:
            yield opened


def drag(page: Page, device: str, dx: float, dy: float, *, let_go: bool = True) -> None:
    """Pull a device by some pixels."""
    box = page.locator(f"[data-device={device}] .face").bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    for step in range(1, 6):
        page.mouse.move(x + dx * step / 5, y + dy * step / 5)
    if let_go:
        page.mouse.up()


def test_drag_is_judged_on_the_way_and_written_at_the_end(page: Page, wall: Path) -> None:
    """Over another device the rules speak; let go beside it, the register has the new place, snapped."""
    gauge = page.locator("[data-device=gauge] .face").bounding_box()
    here = page.locator("[data-device=clock] .face").bounding_box()
    assert gauge is not None
    assert here is not None
    drag(page, "clock", gauge["x"] - here["x"], 0, let_go=False)
    page.wait_for_function("document.querySelector('[data-device=clock]').classList.contains('stop')")
    assert "Gauge" in page.locator("#findings").inner_text()
    page.mouse.up()
    page.wait_for_function("document.querySelector('#kept').textContent.includes('Not kept')")
    assert chosen(wall, "clock") == SPOTS["clock"]
    page.get_by_role("button", name="Put everything back").click()
    page.wait_for_function("document.querySelector('#kept').textContent === ''")
    drag(page, "lamp", 0, 90)
    page.wait_for_function("document.querySelector('#undo').textContent.includes('move Lamp')")
    x, y = chosen(wall, "lamp")
    assert (x, y) != SPOTS["lamp"]
    assert x == SPOTS["lamp"][0]
    assert y % 5 == 0


def test_keys_alone_move_pin_and_take_back(page: Page, wall: Path) -> None:
    """No mouse: arrows by 1 and 10 mm, p pins, Ctrl-Z takes back."""
    page.locator("[data-device=lamp]").focus()
    page.keyboard.press("ArrowUp")
    page.wait_for_function("document.querySelector('#undo').textContent.includes('move Lamp')")
    page.keyboard.press("Shift+ArrowUp")
    page.wait_for_function("document.querySelector('[data-device=lamp]').getAttribute('aria-label').includes('Y 161')")
    assert chosen(wall, "lamp") == (330.0, 161.0)
    page.keyboard.press("p")
    page.wait_for_function("document.querySelector('#undo').textContent.includes('pin Lamp')")
    assert "pin" in wall.read_text(encoding="utf-8")
    for label in ("Y 161", "Y 151", "Y 150"):
        page.keyboard.press("Control+z")
        page.wait_for_selector(f"[data-device=lamp][aria-label$='{label}']", state="attached")
    assert wall.read_text(encoding="utf-8") == WALL
    assert chosen(wall, "lamp") == SPOTS["lamp"]


def test_a_file_changed_on_disk_shows_at_once(page: Page, wall: Path) -> None:
    """An editor beside the page; what it writes is drawn without being asked for."""
    wall.write_text(WALL.replace("name: Gauge", "name: Other gauge"), encoding="utf-8")
    page.wait_for_function(
        "document.querySelector('[data-device=gauge]').getAttribute('aria-label').includes('Other gauge')"
    )


def test_a_file_that_turns_bad_is_told_and_what_was_read_stays(page: Page, wall: Path) -> None:
    """Half a line saved in an editor: the page says where, keeps its picture, and follows once it is mended."""
    wall.write_text(WALL + "nonsense: [\n", encoding="utf-8")
    page.wait_for_selector("#said:not([hidden])")
    assert "Not read as it is now" in page.locator("#said").inner_text()
    assert page.locator("[data-device=gauge]").count() == 1
    wall.write_text(WALL.replace("name: Gauge", "name: Mended gauge"), encoding="utf-8")
    page.wait_for_selector("[data-device=gauge][aria-label^='Mended gauge']", state="attached")


def test_placing_from_the_page_gives_proposals_to_choose(page: Page, wall: Path) -> None:
    """It goes on beside the page, which stays usable; a proposal taken is in the register."""
    page.locator("#solve").click()
    page.wait_for_selector("#proposals button", timeout=60_000)
    page.locator("#proposals button").first.click()
    page.wait_for_function("document.querySelector('#undo').textContent.includes('choose 1')")
    register, _ = load(register_path(wall))
    assert register is not None
    assert register.arrangement is not None
    assert register.proposals
    assert register.arrangement.placed == register.proposals[0].placed


def test_one_placing_at_a_time_and_none_once_the_page_is_closed(browser: Browser, wall: Path) -> None:
    """The second waits for the first; when nobody looks any more the first is stopped and the second never begins."""
    with served(wall) as address:
        with shown(browser, address) as page:
            page.locator("#effort").select_option("thorough")
            page.locator("#many").select_option("6")
            page.locator("#solve").click()
            page.wait_for_selector("#stop:not([hidden])")
            page.locator("#solve").click()
            page.wait_for_function("document.querySelector('#solving').textContent.includes('1 more after it')")
            assert state(address)["solving"]["waiting"] == 1
        while not (told := state(address))["solving"]["ended"]:
            time.sleep(0.05)
        assert told["solving"]["waiting"] == 0


def test_the_bench_ends_while_a_page_listens(browser: Browser, wall: Path) -> None:
    """Ctrl-C lets the pages go that are still open, without a complaint."""
    with served(wall) as address:
        page = browser.new_page()
        page.goto(address)
        page.wait_for_selector("[data-device]", state="attached")
    page.close()


def state(address: str) -> dict[str, Any]:
    """Return what the bench says to somebody who only asks."""
    with urllib.request.urlopen(f"{address}api/state") as answer:
        return dict(json.load(answer))
