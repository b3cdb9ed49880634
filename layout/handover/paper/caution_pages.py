"""The cautions of a project as a chapter."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.elements import colours
from layout.handover.paper.cautions import cautions
from layout.handover.paper.styles import grid, heading, text

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from layout.handover.plan import Plan


def caution_story(plan: Plan, width_mm: float) -> list[Flowable]:
    """Return the cautions for wiring and for testing, numbered."""
    story: list[Flowable] = []
    for title, kind in (("Wiring", "electrician"), ("Testing", "testing")):
        story.append(heading(title, 3))
        rows = [
            [text(str(number), 2.2, bold=True, colour=colours.ALARM), text(caution, 2.2)]
            for number, caution in enumerate(cautions(plan.project, kind), start=1)
        ]
        story.append(grid(rows, [9.0, width_mm - 9.0]))
    return story
