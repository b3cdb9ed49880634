"""What an error does to paper: withhold it, or print NOT FOR CUTTING over it."""

from __future__ import annotations

from math import atan2, degrees, hypot
from typing import TYPE_CHECKING

from layout.drawing.elements import colours, pens
from layout.drawing.elements.glyphs import text_outlines
from layout.drawing.elements.metrics import width_mm
from layout.drawing.elements.scene import Group, Item, StrokePath
from layout.findings import Severity, area
from layout.languages import in_language

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layout.findings import Finding
    from layout.geometry.path import Box
    from layout.project.model.project import Project

CUTTING_AREAS = ("file", "panel", "fit", "cut")
"""Rules that bear on holes. Wiring may still be unknown when the panel is cut, and says so on its own sheets."""

INVENTED = "Invented data: nothing here exists."
"""Said on every page, label sheet and machine file of an example."""

GEOMETRY_AREA = "panel"


def cutting_errors(findings: Iterable[Finding], subjects: Iterable[str]) -> tuple[Finding, ...]:
    """Return the errors that concern holes of the given subjects; an error without subjects concerns all."""
    wanted = frozenset(subjects)
    return tuple(
        finding for finding in hole_errors(findings) if not finding.subjects or wanted.intersection(finding.subjects)
    )


def hole_errors(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the errors that may bear on holes, whatever they concern."""
    return tuple(
        finding for finding in findings if finding.weight is Severity.STOP and area(finding.rule) in CUTTING_AREAS
    )


def panel_subjects(project: Project, panel_id: str) -> tuple[str, ...]:
    """Return the subjects that a sheet of this panel shows."""
    return (f"panels.{panel_id}", *(device.key for device in project.on_panel(panel_id)))


def is_withheld(findings: Iterable[Finding], subjects: Iterable[str]) -> bool:
    """Tell whether a geometry error forbids template and machine files of these subjects."""
    return any(area(finding.rule) == GEOMETRY_AREA for finding in cutting_errors(findings, subjects))


def overprint(box: Box, words: str) -> Group:
    """Return words in hollow letters across a box, over everything and hiding nothing."""
    words = in_language(words)
    angle = degrees(atan2(box.height, box.width))
    height = 0.62 * hypot(box.width, box.height) / width_mm(words, 1.0, bold=True)
    pen = pens.coloured(pens.WARNING, colours.ALARM, width_mm=0.5)
    outlines = text_outlines(words, height, at=box.centre, align="centre", turn_deg=angle, bold=True)
    strokes: tuple[Item, ...] = tuple(StrokePath(path, pen) for path in outlines)
    return Group(strokes, name="overprint", layer="overprint")
