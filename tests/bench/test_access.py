"""For every hand and eye: axe-core finds nothing in any light, a finger and the keys alone do the work."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from tests.accessible import faults, needs_axe
from tests.bench.serving import a_browser, needs_chromium, put_barge, served, shown
from tests.bench.test_server import SPOTS, chosen, put_wall
from tests.running import ROOT

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, Page

pytestmark = needs_chromium
TABLET = {"viewport": {"width": 820, "height": 1180}, "has_touch": True, "is_mobile": True}
PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Return Debian's browser, started once."""
    with a_browser() as started:
        yield started


@pytest.fixture(scope="module")
def barge_address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Return where the barge is on the bench, each device in the middle of its panel, so that much is wrong."""
    with served(put_barge(tmp_path_factory.mktemp("access"))) as address:
        yield address


@pytest.fixture(scope="module")
def wall_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the workshop wall."""
    return put_wall(tmp_path_factory.mktemp("wall"))


@pytest.fixture(scope="module")
def wall_address(wall_file: Path) -> Iterator[str]:
    """Return where it is on the bench."""
    with served(wall_file) as address:
        yield address


@needs_axe
def test_axe_core_finds_nothing(browser: Browser, barge_address: str) -> None:
    """No rule left out, in every light: a panel with a device chosen, the wires with one lit, the dialog, a phone."""
    with shown(browser, barge_address) as page:
        for light in ("day", "dark", "night"):
            page.locator("#light").select_option(light)
            page.locator("#sheets button").first.click()
            page.locator("[data-device]").first.focus()
            page.keyboard.press("Enter")
            page.wait_for_selector("#card h2")
            assert faults(page) == [], light
            page.get_by_role("button", name="Wires").click()
            if light == "day":
                page.locator("#wires td button").first.click()
            page.wait_for_selector("#wires tr.chosen")
            assert faults(page) == [], light
        page.locator("#more summary").click()
        page.wait_for_selector("#forms form")
        for name in ("Energy", "Network", "Compare"):
            page.get_by_role("button", name=name).click()
            page.wait_for_selector("#pane > *")
            assert faults(page) == [], name
        page.set_viewport_size({"width": 390, "height": 844})
        page.locator("#sheets button").first.click()
        page.locator("#zones").click()
        assert faults(page) == []
        page.locator("#true").click()
        assert faults(page) == []


def touch(page: Page, *ways: list[tuple[float, float]]) -> None:
    """Lay fingers down, draw each along its way, and lift them."""
    hand = page.context.new_cdp_session(page)
    for step in range(len(ways[0])):
        spots = [{"x": way[step][0], "y": way[step][1], "id": finger} for finger, way in enumerate(ways)]
        hand.send("Input.dispatchTouchEvent", {"type": "touchMove" if step else "touchStart", "touchPoints": spots})
    hand.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    hand.detach()


def tap(page: Page, selector: str) -> None:
    """Tap until it is a click; on a busy machine the browser takes a slow one for a long press."""
    page.evaluate("one => document.querySelector(one).addEventListener('click', () => window.tapped = true)", selector)
    page.evaluate("window.tapped = false")
    for _ in range(20):
        page.locator(selector).tap()
        if page.evaluate("new Promise(ask => setTimeout(() => ask(window.tapped), 200))"):
            return
    raise AssertionError(f"no tap on {selector} is a click")


def middle(page: Page, device: str) -> tuple[float, float]:
    """Return where a device's face is on the screen."""
    box = page.locator(f"[data-device={device}] .face").bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def test_a_finger_on_a_tablet_moves_a_device(browser: Browser, wall_address: str, wall_file: Path) -> None:
    """Drawn up it is written where it was let go; two fingers draw the panel nearer; two taps choose two devices."""
    with shown(browser, wall_address, **TABLET) as page:
        x, y = middle(page, "lamp")
        touch(page, [(x, y - step * 12) for step in range(6)])
        page.wait_for_function("document.querySelector('#undo').textContent.includes('move Lamp')")
        assert chosen(wall_file, "lamp")[0] == SPOTS["lamp"][0]
        assert chosen(wall_file, "lamp")[1] > SPOTS["lamp"][1] + 10
        tap(page, "#undo")
        page.wait_for_function("!document.querySelector('#undo').textContent.includes('move')")
        assert chosen(wall_file, "lamp") == SPOTS["lamp"]
        wide = page.locator("[data-device=lamp] .face").bounding_box()
        paper = page.locator("#paper").bounding_box()
        assert wide is not None
        assert paper is not None
        low = paper["y"] + paper["height"] - 20
        touch(page, [(300 - 10 * step, low) for step in range(6)], [(400 + 10 * step, low) for step in range(6)])
        page.wait_for_function(
            "wide => document.querySelector('[data-device=lamp] .face').getBoundingClientRect().width > 1.5 * wide",
            arg=wide["width"],
        )
        tap(page, "#fit")
        tap(page, "#several")
        page.touchscreen.tap(*middle(page, "clock"))
        page.touchscreen.tap(*middle(page, "gauge"))
        page.wait_for_function("document.querySelector('#card h2').textContent === '2 chosen'")


