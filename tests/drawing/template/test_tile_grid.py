"""Page arithmetic under a printer's own scale: each side of the page by the factor of the printer's own axis."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.drawing.paper.drawing_sheets import sheet
from layout.drawing.template.tile_grid import Page, choose_page, plan_tiles, seams_crossed
from layout.drawing.template.true_scale import MeasuredPrinter
from layout.geometry.box import Box


@pytest.mark.parametrize("size", [(150, 250), (250, 150)], ids=["upright", "lengthways"])
@pytest.mark.parametrize(("across", "up"), [(98.0, 103.0), (103.0, 98.0), (100.0, 100.0)])
def test_paper_is_as_large_as_the_printer_makes_it(size: tuple[float, float], across: float, up: float) -> None:
    """A4 (ISO 216: 210 x 297 mm) is printed upright by the machine, whichever way the sheet is then turned."""
    printer = MeasuredPrinter(across_mm=across, up_mm=up)
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
    blind = plan_tiles(panel, page, lambda _cell: False)
    seeing = plan_tiles(panel, page, lambda _cell: False, [hole])
    assert len(blind.tiles) == len(seeing.tiles)
    assert seams_crossed(blind, [hole]) > 0
    assert seams_crossed(seeing, [hole]) == 0


def test_each_seam_is_led_past_cuts_by_itself():
    """Three sheets over 500 mm: no equal steps miss both cut-outs, but 50 mm of spare paper let each seam move."""
    page = Page(paper=sheet("A4"), margin_mm=5, overlap_mm=10)
    panel, cuts = Box(0, 0, 500, 200), [Box(130, 50, 179, 100), Box(323, 50, 370, 100)]
    grid = plan_tiles(panel, page, lambda _cell: False, cuts)
    assert grid.columns == 3
    assert seams_crossed(grid, cuts) == 0


@given(
    wide=st.floats(100, 1500), tall=st.floats(100, 900),
    cuts=st.lists(st.tuples(st.floats(0, 1400), st.floats(0, 800), st.floats(5, 200), st.floats(5, 200)), max_size=8),
)  # fmt: skip
def test_however_seams_are_led_the_tiles_cover_the_panel_once(wide, tall, cuts):
    """Cells join without a gap, cover the panel, and lie in their windows; inner ones by half the overlap at least."""
    page = Page(paper=sheet("A4"), margin_mm=5, overlap_mm=10)
    boxes = [Box(x, y, x + w, y + h) for x, y, w, h in cuts]
    grid = plan_tiles(Box(0, 0, wide, tall), page, lambda _cell: False, boxes)
    for row in range(1, grid.rows + 1):
        tiles = [tile for tile in grid.tiles if tile.row == row]
        assert tiles[0].cell.x0 <= 1e-6
        assert tiles[-1].cell.x1 >= wide - 1e-6
        for left, right in pairwise(tiles):
            assert left.cell.x1 == pytest.approx(right.cell.x0)
            assert left.window.x1 >= left.cell.x1 + 5 - 1e-6
            assert right.window.x0 <= right.cell.x0 - 5 + 1e-6
    column = sorted((tile for tile in grid.tiles if tile.column == 1), key=lambda tile: tile.cell.y0)
    assert column[0].cell.y0 <= 1e-6
    assert column[-1].cell.y1 >= tall - 1e-6
    for low, high in pairwise(column):
        assert low.cell.y1 == pytest.approx(high.cell.y0)
        assert low.window.y1 >= low.cell.y1 + 5 - 1e-6
