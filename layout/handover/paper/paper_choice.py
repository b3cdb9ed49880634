"""Which paper the documents are printed on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.paper.drawing_sheets import Sheet, sheet

if TYPE_CHECKING:
    from layout.project.model.project import Project

_FLOWING = {"A4": "A4", "A3": "A4", "Letter": "Letter", "Legal": "Legal", "Tabloid": "Letter"}
"""Lists are printed on the hand-sized sheet of the printer's series, whatever the template is printed on."""


def paper_of(project: Project, *, landscape: bool = False) -> Sheet:
    """Return the sheet that lists and tables go on."""
    return sheet(_FLOWING[project.workshop.paper], landscape=landscape)


def series_of(project: Project) -> str:
    """Return the series that drawings choose their sheets from: iso or ansi."""
    return "iso" if project.workshop.paper in ("A4", "A3") else "ansi"
