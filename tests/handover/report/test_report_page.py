"""The report in a browser: nothing asked for, nothing wrong, all of it by keyboard; and its bytes."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from layout.frozen import FrozenMap
from layout.project.register import load, register_path, save
from tests.accessible import ALL, CONTRAST, faults, needs_axe
from tests.bench.serving import a_browser
from tests.conftest import EXAMPLES, needs_program
from tests.running import python, spile

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, Page

    from tests.conftest import Built

HOSTILE = "</script><img src=//x.test/a onerror=alert(1)>'\"&amp;"


def reported(file: Path, out: Path) -> str:
    """Return the page that the command writes."""
    ran = spile("report", file, "--out", out, "--json")
    assert ran.code in (0, 1), ran.err
    assert ran.data["files"] == [str(out / "report.html")]
    return (out / "report.html").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def page_file(wall: Built, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the wall's report, with two alternatives beside each other; made by the command."""
    folder = tmp_path_factory.mktemp("report")
    file = wall.copy(folder)
    register, _ = load(register_path(file))
    assert register is not None
    assert register.arrangement is not None
    first = register.arrangement
    lamp = first.placed["dimmer"]
    other = replace(first, placed=FrozenMap({**first.placed, "dimmer": replace(lamp, x=lamp.x + 60.0)}), value=999.0)
    assert save(register_path(file), register.with_proposals([first, other])) == ()
    reported(file, folder)
    return folder / "report.html"


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Return Debian's browser, started once."""
    with a_browser() as started:
        yield started


@pytest.fixture
def page(browser: Browser, page_file: Path) -> Iterator[Page]:
    """Return the page opened from disk; any message of the console, fault or request fails the test."""
    said: list[str] = []
    shown = browser.new_page(viewport={"width": 390, "height": 844})
    shown.on("console", lambda message: said.append(message.text))
    shown.on("pageerror", lambda error: said.append(str(error)))
    shown.on("request", lambda asked: said.append(asked.url) if not asked.url.startswith("data:") else None)
    shown.goto(page_file.as_uri())
    assert said.pop(0) == page_file.as_uri()
    yield shown
    shown.close()
    assert said == []


OPENED = "part => { for (; part; part = part.parentElement) if (part.tagName === 'DETAILS') part.open = true; }"
"""Opens the folds round a part."""


def table(page: Page, title: str) -> str:
    """Return where the list of that title stands, its fold opened."""
    where = f"table:has(caption:text-is('{title}'))"
    page.locator(where).evaluate(OPENED)
    return where


def column(page: Page, title: str, number: int) -> list[str]:
    """Return the texts of a column as far as they are shown, from the top."""
    cells = page.locator(f"{table(page, title)} tbody tr:not([hidden]) td:nth-child({number})")
    return list(cells.all_inner_texts())


@needs_program("chromium")
def test_names_reasons_and_what_stands_elsewhere_are_beside_each_alternative(page: Page) -> None:
    """Two cards; the first says that it is how things stand, the second what differs; the least cost is in bold."""
    cards = page.locator(".card")
    assert cards.count() == 2
    assert "This is how it stands now." in cards.nth(0).inner_text()
    assert "Elsewhere than in 1: Lamp dimmer." in cards.nth(1).inner_text()
    assert "999" in column(page, "What each wish costs, weighted mm", 3)


@needs_program("chromium")
def test_a_wire_chosen_by_keyboard_lights_up_on_panel_and_drawings(page: Page) -> None:
    """Enter on a wire of the schedule: its way on the panel shows, its number on two drawings, Escape puts it out."""
    where = table(page, "Wire-run schedule")
    button = page.locator(f"{where} button[data-light]").filter(has_text="005a+").first
    button.focus()
    assert page.locator(".panel .wire:visible").count() == 0
    page.keyboard.press("Enter")
    assert page.locator("#lit-name").inner_text() == "Lit: wire 005a+"
    assert page.locator(".panel .wire.lit").count() == 1
    assert page.locator("#drawing-wiring-views tspan.lit").count() >= 2  # both ends
    page.locator("#lit-next").focus()
    page.keyboard.press("Enter")
    page.keyboard.press("Escape")
    assert page.locator(".lit").count() == 0
    assert page.locator("#lit").is_hidden()


