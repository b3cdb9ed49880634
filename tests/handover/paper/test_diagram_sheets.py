"""The one-line diagram on the paper that is asked for."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.drawing.elements.metrics import text_box
from layout.drawing.elements.pens import RULE_PEN
from layout.drawing.elements.scene import Group, Scene, Text, rect, resolved, scene_leaves
from layout.geometry.path import Box
from layout.handover.paper.diagram_sheets import one_line_sheets, picture_sheet, room_of
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
        boxes = [text_box(item) for item in scene_leaves(sheet.items) if isinstance(item, Text)]
        for n, a in enumerate(boxes):
            for b in boxes[n + 1 :]:
                assert min(a.x1, b.x1) - max(a.x0, b.x0) < 0.3 or min(a.y1, b.y1) - max(a.y0, b.y0) < 0.3, (a, b)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_cautions_never_lie_on_a_picture(project, paper):
    """A picture that fills its room stands clear of the cautions, on sheets of both series."""
    own = replace(project, workshop=replace(project.workshop, paper=paper))
    wide, tall = room_of(own)
    full = Scene(width_mm=wide, height_mm=tall, items=(rect(Box(0, 0, wide, tall), RULE_PEN),), title="full")
    sheet = picture_sheet(own, full, "Full")
    drawn = next(item for item in sheet.items if isinstance(item, Group) and item.name == "picture")
    lowest = drawn.dy_mm
    texts = [item for item in scene_leaves(resolved(sheet)) if isinstance(item, Text)]
    heading = next(text for text in texts if text.content == "Cautions")
    assert heading.at[1] < lowest
