"""Make the template of one panel: first pages and tiles, or one large sheet."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.drawing.elements.numerals import mm
from layout.drawing.panel.holes import holes
from layout.drawing.panel.placed_panel import PanelShapes, PanelSide, panel_shapes
from layout.drawing.paper.drawing_sheets import Sheet, sheet
from layout.drawing.paper.stamp import cutting_errors, is_withheld, overprint, panel_subjects
from layout.drawing.template.first_pages import cover_scenes
from layout.drawing.template.large_sheet import large_sheet
from layout.drawing.template.order_of_work import jobs
from layout.drawing.template.seam_places import seam_places
from layout.drawing.template.template_content import Content, content
from layout.drawing.template.tile_grid import Grid, choose_page
from layout.drawing.template.tile_sheet import tile_scene
from layout.drawing.template.tile_window import is_blank
from layout.drawing.template.tools import owned
from layout.drawing.template.true_scale import MeasuredPrinter
from layout.geometry.path import Box
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layout.drawing.elements.scene import Scene
    from layout.findings import Finding
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project


@dataclass(frozen=True, slots=True, kw_only=True)
class Template:
    """A template ready to be written, or the reasons why there is none.

    Attributes
    ----------
    scenes
        Pages in order; empty when it is withheld.
    grid
        The tiles; None for one large sheet.
    withheld
        Geometry errors that forbid it.
    """

    panel: str
    side: PanelSide
    scenes: tuple[Scene, ...]
    grid: Grid | None = None
    withheld: tuple[Finding, ...] = ()


def tiled_template(
    project: Project,
    arrangement: Arrangement,
    panel_id: str,
    *,
    side: PanelSide | None = None,
    paper: str | None = None,
    margin_mm: float | None = None,
    overlap_mm: float | None = None,
    measured: MeasuredPrinter | None = None,
    findings: Iterable[Finding] = (),
) -> Template:
    """Return the full-size template of a panel on small sheets.

    Parameters
    ----------
    side
        ``front`` or ``rear`` (mirrored); the workshop's own unless given. So for paper (A4, A3, Letter,
        Legal, Tabloid), printable margin and overlap.
    measured
        What the printer's 100 mm bars measured; the pages are stretched to undo it.
    findings
        A geometry error among them that concerns the panel withholds the template; any other error
        about holes prints NOT FOR CUTTING over every sheet.

    Raises
    ------
    ValueError
        Margin and overlap leave no room on the paper.
    """
    shop = project.workshop
    side = side or shop.cut_from
    errors = cutting_errors(findings, panel_subjects(project, panel_id))
    if is_withheld(errors, panel_subjects(project, panel_id)):
        return Template(panel=panel_id, side=side, scenes=(), withheld=errors)
    printer = measured or MeasuredPrinter()
    shown = template_content(project, arrangement, panel_id, side)
    grid = choose_page(
        shown.box,
        paper or shop.paper,
        margin_mm=shop.printer_margin if margin_mm is None else margin_mm,
        overlap_mm=shop.overlap if overlap_mm is None else overlap_mm,
        printer=printer,
        is_blank=lambda cell: is_blank(shown, cell),
        cuts=[hole.path.bounds() for hole in holes(shown.shapes) if not hole.done],
    )
    named = sheet(paper or shop.paper)
    upright = Sheet(
        name=named.name,
        width_mm=named.width_mm * printer.across_mm / 100,
        height_mm=named.height_mm * printer.up_mm / 100,
    )
    covers = cover_scenes(project, shown, holes(shown.shapes), paper=upright, grid=grid, measured=printer)
    lines = strip_lines(project, shown, printer)
    places = seam_places(shown, grid)
    tiles = [
        tile_scene(shown, grid, tile, places=places, lines=lines, number=f"sheet {number} of {len(grid.tiles)}")
        for number, tile in enumerate(grid.tiles, start=1)
    ]
    lengthways = grid.page.paper.width_mm > grid.page.paper.height_mm
    scenes = [replace(scene, stretch=printer.stretch) for scene in covers]
    scenes += [replace(tile, stretch=(printer.turned if lengthways else printer).stretch) for tile in tiles]
    return Template(panel=panel_id, side=side, scenes=tuple(_stamped(scene, errors) for scene in scenes), grid=grid)


def full_size_template(
    project: Project,
    arrangement: Arrangement,
    panel_id: str,
    *,
    side: PanelSide | None = None,
    series: str = "iso",
    findings: Iterable[Finding] = (),
) -> Template:
    """Return the full-size template of a panel on one large sheet for a plotter, first pages before it."""
    side = side or project.workshop.cut_from
    errors = cutting_errors(findings, panel_subjects(project, panel_id))
    if is_withheld(errors, panel_subjects(project, panel_id)):
        return Template(panel=panel_id, side=side, scenes=(), withheld=errors)
    shown = template_content(project, arrangement, panel_id, side)
    paper = sheet("A4" if series == "iso" else "Letter")
    covers = cover_scenes(project, shown, holes(shown.shapes), paper=paper, grid=None, measured=MeasuredPrinter())
    scenes = [*covers, large_sheet(project, shown, series=series)]
    return Template(panel=panel_id, side=side, scenes=tuple(_stamped(scene, errors) for scene in scenes))


def template_content(project: Project, arrangement: Arrangement, panel_id: str, side: PanelSide) -> Content:
    """Return what the template of a panel shows from one side."""
    shapes: PanelShapes = panel_shapes(project, arrangement, panel_id)
    if side == "rear":
        shapes = shapes.mirrored()
    return content(shapes, jobs(holes(shapes), owned(project.workshop)))


def strip_lines(project: Project, shown: Content, printer: MeasuredPrinter) -> tuple[str, ...]:
    """Return what the strip of every tile says."""
    head, shapes = project.project, shown.shapes
    grain = {"across": ", grain ↔", "up": ", grain ↕"}.get(shapes.panel.grain or "", "")
    stated = ", ".join(filter(None, (head.name, head.number, f"rev. {head.revision}", head.date)))
    scale = printer.text or "Print at 100 %, never fit to page"
    made = f"{shapes.panel.material} {mm(shapes.panel.thickness)} mm"
    invented = "Invented data. " if head.example else ""
    return (
        f"{shapes.name}: CUT FROM {shapes.side.upper()}, up ↑{grain}, {made}. {stated}",
        f"{invented}{scale}. Measure both bars, both ways. Cautions on the first page.",
    )


def _stamped(scene: Scene, errors: tuple[Finding, ...]) -> Scene:
    if not errors:
        return scene
    box = Box(0.0, 0.0, scene.width_mm, scene.height_mm).grown(-10.0)
    return replace(scene, items=(*scene.items, overprint(box, "NOT FOR CUTTING")))
