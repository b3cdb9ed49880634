"""The documents of each panel: drawings from both sides, sections, templates on paper, files for machines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.panel.panel_drawing import panel_drawing
from layout.drawing.panel.rear_view import rear_drawing
from layout.drawing.panel.section import section_drawing
from layout.drawing.template.template_pages import Template, full_size_template, tiled_template
from layout.drawing.template.true_scale import Measured
from layout.drawing.writers.machine_file import machine_file
from layout.drawing.writers.pdf import DocumentInfo, pdf_bytes
from layout.drawing.writers.svg import svg_text
from layout.handover.files.file_names import plain
from layout.handover.paper.paper_choice import series_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.drawing.elements.scene import Scene
    from layout.drawing.panel.placed_panel import Side
    from layout.findings import Finding
    from layout.handover.document import File
    from layout.handover.plan import Plan
    from layout.project.model.panel import Panel

SIDES: tuple[Side, ...] = ("front", "rear")


def panel_scenes(plan: Plan, panel: Panel) -> tuple[Scene, ...]:
    """Return a panel's drawings on sheets: front, rear, and a section through its deepest cut-in device."""
    return plan.once(f"drawing {panel.id}", lambda: _drawn(plan, panel))


def _drawn(plan: Plan, panel: Panel) -> tuple[Scene, ...]:
    if plan.arrangement is None:
        return ()
    project, arrangement, found = plan.project, plan.arrangement, plan.found
    series = series_of(project)
    scenes = [*panel_drawing(project, arrangement, panel.id, findings=found, series=series)]
    if panel.kind == "panel":
        scenes += rear_drawing(project, arrangement, panel.id, findings=found, series=series)
        deepest = deepest_device(plan, panel)
        if deepest is not None:
            scenes.append(section_drawing(project, arrangement, panel.id, deepest, findings=found, series=series))
    return tuple(scenes)


def deepest_device(plan: Plan, panel: Panel) -> str | None:
    """Return the id of the device that reaches furthest behind a panel; None where no depth is known."""
    deepest: tuple[float, str] | None = None
    for placed in plan.arrangement.placed.values() if plan.arrangement else ():
        device = plan.project.devices.get(placed.device)
        if device is None or placed.panel != panel.id:
            continue
        depths = [body.depth for body in device.behind if body.depth is not None]
        if depths:
            reach = max(depths) + ((device.plug_room.depth or 0.0) if device.plug_room else 0.0)
            if deepest is None or reach > deepest[0]:
                deepest = (reach, device.id)
    return deepest[1] if deepest else None


def drawing_sheets(plan: Plan) -> tuple[Scene, ...]:
    """Return the sheets of all panels' drawings."""
    return tuple(scene for panel in plan.project.panels.values() for scene in panel_scenes(plan, panel))


def drawings(plan: Plan) -> Iterator[File]:
    """Make each sheet of each panel's drawing as SVG."""
    for panel in plan.project.panels.values():
        for number, scene in enumerate(panel_scenes(plan, panel), start=1):
            yield f"drawings/{plain(panel.id)}-{number}.svg", svg_text(scene).encode("utf-8")


def sides_of(plan: Plan, panel: Panel) -> tuple[Side, ...]:
    """Return the sides a panel may be cut from: both, or the front alone where nothing goes through the sheet."""
    placed = plan.arrangement.placed.values() if plan.arrangement else ()
    here = [plan.project.devices[one.device] for one in placed if one.panel == panel.id]
    through = panel.holes or any(device.cutout for device in here)
    return SIDES if through else ("front",)


def panel_templates(plan: Plan) -> dict[str, dict[str, Template]]:
    """Return the templates of each open panel by its id: front and rear on small sheets, all on one large sheet."""
    return plan.once("templates", lambda: _templates(plan))


def _templates(plan: Plan) -> dict[str, dict[str, Template]]:
    project, arrangement, found = plan.project, plan.arrangement, plan.found
    if arrangement is None:
        return {}
    printer = Measured(across_mm=plan.measured[0], up_mm=plan.measured[1]) if plan.measured else None
    paper, series = project.workshop.paper, series_of(project)
    made: dict[str, dict[str, Template]] = {}
    for panel in project.panels.values():
        if panel.work_state == "cut":
            continue
        tiled = {
            f"{paper}-{side}": tiled_template(
                project, arrangement, panel.id, side=side, measured=printer, findings=found
            )
            for side in sides_of(plan, panel)
        }
        whole = full_size_template(project, arrangement, panel.id, series=series, findings=found)
        made[panel.id] = {**tiled, "one-sheet": whole}
    return made


def templates(plan: Plan) -> Iterator[File]:
    """Make each open panel's template on small sheets, and on one large sheet."""
    block = plan.project.project
    for panel, made in panel_templates(plan).items():
        name = plan.project.panels[panel].name or panel
        for kind, template in made.items():
            if template.scenes:
                title = f"{block.name}: {name}, cutting template"
                info = DocumentInfo(title=title, revision=block.revision, subject=f"cut from {template.side}")
                yield f"templates/{plain(panel)}-{kind}.pdf", pdf_bytes(template.scenes, info)


def templates_withheld(plan: Plan) -> Iterator[tuple[str, Finding]]:
    """Yield the templates that are not written, with the first finding that forbids each."""
    for panel, made in panel_templates(plan).items():
        reasons = [finding for template in made.values() for finding in template.withheld]
        if reasons:
            name = plan.project.panels[panel].name or panel
            yield f"template and machine files of {name}", reasons[0]


def machine_files(plan: Plan) -> Iterator[File]:
    """Make each open panel's DXF and SVG for laser, router or mill."""
    if plan.arrangement is None:
        return
    for panel in plan.project.panels.values():
        if panel.work_state == "cut":
            continue
        file = machine_file(plan.project, plan.arrangement, panel.id, engrave=True, findings=plan.found)
        if file.scene is not None:
            yield f"machine/{plain(panel.id)}.dxf", file.dxf().encode("utf-8")
            yield f"machine/{plain(panel.id)}.svg", file.svg().encode("utf-8")
