"""The negative, earth and bonding drawing on sheets: the way of the returns, then every bar with what lands on it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.drawing.diagrams.earth_bar import EarthConductor, earth_bar, facts_box
from layout.drawing.diagrams.one_line import returns_picture
from layout.drawing.elements.picture_rows import on_sheets
from layout.handover.lists.wires.earth_list import WHAT, earth_facts, earth_rows, earth_table, gathered
from layout.handover.paper.diagram_sheets import chosen_of, picture_sheet, room_of
from layout.handover.paper.marked_rows import wiring_errors

if TYPE_CHECKING:
    from layout.drawing.elements.scene import Scene
    from layout.handover.lists.table import Table
    from layout.handover.plan import Plan

TITLE = "Negative, earth and bonding"
MOST_ROWS = 36
"""A bar of more conductors goes on in a second picture."""


def earth_tables(plan: Plan) -> tuple[Table, ...]:
    """Return the list of the drawing; its rows make the sheets too."""
    return (earth_table(earth_rows(plan.project, plan.wiring)),)


def earth_sheets(plan: Plan) -> tuple[Scene, ...]:
    """Return the drawing; nothing where no conductor returns."""
    project = plan.project
    rows = earth_rows(project, plan.wiring)
    if not rows:
        return ()
    pictures = [facts_box("Earth, as declared", earth_facts(project))]
    way = returns_picture(project, chosen_of(plan.wiring))
    if way is not None:
        pictures.insert(0, way)
    for (bar, pole), same in gathered(rows).items():
        stubs = [
            EarthConductor(
                position=row.position, number=row.number, colour=row.colour, code=row.code, size=row.size or "size ?",
                to=row.to,
            )
            for row in same
        ]  # fmt: skip
        parts = range(0, len(stubs), MOST_ROWS)
        pictures += [earth_bar(bar, WHAT[pole], stubs[first : first + MOST_ROWS]) for first in parts]
    sheets = on_sheets(pictures, *room_of(project))
    faulty = bool(wiring_errors(plan.found))
    return tuple(
        picture_sheet(
            project,
            replace(picture, title="returns, earths and bonds by bar"),
            TITLE,
            faulty=faulty,
            sheet=(number, len(sheets)),
        )
        for number, picture in enumerate(sheets, start=1)
    )
