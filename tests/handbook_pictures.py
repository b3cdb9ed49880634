"""The handbook's pictures: ``python -m tests.handbook_pictures`` makes them by doing what its pages say.

They go to ``docs/pictures/`` when the handbook is built and are kept nowhere. Each is a window of a sheet that the
program wrote, so none shows what the program does not do.
"""

from __future__ import annotations

import contextlib
import re
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

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
        Page that is walked, and the sheet's path in the folder it is walked in.
    window
        Left, top, width and height on the sheet, mm; None is the whole sheet.
    """

    page: str
    sheet: str
    window: tuple[int, int, int, int] | None = None


PICTURES = {
    "tutorial-contact.svg": Picture(page="tutorial", sheet="out/contact-sheet.svg", window=(24, 13, 305, 186)),
    "tutorial-panel.svg": Picture(page="tutorial", sheet="out/drawings/thwart-1.svg", window=(24, 40, 256, 168)),
    "tutorial-one-line.svg": Picture(page="tutorial", sheet="out/drawings/one-line-1.svg", window=(24, 13, 196, 50)),
}


def made(name: str, walked: Path) -> str:
    """Return a picture as SVG from the folder its page was walked in."""
    picture = PICTURES[name]
    text = (walked / picture.sheet).read_text(encoding="utf-8")
    return text if picture.window is None else _window(text, *picture.window)


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
            for name in (name for name, picture in PICTURES.items() if picture.page == source):
                (folder / name).write_text(made(name, place), encoding="utf-8")


if __name__ == "__main__":
    write(FOLDER)
