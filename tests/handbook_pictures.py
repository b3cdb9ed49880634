"""The handbook's pictures: ``python -m tests.handbook_pictures`` makes them by doing what its pages say.

They go to ``docs/pictures/`` when the handbook is built and are kept nowhere. Each is a window of a sheet that the
program wrote, so none shows what the program does not do.
"""

from __future__ import annotations

import contextlib
import re
import subprocess
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from pypdf import PdfReader

from tests.conftest import ROOT
from tests.handbook_walk import page, walk
from tests.running import spile

if TYPE_CHECKING:
    from collections.abc import Iterator

FOLDER = ROOT / "docs" / "pictures"


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A window of a sheet that the commands of a page leave behind.

    Attributes
    ----------
    page, sheet
        Page that is walked, and the sheet's path in the folder it is walked in: SVG, or a book as PDF.
    chapter
        Where the sheet is a book: the chapter whose first page is shown.
    window
        Left, top, width and height on the sheet, mm; None is the whole sheet.
    after
        A command that writes the sheet where none of the page does.
    """

    page: str
    sheet: str
    window: tuple[int, int, int, int] | None = None
    after: str = ""
    chapter: str = ""


WALL = (30, 40, 228, 178)
"""Where the panel stands on the sheet of each trial of the page on rules and wishes."""

PICTURES = {
    "tutorial-contact.svg": Picture(page="tutorial", sheet="out/contact-sheet.svg", window=(24, 13, 305, 186)),
    "tutorial-panel.svg": Picture(page="tutorial", sheet="out/drawings/thwart-1.svg", window=(24, 40, 256, 168)),
    "tutorial-one-line.svg": Picture(page="tutorial", sheet="out/drawings/one-line-1.svg", window=(24, 13, 196, 50)),
    "documents-wiring.svg": Picture(page="tutorial", sheet="out/drawings/wiring-view-1.svg", window=(22, 18, 376, 150)),
    "documents-isolation.png": Picture(
        page="tutorial", sheet="out/electrician.pdf", chapter="Isolation", window=(0, 0, 297, 128)
    ),
    "documents-schedule.png": Picture(
        page="tutorial", sheet="out/electrician.pdf", chapter="Wire-run schedule", window=(0, 0, 297, 180)
    ),
} | {
    f"rules-{name}.svg": Picture(
        page="rules_and_wishes",
        sheet=f"{name}/drawings/wall-1.svg",
        window=WALL,
        after=f"template {name}.yaml --out {name}",
    )
    for name in ("nothing", "edge", "tidy", "blank", "row")
}


DOTS_PER_MM = 5
"""How fine a page of a book is shown."""


def made(name: str, walked: Path) -> bytes:
    """Return a picture, as SVG or PNG, from the folder its page was walked in."""
    picture = PICTURES[name]
    sheet = walked / picture.sheet
    if picture.chapter:
        return _page(sheet, picture.chapter, *(picture.window or (0, 0, 297, 210)))
    text = sheet.read_text(encoding="utf-8")
    return (text if picture.window is None else _window(text, *picture.window)).encode()


def _page(book: Path, chapter: str, *window: int) -> bytes:
    """Return a window of a chapter's first page as PNG."""
    reader = PdfReader(book)
    number = next(
        reader.get_destination_page_number(entry)
        for entry in reader.outline
        if not isinstance(entry, list) and entry.title == chapter
    )
    left, top, width, height = (str(side * DOTS_PER_MM) for side in window)
    words = ["-f", str(number + 1), "-l", str(number + 1), "-r", str(25.4 * DOTS_PER_MM), "-png"]
    words += ["-x", left, "-y", top, "-W", width, "-H", height, str(book)]
    return subprocess.run(["pdftoppm", *words], capture_output=True, check=True).stdout


def _window(svg: str, left: int, top: int, width: int, height: int) -> str:
    """Return a sheet of which only a window is seen; its head alone changes."""
    head, closed, rest = svg.partition("><title>")
    size = f'width="{width}mm" height="{height}mm" viewBox="{left} {top} {width} {height}"'
    return re.sub(r' (?:width|height|viewBox|preserveAspectRatio)="[^"]*"', "", head) + f" {size}{closed}{rest}"


@contextlib.contextmanager
def walked(name: str) -> Iterator[Path]:
    """Walk a page in an empty folder that lasts as long as it is looked at."""
    with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder):
        for said in walk(page(name), Path(folder), spile):
            print(f"spile {said.command}: {said.ran.code}")
        yield Path(folder)


def write(folder: Path) -> None:
    """Make all pictures anew."""
    folder.mkdir(parents=True, exist_ok=True)
    for source in dict.fromkeys(picture.page for picture in PICTURES.values()):
        with walked(source) as place:
            for name, picture in PICTURES.items():
                if picture.page == source:
                    if picture.after:
                        spile(*picture.after.split())
                    (folder / name).write_bytes(made(name, place))


if __name__ == "__main__":
    write(FOLDER)
