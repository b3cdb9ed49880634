"""The same page in two PDF viewers of different making."""

from __future__ import annotations

import io
import subprocess

import numpy as np
import pypdfium2
import pytest
from PIL import Image

from layout.drawing.elements.pens import RULE_PEN
from layout.drawing.elements.scene import Group
from layout.drawing.panel.panel_drawing import panel_drawing
from layout.drawing.template.template_pages import tiled_template
from layout.drawing.writers.pdf import DocumentInfo, pdf_bytes
from layout.drawing.writers.svg import svg_text
from tests.conftest import needs_program
from tests.drawing.chromium import browser

DPI = 100
DENSITY = 2.0
PIXEL_MM = 25.4 / 96 / DENSITY
"""Chromium draws a page at 96 pixels an inch times the density asked for."""


@needs_program("pdftoppm")
@pytest.mark.parametrize("name", ["drawing", "tile"])
def test_poppler_and_pdfium_show_the_same_page(project, arrangement, tmp_path, name):
    """Both viewers draw the same ink in the same places; neither shows an empty page."""
    scenes = panel_drawing(project, arrangement, "console") if name == "drawing" else None
    scenes = scenes or tiled_template(project, arrangement, "board").scenes[-1:]
    data = pdf_bytes(scenes[:1], DocumentInfo(title="Page"))
    source = tmp_path / "page.pdf"
    source.write_bytes(data)
    subprocess.run(["pdftoppm", "-r", str(DPI), "-gray", "-png", str(source), str(tmp_path / "page")], check=True)
    poppler = np.asarray(Image.open(next(tmp_path.glob("page*.png"))).convert("L"), dtype=float)
    page = pypdfium2.PdfDocument(io.BytesIO(data))[0]
    pdfium = np.asarray(page.render(scale=DPI / 72).to_pil().convert("L"), dtype=float)
    tall, wide = (min(a, b) for a, b in zip(poppler.shape, pdfium.shape, strict=True))
    first, second = poppler[:tall, :wide], pdfium[:tall, :wide]
    # Anti-aliasing differs by a pixel: compare the ink of 8 x 8 pixel cells.
    cells = [
        (255 - image)[: tall // 8 * 8, : wide // 8 * 8].reshape(tall // 8, 8, wide // 8, 8).mean(axis=(1, 3))
        for image in (first, second)
    ]
    assert cells[0].max() > 50
    assert np.corrcoef(cells[0].ravel(), cells[1].ravel())[0, 1] > 0.9


def paper(image):
    """Return the white page out of the dark surroundings of a viewer."""
    bright = image > 200
    rows = np.flatnonzero(bright.mean(axis=1) > 0.3)
    columns = np.flatnonzero(bright.mean(axis=0) > 0.3)
    return image[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]


def shift(first, second, most=3):
    """Return by how many pixels, down and right, the second picture has to be moved to lie best on the first."""
    inner = first[most:-most, most:-most]
    tall, wide = inner.shape
    moves = [(dy, dx) for dy in range(-most, most + 1) for dx in range(-most, most + 1)]
    return min(moves, key=lambda m: np.abs(
        inner - second[most - m[0] : most - m[0] + tall, most - m[1] : most - m[1] + wide]).sum())  # fmt: skip


def longest_run_mm(row):
    """Return the longest unbroken dark stretch of a row of pixels, mm."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], (row < 180).astype(int), [0]))))
    return float((edges[1::2] - edges[::2]).max(initial=0)) * PIXEL_MM


def bar_places(scene):
    """Return the boxes of the level bars of a tile in mm on the page, by name."""
    found = {}

    def walk(items):
        for item in items:
            if isinstance(item, Group):
                if item.name in {"bar 100 mm", "bar 4 in"}:
                    found[item.name] = item.items[0].path.bounds()
                walk(item.items)

    walk(scene.items)
    return found


@needs_program("chromium")
@needs_program("pdftoppm")
def test_chromium_and_poppler_put_a_tile_on_the_same_paper(project, arrangement, tmp_path):
    """In Chromium bars are true, and every quarter of the page lies where poppler draws it, all alike."""
    scene = tiled_template(project, arrangement, "board").scenes[-1]
    source = tmp_path / "tile.pdf"
    source.write_bytes(pdf_bytes([scene], DocumentInfo(title="Tile")))
    dpi = 96 * DENSITY
    subprocess.run(["pdftoppm", "-r", str(dpi), "-gray", "-png", str(source), str(tmp_path / "page")], check=True)
    poppler = np.asarray(Image.open(next(tmp_path.glob("page*.png"))).convert("L"), dtype=float)
    wide, tall = (round(mm / 25.4 * 96) + 120 for mm in (scene.width_mm, scene.height_mm))
    with browser(tmp_path) as shown:
        address = f"{source.as_uri()}#toolbar=0&navpanes=0&zoom=100"
        page = paper(shown.picture(address, wide=wide, tall=tall, density=DENSITY))
    # The viewer rounds a page's size to whole pixels of its own; what is on the page is not rounded.
    assert page.shape[1] * PIXEL_MM == pytest.approx(scene.width_mm, abs=0.6)
    assert page.shape[0] * PIXEL_MM == pytest.approx(scene.height_mm, abs=0.6)
    places = bar_places(scene)
    assert len(places) == 2
    for name, box in places.items():
        y = round((scene.height_mm - box.y0) / PIXEL_MM)
        band = page[y - 3 : y + 4, round((box.x0 - 2) / PIXEL_MM) : round((box.x1 + 1) / PIXEL_MM)]
        true = (100.0 if name == "bar 100 mm" else 101.6) + RULE_PEN.width_mm  # the ticks at both ends stand out
        assert max(longest_run_mm(row) for row in band) == pytest.approx(true, abs=2 * PIXEL_MM)
    tall, wide = (min(a, b) for a, b in zip(page.shape, poppler.shape, strict=True))
    steps = [
        shift(page[rows, columns], poppler[rows, columns])
        for rows in (slice(0, tall // 2), slice(tall // 2, tall))
        for columns in (slice(0, wide // 2), slice(wide // 2, wide))
    ]
    assert all(abs(part) <= 2 for step in steps for part in step)
    assert all(max(parts) - min(parts) <= 1 for parts in zip(*steps, strict=True))


@needs_program("chromium")
def test_chromium_shows_svg_at_its_real_size(project, arrangement, tmp_path):
    """A page as SVG measures in Chromium what it says in mm: the bars of a tile, with nothing scaled."""
    scene = tiled_template(project, arrangement, "board").scenes[-1]
    source = tmp_path / "tile.svg"
    source.write_text(svg_text(scene), "utf-8")
    wide, tall = (round(mm / 25.4 * 96) for mm in (scene.width_mm, scene.height_mm))
    with browser(tmp_path) as shown:
        page = shown.picture(source.as_uri(), wide=wide, tall=tall, density=DENSITY)
    for name, box in bar_places(scene).items():
        y = round((scene.height_mm - box.y0) / PIXEL_MM)
        band = page[y - 3 : y + 4, round((box.x0 - 2) / PIXEL_MM) : round((box.x1 + 1) / PIXEL_MM)]
        true = (100.0 if name == "bar 100 mm" else 101.6) + RULE_PEN.width_mm  # the ticks at both ends stand out
        assert max(longest_run_mm(row) for row in band) == pytest.approx(true, abs=2 * PIXEL_MM)
