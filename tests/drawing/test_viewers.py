"""The same page in two PDF viewers of different making."""

from __future__ import annotations

import io
import subprocess

import numpy as np
import pypdfium2
import pytest
from PIL import Image

from layout.drawing.panel_drawing import panel_drawing
from layout.drawing.pdf import DocumentInfo, pdf_bytes
from layout.drawing.template.build import tiled_template
from tests.conftest import needs_program

DPI = 100


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
