"""Page arithmetic under a printer's own scale: each side of the page by the factor of the printer's own axis."""

from __future__ import annotations

import pytest

from layout.drawing.paper.drawing_sheets import sheet
from layout.drawing.template.tile_grid import Page, choose_page, crossed, plan
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


def test_seams_keep_off_cuts_where_they_can():
    """A hole in the middle of a panel of 350 mm on two sheets: with the spare paper shared evenly the seam cuts it."""
    page = Page(paper=sheet("A4"), margin_mm=5, overlap_mm=10)
    panel, hole = Box(0, 0, 350, 200), Box(170, 90, 180, 110)
    blind = plan(panel, page, lambda _cell: False)
    seeing = plan(panel, page, lambda _cell: False, [hole])
    assert len(blind.tiles) == len(seeing.tiles)
    assert crossed(blind, [hole]) > 0
    assert crossed(seeing, [hole]) == 0
