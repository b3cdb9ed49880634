"""The pale grid of a tile: every 50 mm from the datum, whatever part of the panel the tile shows."""

from __future__ import annotations

import pytest

from layout.drawing.template.print_marks import GRID, skew_grid
from layout.geometry.box import Box


@pytest.mark.parametrize(
    ("window", "across", "up"),
    [(Box(0, 0, 190, 265), [0, 50, 100, 150], [0, 50, 100, 150, 200, 250]), (Box(-30, 170, 60, 190), [0, 50], [])],
)
def test_lines_lie_on_whole_fifties_of_the_panel(window, across, up):
    """In panel coordinates the lines stand at multiples of 50 mm, so that they join across seams."""
    paths = [item.path for item in skew_grid(window, (7.0, 11.0)).items]
    assert [p.start[0] - 7.0 for p in paths if p.start[0] == p.end[0]] == pytest.approx(across)
    assert [p.start[1] - 11.0 for p in paths if p.start[1] == p.end[1]] == pytest.approx(up)
    assert GRID.width_mm <= 0.13
