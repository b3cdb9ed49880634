"""The documents of each panel: drawings from both sides, sections, templates on paper, files for machines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.panel.panel_drawing import panel_drawing
from layout.drawing.panel.rear_view import rear_drawing
from layout.drawing.panel.section import section_drawing
from layout.drawing.template.template_pages import full_size_template, tiled_template
from layout.drawing.template.true_scale import Measured
from layout.drawing.writers.machine_file import machine_file
from layout.drawing.writers.pdf import DocumentInfo, pdf_bytes
from layout.drawing.writers.svg import svg_text
from layout.handover.paper.paper_choice import series_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.drawing.elements.scene import Scene
    from layout.handover.handed import Work
    from layout.project.model.panel import Panel

File = tuple[str, bytes]
"""Name and content."""


def plain(name: str) -> str:
    """Return an id as part of a file name."""
    return "".join(character if character.isalnum() or character in "-_" else "-" for character in name)


def panel_scenes(work: Work, panel: Panel) -> tuple[Scene, ...]:
    """Return a panel's drawings on sheets: front, rear, and a section through its deepest cut-in device."""
    if panel.id not in work.drawn:
        work.drawn[panel.id] = _drawn(work, panel)
    return work.drawn[panel.id]


def _drawn(work: Work, panel: Panel) -> tuple[Scene, ...]:
    if work.arrangement is None:
        return ()
    project, arrangement, found = work.project, work.arrangement, work.everything_found
    series = series_of(project)
    scenes = [*panel_drawing(project, arrangement, panel.id, findings=found, series=series)]
    if panel.kind == "panel":
        scenes += rear_drawing(project, arrangement, panel.id, findings=found, series=series)
        deepest = deepest_device(work, panel)
        if deepest is not None:
            scenes.append(section_drawing(project, arrangement, panel.id, deepest, findings=found, series=series))
    return tuple(scenes)


def deepest_device(work: Work, panel: Panel) -> str | None:
    """Return the id of the device that reaches furthest behind a panel; None where no depth is known."""
    deepest: tuple[float, str] | None = None
    for placed in work.arrangement.placed.values() if work.arrangement else ():
        device = work.project.devices.get(placed.device)
        if device is None or placed.panel != panel.id:
            continue
        depths = [body.depth for body in device.body if body.depth is not None]
        if depths:
            reach = max(depths) + ((device.tail.depth or 0.0) if device.tail else 0.0)
            if deepest is None or reach > deepest[0]:
                deepest = (reach, device.id)
    return deepest[1] if deepest else None


def drawings(work: Work) -> Iterator[File]:
    """Make each panel's drawing as PDF, and each of its sheets as SVG."""
    block = work.project.project
    for panel in work.project.panels.values():
        scenes = panel_scenes(work, panel)
        if not scenes:
            continue
        title = f"{block.name}: {panel.name or panel.id}, drawing"
        info = DocumentInfo(title=title, revision=block.revision, subject="panel drawing")
        yield f"{plain(panel.id)}-drawing.pdf", pdf_bytes(scenes, info)
        for number, scene in enumerate(scenes, start=1):
            yield f"{plain(panel.id)}-drawing-{number}.svg", svg_text(scene).encode("utf-8")


def templates(work: Work) -> Iterator[File]:
    """Make each open panel's template from both sides on small sheets, and on one large sheet."""
    if work.arrangement is None:
        return
    project, found, block = work.project, work.everything_found, work.project.project
    printer = Measured(across_mm=work.measured[0], up_mm=work.measured[1]) if work.measured else None
    for panel in project.panels.values():
        if panel.state == "cut":
            continue
        made = []
        for side in ("front", "rear"):
            tiled = tiled_template(project, work.arrangement, panel.id, side=side, measured=printer, findings=found)
            made.append((tiled, f"{project.workshop.paper}-{side}"))
        whole = full_size_template(project, work.arrangement, panel.id, series=series_of(project), findings=found)
        made.append((whole, "one-sheet"))
        for template, name in made:
            if template.scenes:
                title = f"{block.name}: {panel.name or panel.id}, cutting template"
                info = DocumentInfo(title=title, revision=block.revision, subject=f"cut from {template.side}")
                yield f"{plain(panel.id)}-template-{name}.pdf", pdf_bytes(template.scenes, info)


def machine_files(work: Work) -> Iterator[File]:
    """Make each open panel's DXF and SVG for laser, router or mill."""
    if work.arrangement is None:
        return
    for panel in work.project.panels.values():
        if panel.state == "cut":
            continue
        file = machine_file(work.project, work.arrangement, panel.id, engrave=True, findings=work.everything_found)
        if file.scene is not None:
            yield f"{plain(panel.id)}-machine.dxf", file.dxf().encode("utf-8")
            yield f"{plain(panel.id)}-machine.svg", file.svg().encode("utf-8")