@needs_program("chromium")
def test_a_finding_leads_to_its_part(page: Page) -> None:
    """The device of a finding is a link to the panel it stands on, and lights up there."""
    link = page.locator("#findings a", has_text="Lamp dimmer").first
    link.focus()
    page.keyboard.press("Enter")
    assert page.url.endswith("#panel-wall")
    assert page.locator(".panel .device.lit").count() == 1
    # and back: the code beside the device leads to the finding
    page.locator("#panels a", has_text="cut 1").first.press("Enter")
    assert page.locator("tr:target td").nth(1).inner_text() == "cut 1"


@needs_program("chromium")
def test_lists_sort_both_ways_by_value_and_unknowns_come_last(page: Page) -> None:
    """Lengths as numbers, not as text; the heading says which way; no row is lost."""
    where = table(page, "Wire-run schedule")
    heads = page.locator(f"{where} thead th").all_inner_texts()
    at = next(n for n, head in enumerate(heads, start=1) if head.startswith("Length"))
    before = column(page, "Wire-run schedule", at)
    button = page.locator(f"{where} thead th:nth-child({at}) button")
    button.press("Enter")
    assert page.locator(f"{where} thead th:nth-child({at})").get_attribute("aria-sort") == "ascending"
    assert column(page, "Wire-run schedule", at) == sorted(before, key=float)
    button.press("Enter")
    assert column(page, "Wire-run schedule", at) == sorted(before, key=float, reverse=True)


@needs_program("chromium")
def test_a_list_shows_only_rows_with_all_words(page: Page) -> None:
    """Typing leaves the rows that hold every word and says how many; an empty field brings all back."""
    title = "Ends, place by place"
    rows = len(column(page, title, 1))
    field = page.locator(f"details:has({table(page, title)}) input")
    field.focus()
    page.keyboard.type("radio 005a+")
    left = page.locator(f"{table(page, title)} tbody tr:not([hidden])").all_inner_texts()
    assert 0 < len(left) < rows
    assert all("005a+" in row and "radio" in row.lower() for row in left)
    assert page.locator(f"details:has({table(page, title)}) output").inner_text() == f"{len(left)} of {rows}"
    field.fill("")
    assert len(column(page, title, 1)) == rows


@needs_program("chromium")
@needs_axe
@pytest.mark.parametrize(("scheme", "rules"), [("light", ALL), ("dark", CONTRAST)])
def test_nothing_keeps_anybody_out(page: Page, scheme: str, rules: str) -> None:
    """axe-core finds nothing, with everything open and a wire lit, in light and in dark."""
    page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
    page.evaluate("for (const fold of document.querySelectorAll('details')) fold.open = true")
    page.locator("td button[data-light]").first.click()
    assert faults(page, rules) == []


@needs_program("chromium")
def test_it_fits_a_telephone(page: Page) -> None:
    """Nothing but drawings and lists is wider than the screen, and these scroll in frames of their own."""
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_same_input_same_bytes(page_file: Path, tmp_path: Path) -> None:
    """Another process with other hashes writes the same page."""
    file = page_file.with_name("workshop_wall.yaml")
    ran = python("-m", "layout", "report", file, "--out", tmp_path, "--quiet", hash_seed="7")
    assert ran.code in (0, 1), ran.err
    assert (tmp_path / "report.html").read_bytes() == page_file.read_bytes()


def test_no_id_stands_twice_and_every_link_leads_somewhere(page_file: Path) -> None:
    """Drawings share group names; on the page each id is one, and each link has its target."""
    text = page_file.read_text(encoding="utf-8")
    ids = re.findall(r' id="([^"]*)"', text)
    assert len(ids) == len(set(ids))
    assert set(re.findall(r' href="#([^"]*)"', text)) <= set(ids)


def test_a_hostile_name_is_a_text_and_nothing_else(tmp_path: Path) -> None:
    """A project, device and circuit named like markup: the page has one script, no picture, and shows the name."""
    text = (EXAMPLES / "workshop_wall.yaml").read_text(encoding="utf-8")
    for name in ("name: Workshop wall panel\n", "name: Lamp dimmer\n", "name: Bench lamp\n"):
        assert name in text
        text = text.replace(name, f"name: {json.dumps(HOSTILE)}\n")
    file = tmp_path / "wall.yaml"
    file.write_text(text, encoding="utf-8")
    page = reported(file, tmp_path)
    assert page.count("<script") == 1
    assert page.count("</script") == 1
    assert "<img" not in page
    assert "&lt;/script&gt;&lt;img src=//x.test/a" in page
