"""Findings about cutting: tools, strength, what is guessed, printer scale."""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING

from layout.drawing.elements.numerals import mm
from layout.drawing.panel.holes import holes, whence
from layout.drawing.panel.placed_panel import panel_shapes
from layout.drawing.template.order_of_work import HoleJob, jobs
from layout.drawing.template.rebate_findings import rebate_findings
from layout.drawing.template.sheet_strength import strength
from layout.drawing.template.tools import owned, tolerance_of
from layout.drawing.template.true_scale import OVER_LIMIT
from layout.drawing.writers.machine_file import names_engraved, too_narrow
from layout.findings import Finding
from layout.geometry.distance import inset_mm
from layout.geometry.union import union
from layout.project.model.panel import SizeFrom

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.drawing.panel.holes import Hole
    from layout.drawing.panel.placed_panel import PanelShapes
    from layout.drawing.template.true_scale import MeasuredPrinter
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project


_MEASURE_TRACED = "measure both, for the traced size is not sure to a tenth; "
PASSING_MM = 0.01
"""A body that is larger by less than this goes through."""


def template_findings(
    project: Project, arrangement: Arrangement, *, measured: MeasuredPrinter | None = None
) -> tuple[Finding, ...]:
    """Return what speaks against cutting the panels of an arrangement as they stand."""
    found: list[Finding] = []
    tools = owned(project.workshop)
    for panel_id in project.panels:
        shapes = panel_shapes(project, arrangement, panel_id)
        its_holes = holes(shapes)
        found += _guessed(project, its_holes)
        found += _passing(project, shapes)
        found += _unsure_outline(project, panel_id)
        for job in jobs(its_holes, tools):
            found += _tool(project, job)
        found += _strength(project, shapes, its_holes)
        found += rebate_findings(project, shapes, its_holes)
        found += _machine(project, shapes, its_holes)
    if tools.assumed and project.panels:
        found.append(
            Finding(
                rule="cut 2",
                message=f"the workshop does not list its {' and '.join(tools.assumed)}; the usual series is assumed",
                at=project.place_of("workshop"),
                remedy="list the diameters you own under workshop: saws and drills",
                subjects=tuple(f"workshop.{name}" for name in tools.assumed),
            )
        )
    if measured is not None:
        found += _scale(measured)
    return tuple(found)


def _guessed(project: Project, its_holes: tuple[Hole, ...]) -> Iterator[Finding]:
    names = {hole.device: hole for hole in its_holes if not hole.confirmed and not hole.done}
    for device, hole in names.items():
        yield Finding(
            rule="cut 3",
            message=f"the sizes of {hole.name} are {whence(hole.size_from)}; its holes are drawn DO NOT CUT",
            at=project.place_of(f"devices.{device}.size_from"),
            remedy="measure the device or take its maker's drawing, then write size_from: measured or maker",
            subjects=(f"devices.{device}",),
        )


def _passing(project: Project, shapes: PanelShapes) -> Iterator[Finding]:
    """Yield the bodies that do not go through their own cut-outs.

    A rectangle without a radius says nothing of its corners: they may be as round as the cut-out's. The tolerance of
    a traced cut-out says how unsure its size is: no room is left by it.
    """
    for device in shapes.devices:
        model = device.device
        if model.fitted_from == "rear" or model.work_state == "cut" or not device.cutouts:
            continue
        traced = model.size_from is SizeFrom.TRACED
        spare = model.cutout_tolerance.plus / 2 if model.cutout_tolerance and not traced else 0.0
        rounded = max(shape.radius for shape in model.cutout)
        openings = union(device.cutouts)
        for path, body in device.bodies:
            left = max((inset_mm(path, opening) for opening in openings), default=0.0)
            plain = body.shape.kind == "rect" and not body.shape.radius
            corner = (sqrt(2) - 1) * rounded if plain else 0.0
            if left < -spare - corner - PASSING_MM:
                yield Finding(
                    rule="cut 6",
                    message=f"the body of {device.name} is {mm(-left)} mm larger than its cut-out at its widest place"
                    " and does not go through",
                    at=project.place_of(f"devices.{model.id}"),
                    remedy=(_MEASURE_TRACED if traced else "")
                    + "enlarge the cut-out or correct the body; write fitted_from: rear if it goes in from behind",
                    measured=-left,
                    limit=spare,
                    unit="mm",
                    subjects=(f"devices.{model.id}",),
                )


def _unsure_outline(project: Project, panel: str) -> Iterator[Finding]:
    outline = project.panels[panel]
    if outline.size_from in {SizeFrom.GUESSED, SizeFrom.CATALOGUE}:
        yield Finding(
            rule="cut 3",
            message=f"the outline of {outline.name or panel} is {whence(outline.size_from)}; DO NOT CUT it",
            at=project.place_of(f"panels.{panel}.size_from"),
            remedy="measure the panel, or trace it with thickness and tape told, then write size_from",
            subjects=(f"panels.{panel}",),
        )


