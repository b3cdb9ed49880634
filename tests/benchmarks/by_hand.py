"""The launch's console rearranged by hand, in a browser; ``python -m tests.benchmarks.by_hand``.

Six things, each done as a person does it, one after the other as soon as the page shows the last one done. It prints
how long they took, keeps that as JSON, and makes ``docs/bench.png`` anew.
"""

from __future__ import annotations

import json
import tempfile
import time
import urllib.request
from pathlib import Path
from typing import TYPE_CHECKING

from tests.bench.serving import a_browser, served, shown
from tests.benchmarks.bench import launch
from tests.benchmarks.record import ROOT, record

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Page

PICTURE = ROOT / "docs" / "bench.png"


def middle(page: Page, device: str) -> tuple[float, float]:
    """Return where a device is on the screen.

    Raises
    ------
    ValueError
        If it is not shown.
    """
    box = page.locator(f"[data-device={device}] .face").bounding_box()
    if box is None:
        raise ValueError(f"{device} is not shown")
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def drag(page: Page, device: str, dx: float, dy: float, *, let_go: bool = True) -> None:
    """Pull a device by some pixels, in as many steps as a hand makes."""
    x, y = middle(page, device)
    page.mouse.move(x, y)
    page.mouse.down()
    for step in range(1, 13):
        page.mouse.move(x + dx * step / 12, y + dy * step / 12)
    if let_go:
        page.mouse.up()


def done(page: Page, words: str) -> None:
    """Wait until the page shows something as done, by the words its name begins with."""
    page.wait_for_function("words => document.querySelector('#undo').title.startsWith(words)", arg=words)


def by_hand(page: Page) -> Iterator[str]:
    """Rearrange the console, and yield what was done after each step."""
    drag(page, "gas_alarm", 100, 8)
    done(page, "move Gas alarm")
    yield "gas alarm pulled under the chart display"
    page.locator("[data-device=tank]").click()
    page.get_by_label("Other device").select_option("battery_monitor")
    page.get_by_role("button", name="Swap", exact=True).click()
    done(page, "swap Tank")
    yield "tank gauge and battery monitor change places"
    page.locator("[data-device=wiper_switch]").click()
    page.get_by_label("Other device").select_option("bilge_switch")
    page.get_by_role("button", name="Swap", exact=True).click()
    done(page, "swap Wiper")
    yield "so do wiper switch and bilge pump switch"
    page.locator("[data-device=radio]").focus()
    page.keyboard.press("ArrowLeft")
    done(page, "move Radio with handset")
    yield "the radio 1 mm to the left by a key"
    page.keyboard.press("p")
    done(page, "pin Radio with handset")
    yield "the radio pinned"
    drag(page, "tank", 24, 0)
    done(page, "move Tank gauge")
    yield "the tank gauge a little to the right"


def main() -> None:
    """Do it, and print how long it took."""
    with (
        tempfile.TemporaryDirectory() as folder,
        a_browser() as browser,
        served(launch(Path(folder) / "launch")) as address,
        shown(browser, address, viewport={"width": 1200, "height": 760}) as page,
    ):
        begun = last = time.perf_counter()
        for step in by_hand(page):
            now = time.perf_counter()
            print(f"{now - last:6.1f} s  {step}", flush=True)
            last = now
        whole = round(last - begun, 1)
        with urllib.request.urlopen(f"{address}api/state") as answer:
            state = json.load(answer)
        broken = [finding["message"] for finding in state["findings"] if finding["severity"] == "stop"]
        print(f"{whole:6.1f} s in all; {'kept' if state['kept'] else 'not kept'}; {broken or 'no rule broken'}")
        drag(page, "radio", 0, -72, let_go=False)
        page.wait_for_selector("[data-device=radio].stop")
        page.wait_for_selector("#findings li.stop")
        page.screenshot(path=PICTURE)
        page.mouse.up()
    print(f"kept in {record('by_hand', {'launch': {'wall_s': whole}})}; {PICTURE.name} made anew")


if __name__ == "__main__":
    main()
