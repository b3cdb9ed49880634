"""The template's first pages: map of sheets, scale check, tools, order of work, table of holes, cautions."""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING

from layout.drawing.elements.metrics import fitted_text
from layout.drawing.elements.numerals import mm
from layout.drawing.elements.scene import Item, Scene, Text
from layout.drawing.elements.scene_table import SceneColumn, SceneTable
from layout.drawing.panel.holes import depth_text
from layout.drawing.paper.drawing_sheets import CAUTIONS, cautions_items
from layout.drawing.template.order_of_work import order_of_work, tool_list
from layout.drawing.template.print_marks import GRID_DIAGONAL_MM, MARK_GRID_MM, bars, line_key, page_map
from layout.drawing.template.sheet_strength import close_fixings, strength
from layout.drawing.template.text_column import Flow
from layout.drawing.template.tools import tolerance_of
from layout.drawing.template.true_scale import limit_mm
from layout.geometry.path import Box

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.drawing.panel.holes import Hole
    from layout.drawing.panel.rebates import SheetRebate
    from layout.drawing.paper.drawing_sheets import Sheet
    from layout.drawing.template.order_of_work import HoleJob
    from layout.drawing.template.template_content import Content
    from layout.drawing.template.tile_grid import Grid
    from layout.drawing.template.true_scale import MeasuredPrinter
    from layout.project.model.project import Project

TEMPLATE_CAUTIONS = (
    "What is drawn DO NOT CUT has sizes that nobody confirmed: measure the device first.",
    "Use low-tack film or paper, and cut before the finish goes on.",
)

_MARGIN_MM = 14.0
_MAP_MM = 46.0


def cover_scenes(
    project: Project,
    content: Content,
    found: Sequence[Hole],
    *,
    paper: Sheet,
    grid: Grid | None,
    measured: MeasuredPrinter,
) -> list[Scene]:
    """Return the first pages in true mm on upright ``paper``; ``grid`` is None for a single large sheet."""
    shapes, head = content.shapes, project.project
    room = Box(_MARGIN_MM, _MARGIN_MM, paper.width_mm - _MARGIN_MM, paper.height_mm - _MARGIN_MM - 12.0)
    flow = Flow(room)
    flow.text(f"Cutting template: {shapes.name}", height_mm=5.0, bold=True)
    flow.text(f"{head.name}, cut from the {shapes.side.upper()}", height_mm=3.5)
    flow.gap(1.0)
    flow.text(_facts(project, content, grid))
    if measured.text:
        flow.text(f"{measured.text}. Bars printed with it must measure 100 mm and 4 in.", bold=True)
    else:
        flow.text(
            "If the bars do not measure 100 mm, print again with: spile template FILE --bars ACROSSxALONG, what they"
            " measure across the short and along the long side of the sheet."
        )
    flow.gap(3.0)
    _cautions(flow)
    flow.gap(2.5)
    if grid is not None:
        flow.text(
            f"Pale grid on every sheet: squares of {MARK_GRID_MM:g} mm from the datum. Both diagonals of a square are"
            f" {GRID_DIAGONAL_MM:g} mm; if they differ by 0.2 mm the printer skews: do not cut from it."
        )
    flow.text("On every sheet:")
    flow.gap(2.0)
    flow.block((line_key((flow.room.x0, flow.y - 2.0), flow.room.width, rebate=bool(content.rebates)),), 5.0)
    flow.heading("Check the scale first")
    _scale_check(flow, content)
    if grid is not None:
        flow.heading("Sheets")
        _map(flow, grid)
    flow.heading("Tools")
    for row in tool_list(content.jobs, content.rebates):
        flow.text(row)
    flow.heading("Order of work")
    for step in order_of_work(content.jobs, shapes.panel, side=shapes.side, rebates=content.rebates):
        flow.text(_step(step.what, step.tool, step.marks), indent_mm=8.0, lead=f"{step.number}")
    flow.heading("Strength")
    _strength(flow, content, found)
    flow.gap(5.0)
    flow.table(work_table(content.jobs, shapes.panel.thickness, room.width, content.rebates))
    return [
        _page(project, content, paper, items, number=number, count=len(flow.pages))
        for number, items in enumerate(flow.pages, start=1)
    ]


def _facts(project: Project, content: Content, grid: Grid | None) -> str:
    """Return one paragraph about the panel and its paper."""
    panel, head = content.shapes.panel, project.project
    grain = f", grain {panel.grain}" if panel.grain else ""
    hinge = f" Hinge: {panel.hinge.side} as seen from the front." if panel.hinge else ""
    made = " Invented data." if head.example else ""
    sheets = f" {len(grid.tiles)} sheets of {grid.page.paper.name}." if grid else ""
    stated = f"Number {head.number or '–'}, revision {head.revision or '–'}, {head.date or 'no date'}."
    material = f"{panel.material[:1].upper()}{panel.material[1:]}"
    return f"{stated} {material}, {mm(panel.thickness)} mm{grain}.{hinge}{sheets}{made}"


