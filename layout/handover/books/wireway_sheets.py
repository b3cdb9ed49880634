"""One sheet for each wireway: what it is, what lies in it, how full it is, in which order to pull."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import PageBreak, Spacer

from layout.drawing.diagrams.conduit_section import CableCircle, conduit_section
from layout.drawing.elements import colours
from layout.drawing.writers.flowable import SceneFlowable
from layout.drawing.writers.pdf import POINTS_PER_MM
from layout.handover.lists.table import UNKNOWN, Column, Table
from layout.handover.paper.cautions import FOOT
from layout.handover.paper.flow_table import flow_table
from layout.handover.paper.marked_rows import wiring_errors
from layout.handover.paper.page_frame import Faulty, Head, Mark, body_width_mm, pdf_document
from layout.handover.paper.paper_choice import paper_of
from layout.handover.paper.styles import grid, heading, text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from reportlab.platypus import Flowable

    from layout.findings import Finding
    from layout.project.model.project import Project
    from layout.wiring.result import CableIn, Run, WirewayFill, Wiring

COLUMNS = (
    Column(key="order", title="Pull", width_mm=10, align="right"),
    Column(key="number", title="Cable", width_mm=26),
    Column(key="name", title="What it feeds", width_mm=48),
    Column(key="size", title="Conductor", width_mm=22),
    Column(key="cable", title="Kind", width_mm=28),
    Column(key="od_mm", title="Outside", unit="mm", digits=1, width_mm=14, align="right"),
    Column(key="plug_mm", title="Plug", unit="mm", digits=1, width_mm=12, align="right"),
    Column(key="start", title="From", width_mm=50),
    Column(key="end", title="To", width_mm=50),
)


def wireway_table(project: Project, wiring: Wiring, fill: WirewayFill) -> Table:
    """Return what lies in one wireway, in pulling order."""
    runs = {run.key: run for run in wiring.runs}
    rows = tuple(_row(first, cables, runs.get(cables[0].run)) for first, cables in _gathered(fill))
    name = _name(project, fill.wireway)
    return Table(name=f"wireway {fill.wireway}", title=f"Wireway: {name}", columns=COLUMNS, rows=rows)


def _gathered(fill: WirewayFill) -> list[tuple[int, list[CableIn]]]:
    """Return the cables with their first number in pulling order; neighbours of one run and size share a row."""
    found: list[tuple[int, list[CableIn]]] = []
    for number, cable in enumerate(fill.cables, start=1):
        last = found[-1][1][-1] if found else None
        if last is not None and (last.run, last.od_mm, last.plug_mm) == (cable.run, cable.od_mm, cable.plug_mm):
            found[-1][1].append(cable)
        else:
            found.append((number, [cable]))
    return found


def _row(first: int, cables: list[CableIn], run: Run | None) -> dict[str, str | int | float | None]:
    cable, count = cables[0], len(cables)
    return {
        "order": str(first) if count == 1 else f"{first}–{first + count - 1}",
        "number": "  ".join(one.number for one in cables),
        "name": run.name if run else "",
        "size": str(run.size) if run and run.size else None,
        "cable": (run.cable or "") if run else "",
        "od_mm": cable.od_mm,
        "plug_mm": cable.plug_mm if cable.plug_mm is not None else "",
        "start": run.wires[0].start.name if run and run.wires else "",
        "end": run.wires[0].end.name if run and run.wires else "",
    }


def wireway_sheets(project: Project, wiring: Wiring, findings: Sequence[Finding] = ()) -> bytes:
    """Return the sheets of all wireways that carry something, as one PDF.

    Parameters
    ----------
    findings
        A sheet whose wireway an error concerns is overprinted NOT FOR WIRING.
    """
    page = paper_of(project, landscape=True)
    head = Head.of(project, "Wireways", caution=FOOT)
    return pdf_document(wireway_story(project, wiring, findings, body_width_mm(page)), head, page)


def wireway_story(
    project: Project, wiring: Wiring, findings: Sequence[Finding], width_mm: float, *, level: int = 0
) -> list[Flowable]:
    """Return the sheets as flowables, each on a page of its own."""
    errors = wiring_errors((*findings, *wiring.findings))
    story: list[Flowable] = []
    used = [fill for fill in wiring.wireways if fill.cables]
    for number, fill in enumerate(used):
        if number:
            story.append(PageBreak())
        mine = [finding for finding in errors if f"wireways.{fill.wireway}" in finding.subjects]
        story += _sheet(project, wiring, fill, mine, width_mm, level=level)
    if not used:
        story.append(text("No cable lies in a wireway.", 2.5))
    return story


def _sheet(
    project: Project, wiring: Wiring, fill: WirewayFill, errors: Sequence[Finding], width_mm: float, *, level: int
) -> list[Flowable]:
    name = _name(project, fill.wireway)
    section = _section(project, wiring, fill)
    left: list[Flowable] = [_facts(project, fill, width_mm / 2 - 4)]
    for finding in errors:
        left += [Spacer(0, 2 * POINTS_PER_MM), text(f"{finding.rule}: {finding.message}", 2.0, colour=colours.ALARM)]
        if finding.remedy:
            left.append(text(f"Way out: {finding.remedy}", 2.0))
    top = grid([[left, section]], [width_mm / 2, width_mm / 2], ("ALIGN", (1, 0), (1, 0), "CENTER"))
    story: list[Flowable] = [Mark(name, level=level), heading(name, 2), top, Spacer(0, 3 * POINTS_PER_MM)]
    if errors:
        story.append(Faulty())
    story += flow_table(wireway_table(project, wiring, fill), width_mm)
    return story


def _section(project: Project, wiring: Wiring, fill: WirewayFill) -> SceneFlowable:
    way = project.wireways[fill.wireway]
    classes = {run.key: run.run_class for run in wiring.runs}
    cables = [
        CableCircle(mark=str(number), od_mm=cable.od_mm, kind=classes.get(cable.run, "dc"))
        for number, cable in enumerate(fill.cables, start=1)
    ]
    return SceneFlowable(
        conduit_section(cables, bore_mm=way.bore, inner_mm=way.inner, compartments=way.compartments, room_mm=(110, 78))
    )


def _facts(project: Project, fill: WirewayFill, width_mm: float) -> Flowable:
    way = project.wireways[fill.wireway]
    size = (
        f"bore {way.bore:g} mm"
        if way.bore
        else f"{way.inner[0]:g} x {way.inner[1]:g} mm inside"
        if way.inner
        else "open"
    )
    limit = "" if fill.limit_percent is None else f"{fill.limit_percent:.0f} %"
    full = "not worked out" if fill.fill_percent is None else f"{fill.fill_percent:.1f} %"
    rows = [
        ("From, to", f"{_place(project, way.from_)}  –  {_place(project, way.to)}"),
        ("Kind", f"{fill.kind}, {size}" + (", in compartments" if way.compartments else "")),
        ("Length", UNKNOWN if fill.length_mm is None else f"{fill.length_mm / 1000:.2f} m"),
        ("Bends", "not stated" if way.bends is None else f"{way.bends:g}° in all"),
        ("Zone", way.zone),
        ("May carry", ", ".join(way.carries)),
        ("Cables", str(len(fill.cables))),
        ("Filled", f"{full}, limit {limit}" if limit else full),
        ("Loaded together", f"{fill.loaded} conductors at most"),
        ("Draw line", "leave a spare one in" if way.draw_line else "none"),
    ]  # fmt: skip
    if fill.jam:
        rows.append(("Jam", "three equal cables may wedge in a bend: pull them together, greased"))
    if way.existing:
        rows.append(("Existing", str(way.existing)))
    cells = [[text(label, 2.0, colour=colours.GREY), text(value, 2.0)] for label, value in rows]
    return grid(cells, [30.0, width_mm - 30.0])


def _name(project: Project, wireway: str) -> str:
    return project.wireways[wireway].name or wireway


def _place(project: Project, place: str) -> str:
    found = project.places.get(place)
    return (found.name if found else "") or place
