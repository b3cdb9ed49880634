"""How the handbook looks: ``python -m tests.handbook_shown`` builds the site and keeps four of its pages as pictures.

They go to ``docs/shown/`` and are committed, small, so that a change of the site's look is seen in a change of theirs.
"""

from __future__ import annotations

import io
import shutil
import sys
import tempfile
from pathlib import Path

from tests import handbook_pictures, reference_pages
from tests.conftest import ROOT
from tests.running import python

FOLDER = ROOT / "docs" / "shown"
PAGES = {"start": "index", "evening": "tutorial", "wishes": "rules_and_wishes", "finding": "reference/findings/fuse-8"}
SIZE = {"width": 1000, "height": 760}
COLOURS = 48


def write(folder: Path) -> None:
    """Build the site and take its pictures; each is what a window of ``SIZE`` shows, in a few colours."""
    from PIL import Image
    from playwright.sync_api import sync_playwright

    with tempfile.TemporaryDirectory() as place, sync_playwright() as playwright:
        docs, site = Path(place) / "docs", Path(place) / "site"
        shutil.copytree(ROOT / "docs", docs, ignore=shutil.ignore_patterns("reference", "pictures", "shown"))
        shutil.copy(ROOT / "mkdocs.yml", place)
        reference_pages.write(docs / "reference")
        handbook_pictures.write(docs / "pictures")
        ran = python("-m", "mkdocs", "build", "--strict", "-q", "-f", Path(place) / "mkdocs.yml", "-d", site)
        if ran.code:
            sys.exit(ran.err)
        folder.mkdir(parents=True, exist_ok=True)
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"))
        page = browser.new_page(viewport=SIZE)
        for name, source in PAGES.items():
            page.goto((site / f"{source}.html").as_uri())
            with Image.open(io.BytesIO(page.screenshot())) as picture:
                picture.convert("RGB").quantize(COLOURS).save(folder / f"{name}.png", optimize=True)
        browser.close()


if __name__ == "__main__":
    write(FOLDER)
