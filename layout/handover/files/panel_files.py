"""The documents of each panel: drawings from both sides, sections, templates on paper, files for machines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.panel.as_it_is import as_it_is
from layout.drawing.panel.panel_drawing import panel_drawing
from layout.drawing.panel.rear_view import rear_drawing
from layout.drawing.panel.section import section_drawing
from layout.drawing.paper.stamp import cutting_errors, hole_errors, is_withheld, panel_subjects
from layout.drawing.template.template_pages import Template, full_size_template, tiled_template
from layout.drawing.template.true_scale import MeasuredPrinter
from layout.drawing.writers.machine_file import machine_file
from layout.drawing.writers.pdf import DocumentInfo, pdf_bytes
from layout.drawing.writers.svg import svg_text
from layout.handover.files.file_names import plain_name
from layout.handover.paper.paper_choice import series_of
from layout.light_dataclass import dataclass
from layout.project.model.project import Project

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from layout.drawing.elements.scene import Scene, Underlay
    from layout.drawing.panel.placed_panel import PanelSide
    from layout.findings import Finding
    from layout.handover.document import File
    from layout.handover.plan import Plan
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.panel import Panel

_SIDES: tuple[PanelSide, ...] = ("front", "rear")


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelFacts:
    """What drawings, templates and machine files are made from: nothing of wires, networks and energy.

    Attributes
    ----------
    project
        Only its title block, workshop, panels and devices.
    findings
        Errors that may bear on holes.
    photographs
        Of panels by their id, in panel mm.
    """

    project: Project
    arrangement: Arrangement | None
    findings: tuple[Finding, ...]
    measured: MeasuredPrinter | None
    photographs: Mapping[str, Underlay]


def panel_facts(plan: Plan) -> PanelFacts:
    """Return what a plan says of its panels."""
    return plan.once("panel facts", lambda: _facts(plan))


def _facts(plan: Plan) -> PanelFacts:
    whole = plan.project
    return PanelFacts(
        project=Project(
            spile=whole.spile, project=whole.project, workshop=whole.workshop, panels=whole.panels,
            devices=whole.devices,
        ),
        arrangement=plan.arrangement,
        findings=hole_errors(plan.found),
        measured=MeasuredPrinter(across_mm=plan.measured[0], up_mm=plan.measured[1]) if plan.measured else None,
        photographs=plan.photographs,
    )  # fmt: skip


def panel_scenes(plan: Plan, panel: Panel) -> tuple[Scene, ...]:
    """Return a panel's drawings on sheets: its photograph, front, rear, a section through its deepest device."""
    return plan.once(f"drawing {panel.id}", lambda: _drawn(panel_facts(plan), panel))


def _drawn(known: PanelFacts, panel: Panel) -> tuple[Scene, ...]:
    project, arrangement, found = known.project, known.arrangement, known.findings
    if arrangement is None:
        return ()
    series = series_of(project)
    scenes: list[Scene] = []
    if panel.id in known.photographs:
        scenes.append(as_it_is(project, arrangement, panel.id, known.photographs[panel.id], series=series))
    scenes += panel_drawing(project, arrangement, panel.id, findings=found, series=series)
    if panel.kind == "panel":
        scenes += rear_drawing(project, arrangement, panel.id, findings=found, series=series)
        deepest = deepest_device(project, arrangement, panel)
        if deepest is not None:
            scenes.append(section_drawing(project, arrangement, panel.id, deepest, findings=found, series=series))
    return tuple(scenes)


def deepest_device(project: Project, arrangement: Arrangement, panel: Panel) -> str | None:
    """Return the id of the device that reaches furthest behind a panel; None where no depth is known."""
    deepest: tuple[float, str] | None = None
    for placed in arrangement.placed.values():
        device = project.devices.get(placed.device)
        if device is None or placed.panel != panel.id:
            continue
        depths = [body.depth for body in device.behind if body.depth is not None]
        if depths:
            reach = max(depths) + ((device.plug_room.depth or 0.0) if device.plug_room else 0.0)
            if deepest is None or reach > deepest[0]:
                deepest = (reach, device.id)
    return deepest[1] if deepest else None


def panel_drawing_sheets(plan: Plan) -> tuple[Scene, ...]:
    """Return the sheets of all panels' drawings."""
    return tuple(scene for panel in plan.project.panels.values() for scene in panel_scenes(plan, panel))


def drawings(plan: Plan) -> Iterator[File]:
    """Make each sheet of each panel's drawing as SVG."""
    for panel in plan.project.panels.values():
        for number, scene in enumerate(panel_scenes(plan, panel), start=1):
            yield f"drawings/{plain_name(panel.id)}-{number}.svg", svg_text(scene).encode("utf-8")


def _sides_of(project: Project, arrangement: Arrangement, panel: Panel) -> tuple[PanelSide, ...]:
    """Return the sides a panel may be cut from: both, or the front alone where nothing goes through the sheet."""
    here = [project.devices[one.device] for one in arrangement.placed.values() if one.panel == panel.id]
    through = panel.holes or any(device.cutout for device in here)
    return _SIDES if through else ("front",)


def panel_templates(plan: Plan) -> dict[str, dict[str, Template]]:
    """Return the templates of each open panel by its id: front and rear on small sheets, all on one large sheet."""
    return plan.once("templates", lambda: _templates(panel_facts(plan)))


def _templates(known: PanelFacts) -> dict[str, dict[str, Template]]:
    project, arrangement, found = known.project, known.arrangement, known.findings
    if arrangement is None:
        return {}
    paper, series = project.workshop.paper, series_of(project)
    made: dict[str, dict[str, Template]] = {}
    for panel in project.panels.values():
        if panel.work_state == "cut":
            continue
        tiled = {
            f"{paper}-{side}": tiled_template(
                project, arrangement, panel.id, side=side, measured=known.measured, findings=found
            )
            for side in _sides_of(project, arrangement, panel)
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
                yield f"templates/{plain_name(panel)}-{kind}.pdf", pdf_bytes(template.scenes, info)


def templates_withheld(plan: Plan) -> Iterator[tuple[str, Finding]]:
    """Yield the templates that are not written, with the first finding that forbids each."""
    known = panel_facts(plan)
    if known.arrangement is None:
        return
    for panel in known.project.panels.values():
        subjects = panel_subjects(known.project, panel.id)
        if panel.work_state != "cut" and is_withheld(known.findings, subjects):
            reason = cutting_errors(known.findings, subjects)[0]
            yield f"template and machine files of {panel.name or panel.id}", reason


def machine_files(plan: Plan) -> Iterator[File]:
    """Make each open panel's DXF and SVG for laser, router or mill."""
    known = panel_facts(plan)
    if known.arrangement is None:
        return
    for panel in known.project.panels.values():
        if panel.work_state == "cut":
            continue
        file = machine_file(known.project, known.arrangement, panel.id, engrave=True, findings=known.findings)
        if file.scene is not None:
            yield f"machine/{plain_name(panel.id)}.dxf", file.dxf().encode("utf-8")
            yield f"machine/{plain_name(panel.id)}.svg", file.svg().encode("utf-8")