def _tool(project: Project, job: HoleJob) -> Iterator[Finding]:
    hole, choice = job.hole, job.choice
    if choice.fits:
        return
    allowed = tolerance_of(hole)
    limits = f"{mm(_nominal(hole) - allowed.minus)} to {mm(_nominal(hole) + allowed.plus)} mm"
    if choice.tool == "none":
        remedy = f"get a drill or saw of {limits}, or a jigsaw"
    elif choice.open_by_mm:
        remedy = f"use {choice.text}, or get one of {limits}"
    else:
        remedy = f"cut it with the {choice.tool}, or get a saw of {limits}"
    key = f"devices.{hole.device}" + (".fixings" if hole.kind == "fixing" else ".cutout")
    yield Finding(
        rule="cut 1",
        message=f"no tool at hand makes hole {hole.mark} of {hole.name}, {hole.size} ({limits})",
        at=project.place_of(key),
        remedy=remedy,
        measured=choice.diameter_mm,
        limit=_nominal(hole) - allowed.minus,
        unit="mm",
        subjects=(f"devices.{hole.device}", "workshop"),
    )


def _nominal(hole: Hole) -> float:
    box = hole.path.bounds()
    return hole.diameter_mm or max(box.width, box.height)


def _strength(project: Project, shapes: PanelShapes, its_holes: tuple[Hole, ...]) -> Iterator[Finding]:
    left, panel = strength(shapes, its_holes), shapes.panel
    at = project.place_of(panel.key)
    subject = panel.key
    for web in left.webs:
        if web.width_mm >= left.least_web_mm - 1e-9:
            continue
        between = f"holes {web.first} and {web.second}" if web.second != "edge" else f"hole {web.first} and the edge"
        names = " and ".join(dict.fromkeys(hole.name for hole in web.holes))
        yield Finding(
            rule="cut 10",
            message=f"only {mm(web.width_mm)} mm of {panel.material} are left between {between} ({names}) of"
            f" {shapes.name}; {mm(left.least_web_mm)} mm is the least for {mm(panel.thickness)} mm",
            at=at,
            remedy=f"move them apart by {mm(left.least_web_mm - web.width_mm)} mm, or stiffen the rear there",
            measured=web.width_mm,
            limit=left.least_web_mm,
            unit="mm",
            subjects=(subject, *dict.fromkeys(f"devices.{hole.device}" for hole in web.holes)),
        )
    if left.removed > left.most_removed:
        yield Finding(
            rule="cut 11",
            message=f"{left.removed:.0%} of {shapes.name} is cut away; {left.most_removed:.0%} is the most for"
            f" {panel.material}",
            at=at,
            remedy="take a larger or thicker panel, or stiffen its rear with battens",
            measured=left.removed * 100,
            limit=left.most_removed * 100,
            unit="%",
            subjects=(subject,),
        )
    if left.heaviest and (left.least_thickness_mm is None or panel.thickness < left.least_thickness_mm):
        need = f"{mm(left.least_thickness_mm)} mm" if left.least_thickness_mm else "more than the table goes to"
        yield Finding(
            rule="cut 12",
            message=f"{shapes.name} is {mm(panel.thickness)} mm of {panel.material};"
            f" {project.devices[left.heaviest].name}"
            f" of {left.heaviest_kg:g} kg asks for {need}",
            at=project.place_of(panel.key.inner("thickness")),
            remedy="take a thicker sheet, or carry the device's weight behind it",
            measured=panel.thickness,
            limit=left.least_thickness_mm,
            unit="mm",
            subjects=(subject, f"devices.{left.heaviest}"),
        )
    if left.unknown_weight:
        names = ", ".join(project.devices[name].name or name for name in left.unknown_weight)
        yield Finding(
            rule="cut 13",
            message=f"the weight of {names} is not known, so the thickness of {shapes.name} is not checked against it",
            at=at,
            remedy="weigh them and write weight",
            subjects=(subject, *(f"devices.{name}" for name in left.unknown_weight)),
        )


def _machine(project: Project, shapes: PanelShapes, its_holes: tuple[Hole, ...]) -> Iterator[Finding]:
    if shapes.panel.work_state == "cut":
        return
    kerf = project.workshop.kerf
    for hole in too_narrow(its_holes, kerf) if kerf else ():
        yield Finding(
            rule="cut 4",
            message=f"a tool of {mm(kerf or 0.0)} mm does not fit into hole {hole.mark} of {hole.name}, {hole.size}",
            at=project.place_of("workshop.kerf"),
            related=(project.place_of(f"devices.{hole.device}.cutout"),),
            remedy="use a narrower tool for it; it stands on the layer reference of the machine's files",
            measured=min(hole.path.bounds().width, hole.path.bounds().height),
            limit=kerf,
            unit="mm",
            subjects=(f"devices.{hole.device}", "workshop"),
        )
    for words in names_engraved(shapes)[1]:
        yield Finding(
            rule="cut 5",
            message=f"no free sheet beside its face is left to engrave '{words}' on {shapes.name}",
            at=project.place_of(f"panels.{shapes.panel.id}"),
            remedy="leave more room beside the device, or label it by hand",
            subjects=(f"panels.{shapes.panel.id}",),
        )


def _scale(measured: MeasuredPrinter) -> Iterator[Finding]:
    for way, value in (("across", measured.across_mm), ("up", measured.up_mm)):
        off = value / 100 - 1
        if abs(off) > OVER_LIMIT:
            yield Finding(
                rule="cut 20",
                message=f"the printer's 100 mm bar {way} the page measures {mm(value)} mm, {abs(off):.1%} off",
                remedy="print at 100 % without fitting to the page, and measure again",
                measured=value,
                limit=100 * (1 + OVER_LIMIT),
                unit="mm",
                subjects=("workshop",),
            )