def work_table(
    work: Sequence[HoleJob], thickness_mm: float, room_mm: float, rebates: Sequence[SheetRebate] = ()
) -> SceneTable:  # fmt: skip
    """Return every rebate and hole to be made: place from the datum, size, limits, depth, tool, device."""
    rows = [
        (step.mark, mm(step.xy[0]), mm(step.xy[1]), step.size, "", f"{mm(step.depth_mm)} deep",
         "router" if step.confirmed else "DO NOT CUT", f"{step.name}, rebate")
        for step in rebates
    ]  # fmt: skip
    for job in work:
        hole, allowed = job.hole, tolerance_of(job.hole)
        limits = f"+{mm(allowed.plus)}" + (f" −{mm(allowed.minus)}" if allowed.minus else "")
        tool = job.choice.text if hole.confirmed else "DO NOT CUT"
        rows.append((hole.mark, mm(hole.xy[0]), mm(hole.xy[1]), hole.size, limits, depth_text(hole, thickness_mm), tool,
                     hole.name if hole.fixing is None else f"{hole.name}, {hole.use}"))  # fmt: skip
    titles = ("Hole", "X", "Y", "Size", "Limits", "Depth", "Tool", "Device")
    columns = [SceneColumn(title=t, align="right" if t in {"X", "Y"} else "left") for t in titles]
    fixed = SceneTable(columns=tuple(columns[:-1]), rows=tuple(row[:-1] for row in rows), height_mm=2.0)
    rest = max(20.0, room_mm - sum(fixed.column_widths_mm()) - 4.0)
    columns[-1] = SceneColumn(title="Device", most_mm=rest)
    heading = "Holes to make, X and Y of centres from the datum, X to the right as seen from the front"
    return SceneTable(columns=tuple(columns), rows=tuple(rows), heading=heading, height_mm=2.0)


def _step(what: str, tool: str, marks: tuple[str, ...]) -> str:
    words = f"{tool[0].upper()}{tool[1:]}. {what}" if tool else what
    named = "Hole" if len(marks) == 1 else "Holes"
    return f"{words} {named} {', '.join(marks)}." if marks else words


def _cautions(flow: Flow) -> None:
    items, height = cautions_items((*CAUTIONS, *TEMPLATE_CAUTIONS), (flow.room.x0, flow.y), flow.room.width)
    flow.block(items, height)


def _scale_check(flow: Flow, content: Content) -> None:
    flow.text("Measure both bars on every sheet, both ways. Then join the sheets and measure between the crosses:")
    flow.gap(1.0)
    points = dict(content.crosses)
    rows = []
    for name, first, second in (
        ("across, below", "Q", "R"),
        ("across, above", "T", "S"),
        ("up, left", "Q", "T"),
        ("up, right", "R", "S"),
        ("diagonal", "Q", "S"),
        ("diagonal", "R", "T"),
    ):
        (xa, ya), (xb, yb) = points[first], points[second]
        distance = hypot(xb - xa, yb - ya)
        limit = limit_mm(distance)
        rows.append(
            (f"{first} to {second}", name, f"{distance:.1f}", f"{distance - limit:.1f} to {distance + limit:.1f}", "")
        )
    columns = (
        SceneColumn(title="Crosses"),
        SceneColumn(title="Direction"),
        SceneColumn(title="True, mm", align="right"),
        SceneColumn(title="Cut only within, mm", align="right"),
        SceneColumn(title="Measured, mm        "),
    )
    flow.table(SceneTable(columns=columns, rows=tuple(rows)))
    flow.gap(3.0)
    flow.need(14.0)
    flow.block((bars((flow.room.x0, flow.y - 8.0), upright=False),), 10.0)


def _map(flow: Flow, grid: Grid) -> None:
    page = grid.page.window
    tall = min(_MAP_MM, flow.room.width * page.height * grid.rows / (page.width * grid.columns))
    flow.need(tall + 6.0)
    box = Box(flow.room.x0, flow.y - tall, flow.room.x1, flow.y)
    flow.block((page_map(grid, None, box, names=True),), tall + 2.0)
    left_out = f" Left out because nothing is on them: {', '.join(grid.blank)}." if grid.blank else " None is left out."
    flow.text(
        f"{len(grid.tiles)} sheets, named row/column, rows from the top.{left_out} Letters on the seams match;"
        " cut the upper and right sheet on its dashed line, lay it over the other with the crosses on each other."
    )


def _strength(flow: Flow, content: Content, found: Sequence[Hole]) -> None:
    left = strength(content.shapes, found)
    panel = content.shapes.panel
    if web := left.narrowest:
        between = f"holes {web.first} and {web.second}" if web.second != "edge" else f"hole {web.first} and the edge"
        flow.text(f"Narrowest web {mm(web.width_mm, digits=1)} mm, between {between}; at least"
                  f" {mm(left.least_web_mm)} mm for {mm(panel.thickness)} mm {panel.material}.")  # fmt: skip
    else:
        flow.text(f"All webs between cut-outs are wider than {mm(2 * left.least_web_mm)} mm.")
    if close := close_fixings(found):
        near, marks = close[0], ", ".join(web.first for web in close)
        flow.text(
            f"Screw holes near a cut-out: {mm(near.width_mm, digits=1)} mm are left at {near.first}. Drill {marks}"
            " after the device was tried in, through its own holes.",
            bold=True,
        )
    flow.text(f"Cut away: {left.removed:.0%} of the sheet; at most {left.most_removed:.0%}.")
    flow.text("Least web, share and thickness: common practice, no single source.")


def _page(project: Project, content: Content, paper: Sheet, items: Sequence[Item], *, number: int, count: int) -> Scene:
    head, top = project.project, paper.height_mm - _MARGIN_MM
    made = "Invented data" if head.example else ""
    running = " · ".join(
        filter(None, (made, head.name, content.shapes.name, head.number, f"rev. {head.revision}", head.date))
    )
    room = paper.width_mm - 2 * _MARGIN_MM - 30.0
    line_items: tuple[Item, ...] = (
        Text((_MARGIN_MM, top - 2.5), fitted_text(running, 2.5, room), 2.5),
        Text((paper.width_mm - _MARGIN_MM, top - 2.5), f"{number} / {count}", 2.5, "right"),
    )
    return Scene(
        width_mm=paper.width_mm,
        height_mm=paper.height_mm,
        items=(*line_items, *items),
        title=f"Read first {number}, cut from {content.shapes.side}",
        section=content.shapes.name,
    )
