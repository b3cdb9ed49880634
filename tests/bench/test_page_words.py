"""The page's own words in a second language: each has its line, and none stays English on the page."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from typing import TYPE_CHECKING

import pytest

from layout.bench.page_files import PAGE_WORDS
from layout.bench.shelf import DRAWN, PARTS
from layout.languages import Language, heard, in_language, spoken
from layout.languages.catalogue import OWN, shipped_languages, texts_in, value_places
from layout.project.catalogue import entries as shelf_entries
from layout.project.register import load, register_path, save
from tests.bench.serving import a_browser, needs_chromium, served, shown
from tests.bench.test_server import WALL, put_wall
from tests.running import ROOT

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

WEB = ROOT / "web"
OTHERS = [code for code in shipped_languages() if code != OWN]
LISTED = re.compile(r"(?:LINES|SHEETS|LAYERS)\b[^=]*= (\[.*?\]);", re.DOTALL)
SEVERITIES = {"stop", "watch", "note"}
"""How grave a finding is; said beside its code."""


def tagged(source: str, start: int = 0) -> Iterator[str]:
    """Yield the texts of a source that are tagged with ``t``, each value a ``{}``; those within values as well."""
    at = source.find("t`", start)
    while at >= 0:
        if source[at - 1].isalnum():
            at = source.find("t`", at + 2)
            continue
        text, end = "", at + 2
        while source[end] != "`":
            if source.startswith("${", end):
                depth, begin = 1, end + 2
                end = begin
                while depth:
                    depth += {"{": 1, "}": -1}.get(source[end], 0)
                    end += 1
                text += "{}"
                yield from tagged(source[begin : end - 1])
            else:
                text += source[end]
                end += 1
        yield text
        at = source.find("t`", end)


class Frame(HTMLParser):
    """The words that stand in the page from the beginning."""

    def __init__(self) -> None:
        super().__init__()
        self.words: set[str] = set()
        self.silent = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Take what is read aloud in place of a part."""
        self.silent = tag in ("script", "title")
        self.words |= {value for name, value in attrs if name in ("aria-label", "title") and value}

    def handle_data(self, data: str) -> None:
        """Take a text that has letters."""
        if not self.silent and re.search("[a-z]{2}", data):
            self.words.add(data.strip())


def page_words() -> set[str]:
    """Return every text of the page's own, from its sources."""
    frame = Frame()
    frame.feed((WEB / "index.html").read_text(encoding="utf-8"))
    words = frame.words | SEVERITIES | {part for parts in PARTS.values() for part in parts}
    words |= {key.replace(".rect", "").replace(".", ", ").replace("_", " ") for key in DRAWN}
    for file in sorted(WEB.glob("*.ts")):
        source = file.read_text(encoding="utf-8")
        if file.name != "words.ts":
            words |= set(tagged(source))
        for block in LISTED.findall(source):
            words |= set(re.findall(r'\["[a-z]+", "([^"]+)"\]', block) or re.findall('"([^"]+)"', block))
    return words


@pytest.mark.parametrize("code", OTHERS)
def test_each_word_of_the_page_has_its_line(code: str) -> None:
    """None is missing, none is left over, and values have their places."""
    said = texts_in(code, PAGE_WORDS)
    words = page_words()
    assert len(words) > 150
    assert sorted(words - set(said)) == []
    assert sorted(set(said) - words) == []
    assert [english for english in said if value_places(english) != value_places(said[english])] == []


@pytest.fixture(scope="module")
def german(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the wall of a workshop in German, with a place for one device still to be found."""
    path = put_wall(tmp_path_factory.mktemp("wand"))
    path.write_text(WALL.replace("example: true", "example: true, language: de"), encoding="utf-8")
    register, _ = load(register_path(path))
    assert register is not None
    save(register_path(path), register)
    return path


SEEN = """
() => {
  const texts = [];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    if (!walk.currentNode.parentElement.closest("script")) texts.push(walk.currentNode.textContent.trim());
  }
  for (const name of ["aria-label", "title"]) {
    for (const part of document.querySelectorAll(`[${name}]`)) texts.push(part.getAttribute(name));
  }
  return texts.filter((text) => text);
}
"""


@needs_chromium
def test_no_word_of_the_page_stays_english(german: Path) -> None:
    """Sheets, card, shelf, zones and the dialog for a photograph are opened: every fixed word is German."""
    said = texts_in("de", PAGE_WORDS)
    english = {text for text, other in said.items() if text != other and not value_places(text)} - set(said.values())
    seen: set[str] = set()
    with a_browser() as browser, served(german) as address, shown(browser, address) as page:
        assert page.evaluate("document.documentElement.lang") == "de"

        def look() -> None:
            seen.update(page.evaluate(SEEN))

        look()
        page.locator("[data-device=lamp]").focus()
        page.keyboard.press("Enter")
        page.locator("#card h2").wait_for()
        look()
        page.get_by_role("button", name=said["Where would it fit?"]).click()
        page.wait_for_selector(".spot, #card small")
        look()
        page.locator("#more summary").click()
        page.wait_for_selector("#forms form")
        page.locator("#zones").click()
        look()
        page.locator("#zones").click()
        page.locator("#lay").click()
        page.wait_for_selector("#laying[open]")
        look()
        page.keyboard.press("Escape")
        for sheet in ("Wires", "Energy", "Network", "Compare"):
            page.locator("#sheets").get_by_role("button", name=said[sheet], exact=True).click()
            page.wait_for_selector("#wires table" if sheet == "Wires" else "#pane > *")
            look()
        page.set_viewport_size({"width": 390, "height": 800})
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert sorted(seen & english) == []
    assert {said["Shelf"], said["Pin here"], said["Drawn by its size"], said["no-go zone"]} <= seen


@pytest.mark.parametrize("code", OTHERS)
def test_the_catalogue_is_told_in_it(code: str) -> None:
    """What each type is and where its measures are from, as the shelf says it."""
    with spoken(Language(code)), heard() as told:
        for entry in shelf_entries().values():
            in_language(entry.about)
            in_language(f"{entry.source} ({entry.basis})")
    assert told.missing == {}
