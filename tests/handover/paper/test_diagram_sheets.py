"""The one-line diagram on the paper that is asked for."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.drawing.elements.metrics import text_box
from layout.drawing.elements.scene import Text, leaves
from layout.handover.paper.diagram_sheets import one_line_sheets
from layout.project.model.supplies import Way


@pytest.mark.parametrize(("paper", "width_mm"), [("A3", 420.0), ("A4", 297.0)])
def test_the_one_line_goes_on_the_paper_asked_for(project, paper, width_mm):
    """A small boat's diagram stands on A3, on request on A4 lengthways; no lettering lies on another."""
    ways = {str(n): Way(id=str(n), rating=10, free=True) for n in range(4, 13)}
    panel = replace(project.breaker_panels["dc"], ways={**project.breaker_panels["dc"].ways, **ways})
    workshop = replace(project.workshop, diagrams=paper)
    boat = replace(project, workshop=workshop, breaker_panels={"dc": panel})
    sheets = one_line_sheets(boat)
    assert sheets
    assert {sheet.width_mm for sheet in sheets} == {width_mm}
    for sheet in sheets:
        boxes = [text_box(item) for item in leaves(sheet.items) if isinstance(item, Text)]
        for n, a in enumerate(boxes):
            for b in boxes[n + 1 :]:
                assert min(a.x1, b.x1) - max(a.x0, b.x0) < 0.3 or min(a.y1, b.y1) - max(a.y0, b.y0) < 0.3, (a, b)
