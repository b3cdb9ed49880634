"""Loose pictures set into flowing pages: terminal blocks and legends."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import KeepTogether, Spacer

from layout.drawing.elements.picture_rows import rows_of
from layout.drawing.writers.flowable import SceneFlowable
from layout.drawing.writers.pdf import POINTS_PER_MM
from layout.handover.paper.diagram_sheets import block_scenes, legend_scenes
from layout.handover.paper.flow_table import flow_table
from layout.handover.paper.marked_rows import errors_of, wiring_errors
from layout.handover.paper.page_frame import Faulty, body_width_mm
from layout.handover.paper.paper_choice import paper_of
from layout.handover.paper.styles import heading, text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from reportlab.platypus import Flowable

    from layout.drawing.elements.scene import Scene
    from layout.findings import Finding
    from layout.handover.lists.table import Table
    from layout.project.model.project import Project
    from layout.wiring.result import Wiring

_BELOW_MM = 6.0
"""Room below a terminal block."""


def block_story(project: Project, wiring: Wiring, findings: Sequence[Finding]) -> list[Flowable]:
    """Return the terminal blocks, each kept on one page; a wire with an error overprints them."""
    errors = wiring_errors(findings)
    bad = {wire.number for run in wiring.runs if errors_of(project, run, errors) for wire in run.wires}
    faulty = any(bad.intersection(use.wires) for use in wiring.studs)
    pictures: list[Flowable] = []
    for scene in rows_of(block_scenes(project, wiring), body_width_mm(paper_of(project, landscape=True))):
        parts: list[Flowable] = [SceneFlowable(scene), Spacer(0, _BELOW_MM * POINTS_PER_MM)]
        pictures.append(KeepTogether([Faulty(), *parts] if faulty else parts))
    return pictures


def legend_story(project: Project, wiring: Wiring | None, findings: Sequence[Finding] = ()) -> list[Flowable]:
    """Return the legends at full size; an error about a distribution panel overprints them."""
    subjects = {f"breaker_panels.{key}" for key in project.breaker_panels}
    faulty = any(subjects.intersection(finding.subjects) for finding in wiring_errors(findings))
    strips = [
        KeepTogether([Spacer(0, 4 * POINTS_PER_MM), SceneFlowable(scene, shrink=False)])
        for scene in legend_scenes(project, wiring)
    ]
    return [
        *([Faulty()] if faulty else []),
        text("At full size: print without scaling, cut along the marks.", 2.2), *strips,
    ]  # fmt: skip


def legend_values(project: Project, wiring: Wiring | None, findings: Sequence[Finding] = ()) -> object:
    """Return the values the legends are made from."""
    return project.breaker_panels, legend_scenes(project, wiring), wiring_errors(findings)


def chart_story(charts: Sequence[Scene], tables: Sequence[Table], width_mm: float) -> list[Flowable]:
    """Return charts, then tables under their titles."""
    story: list[Flowable] = [KeepTogether([SceneFlowable(chart), Spacer(0, 4 * POINTS_PER_MM)]) for chart in charts]
    for table in tables:
        story += [heading(table.title, 3), *flow_table(table, width_mm)]
    return story