def test_a_phone_shows_the_whole_width(browser: Browser, wall_address: str) -> None:
    """Nothing is wider than the screen, and a device can be chosen by a tap."""
    with shown(browser, wall_address, **PHONE) as page:
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
        page.touchscreen.tap(*middle(page, "clock"))
        page.wait_for_selector("#card h2")


def tab_to(page: Page, selector: str) -> None:
    """Press Tab until that has the focus, as somebody without a mouse does."""
    for _ in range(80):
        page.keyboard.press("Tab")
        if page.evaluate("one => document.activeElement.matches(one)", selector):
            return
    raise AssertionError(f"no Tab leads to {selector}")


def test_the_keys_alone_are_enough(browser: Browser, wall_address: str, wall_file: Path) -> None:
    """From a fresh page by Tab, Enter, space and arrows: choose, move, align, pin, unpin; focus is never lost."""
    before = wall_file.read_text(encoding="utf-8")
    with shown(browser, wall_address) as page:
        tab_to(page, "[data-device=clock]")
        page.keyboard.press("ArrowDown")
        page.wait_for_function("document.querySelector('#undo').textContent.includes('move Clock')")
        assert chosen(wall_file, "clock") == (80.0, 149.0)
        assert page.evaluate("document.activeElement.dataset.device") == "clock"
        page.keyboard.press("t")
        page.wait_for_function("document.querySelector('#undo').textContent.includes('turn Clock')")
        tab_to(page, "#card button[title='key p']")
        page.keyboard.press("Enter")
        page.wait_for_function("document.querySelector('#undo').textContent.includes('pin Clock')")
        assert page.evaluate("document.activeElement.textContent") == "Unpin"
        page.keyboard.press("Enter")
        page.wait_for_function("document.querySelector('#undo').textContent.includes('unpin Clock')")
        tab_to(page, "#undo")  # round by way of the page's end
        for words in ("pin Clock", "turn Clock", "move Clock", ""):
            page.keyboard.press("Enter")
            page.wait_for_function(f"document.querySelector('#undo').title === '{words}'")
        tab_to(page, "[data-device=clock]")
        page.keyboard.press("Enter")
        tab_to(page, "[data-device=gauge]")
        page.keyboard.press("Shift+Enter")
        page.wait_for_function("document.querySelector('#card h2').textContent === '2 chosen'")
        for _ in range(12):
            page.keyboard.press("+")
        tab_to(page, "[data-device=lamp]")
        x, y = middle(page, "lamp")
        paper = page.locator("#paper").bounding_box()
        assert paper is not None
        assert paper["x"] < x < paper["x"] + paper["width"]
        assert paper["y"] < y < paper["y"] + paper["height"]
    assert wall_file.read_text(encoding="utf-8") == before
    assert chosen(wall_file, "clock") == SPOTS["clock"]


def ratio(ink: str, ground: str) -> float:
    """Return the contrast of two colours (WCAG 2.2, relative luminance)."""

    def light(colour: str) -> float:
        digits = colour.removeprefix("#")
        digits = digits if len(digits) == 6 else "".join(digit * 2 for digit in digits)
        parts = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
        red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    high, low = sorted((light(ink), light(ground)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_the_drawing_can_be_told_apart_in_every_light() -> None:
    """What axe-core can't tell over drawn lines: words 4.5 to 1, lines 3 to 1 (WCAG 2.2, 1.4.3 and 1.4.11)."""
    css = (ROOT / "web/bench.css").read_text(encoding="utf-8")
    lights = [
        dict(re.findall(r"--([a-z-]+): (#[0-9a-f]+)", block))
        for block in re.findall(r"\{([^{}]*--board:[^{}]*)\}", css)
    ]
    assert len(lights) == 4
    for light in lights:
        for ink in ("ink", "faint", "stop", "watch"):
            assert min(ratio(light[ink], light[ground]) for ground in ("paper", "board", "face")) >= 4.5, (ink, light)
        assert ratio(light["press-ink"], light["press"]) >= 4.5
        for line in ("cut", "behind", "clear", "chosen"):
            assert min(ratio(light[line], light[ground]) for ground in ("paper", "face")) >= 3, (line, light)
