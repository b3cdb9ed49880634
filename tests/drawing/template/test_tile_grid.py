"""Page arithmetic under a printer's own scale: each side of the page by the factor of the printer's own axis."""

from __future__ import annotations

import pytest

from layout.drawing.template.tile_grid import choose_page
from layout.drawing.template.true_scale import Measured
from layout.geometry.box import Box


@pytest.mark.parametrize("size", [(150, 250), (250, 150)], ids=["upright", "lengthways"])
@pytest.mark.parametrize(("across", "up"), [(98.0, 103.0), (103.0, 98.0), (100.0, 100.0)])
def test_paper_is_as_large_as_the_printer_makes_it(size: tuple[float, float], across: float, up: float) -> None:
    """A4 (ISO 216: 210 x 297 mm) is printed upright by the machine, whichever way the sheet is then turned."""
    printer = Measured(across_mm=across, up_mm=up)
    grid = choose_page(
        Box(0, 0, *size), "A4", margin_mm=6, overlap_mm=10, printer=printer, is_blank=lambda _: False
    )  # fmt: skip
    paper = (grid.page.paper.width_mm, grid.page.paper.height_mm)
    upright = (210 * across / 100, 297 * up / 100)
    assert paper == pytest.approx(upright) or paper == pytest.approx(upright[::-1])
