"""Wireways, several to a sheet: what each is, what lies in it, how full it is, in which order to pull."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import Flowable, KeepTogether, LongTable, Spacer

from layout.drawing.diagrams.conduit_section import CableCircle, conduit_section
from layout.drawing.elements import colours
from layout.drawing.writers.flowable import SceneFlowable
from layout.drawing.writers.pdf import POINTS_PER_MM
from layout.handover.lists.table import UNKNOWN, Column, Table
from layout.handover.paper.flow_table import flow_table, headings_row, widths_of
from layout.handover.paper.marked_rows import wiring_errors
from layout.handover.paper.page_frame import Faulty
from layout.handover.paper.styles import grid, led, text

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from layout.findings import Finding
    from layout.project.model.project import Project
    from layout.wiring.result import CableIn, Run, WirewayFill, Wiring

SECTION_MM = (36.0, 19.0)
"""Room of a drawn section."""
WELL_FILLED = 0.6
"""A wireway filled to less than this share of its limit needs no drawing."""
MOST_KEPT = 24
"""A wireway of more rows may go on over pages."""
LONG = 40
"""A wireway of more rows does go on over pages, so it has its own headings, said again on each."""

_COLUMNS = (
    Column(key="order", title="Pull", width_mm=10, align="right"),
    Column(key="number", title="Cable", width_mm=28),
    Column(key="name", title="What it feeds", width_mm=68),
    Column(key="size", title="Conductor", width_mm=22),
    Column(key="cable", title="Kind", width_mm=24),
    Column(key="od_mm", title="Outside, mm", digits=1, width_mm=20, align="right"),
    Column(key="plug_mm", title="Plug, mm", digits=1, width_mm=16, align="right"),
    Column(key="start", title="From", width_mm=46),
    Column(key="end", title="To", width_mm=46),
)


def wireway_table(project: Project, wiring: Wiring, fill: WirewayFill) -> Table:
    """Return what lies in one wireway, in pulling order."""
    runs = {run.key: run for run in wiring.runs}
    rows = tuple(_row(first, cables, runs[cables[0].run]) for first, cables in _gathered(fill))
    name = _name(project, fill.wireway)
    return Table(name=f"wireway {fill.wireway}", title=f"Wireway: {name}", columns=_COLUMNS, rows=rows)


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


def _row(first: int, cables: list[CableIn], run: Run) -> dict[str, str | int | float | None]:
    cable, count = cables[0], len(cables)
    return {
        "order": str(first) if count == 1 else f"{first}–{first + count - 1}",
        "number": "  ".join(one.number for one in cables),
        "name": run.name,
        "size": run.size_words,
        "cable": run.cable or "",
        "od_mm": cable.od_mm,
        "plug_mm": cable.plug_mm if cable.plug_mm is not None else "",
        "start": run.wires[0].start.name,
        "end": run.wires[0].end.name,
    }


def wireway_story(project: Project, wiring: Wiring, findings: Sequence[Finding], width_mm: float) -> list[Flowable]:
    """Return every wireway that carries something, several to a sheet, each with its cables in pulling order.

    Parameters
    ----------
    findings
        A sheet that shows a wireway which an error concerns is overprinted NOT FOR WIRING.
    """
    errors = wiring_errors((*findings, *wiring.findings))
    used = [fill for fill in wiring.wireways if fill.cables]
    drawn = any(_tells(project, fill) for fill in used)
    tables = [wireway_table(project, wiring, fill) for fill in used]
    rows = [row for table in tables for row in table.rows]
    widths = widths_of(_COLUMNS, rows, width_mm - (SECTION_MM[0] + 4.0 if drawn else 0.0)) if rows else []
    entries = [
        _entry(project, wiring, fill, table, _of(fill, errors), widths=widths)
        for fill, table in zip(used, tables, strict=True)
    ]
    return [_Filling(dict(enumerate(entries)), widths)] if entries else []


class _Filling(Flowable):  # type: ignore[misc]  # the PDF library says no types
    """Entries below one row of headings on each page, in their order.

    Before a page is left the first later entry that still fits on it is taken.
    """

    def __init__(
        self,
        entries: Mapping[int, list[Flowable]],
        widths_mm: Sequence[float],
        heights: dict[tuple[int, float], float] | None = None,
    ) -> None:
        super().__init__()
        self._rest, self._widths = entries, widths_mm
        self._heights = {} if heights is None else heights  # by entry and width: measured once, not for every page

    def _tall(self, number: int, width: float) -> float:
        if (number, width) not in self._heights:
            self._heights[number, width] = _height(self._rest[number], width)
        return self._heights[number, width]

    @property
    def least_points(self) -> float:
        """Height with which it can begin: the headings and the lowest entry."""
        wide = sum(self._widths) * POINTS_PER_MM
        lowest = min(self._tall(number, wide) for number in self._rest)
        return lowest + _height([headings_row(_COLUMNS, self._widths)], wide)

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Take all that is left; it is split before it is drawn."""
        return width, height + 1.0

    def split(self, width: float, height: float) -> list[Flowable]:
        """Return the headings, the entries that fit, and what is left; nothing where not even the next one fits."""
        headings = headings_row(_COLUMNS, self._widths)
        tall = {number: self._tall(number, width) for number in self._rest}
        left = height - _height([headings], width)
        taken: list[Flowable] = []
        while (at := next((number for number, points in tall.items() if points <= left), None)) is not None:
            left -= tall.pop(at)
            taken += self._rest[at]
        if not taken:  # an entry longer than a page goes on over pages
            if not getattr(getattr(self, "_frame", None), "_atTop", True):
                return []
            first = next(iter(tall))
            del tall[first]
            taken += self._rest[first]
        rest = {number: self._rest[number] for number in tall}
        return [headings, *taken, *([_Filling(rest, self._widths, self._heights)] if rest else [])]


def _height(entry: Sequence[Flowable], width: float) -> float:
    parts = [one for part in entry for one in (part._content if isinstance(part, KeepTogether) else [part])]  # noqa: SLF001
    return float(sum(one.wrap(width, 1e6)[1] for one in parts))


def _of(fill: WirewayFill, errors: Sequence[Finding]) -> list[Finding]:
    return [finding for finding in errors if f"wireways.{fill.wireway}" in finding.subjects]


def _entry(
    project: Project,
    wiring: Wiring,
    fill: WirewayFill,
    rows: Table,
    errors: Sequence[Finding],
    *,
    widths: Sequence[float],
) -> list[Flowable]:
    head: list[Flowable] = [
        Spacer(0, 1.2 * POINTS_PER_MM),
        led(_name(project, fill.wireway), _facts(project, fill)),
        Spacer(0, 0.4 * POINTS_PER_MM),
    ]
    if fill.jam:
        words = "Three equal cables may wedge in a bend: pull them together, greased."
        head.append(text(words, 2.0, colour=colours.ALARM))
    if lost := [str(number) for number, cable in enumerate(fill.cables, start=1) if cable.od_mm is None]:
        words = f"Outer diameter not known, so neither counted nor drawn: {', '.join(lost)}."
        head.append(text(words, 2.0, colour=colours.ALARM))
    for finding in errors:
        way = f" {finding.remedy}" if finding.remedy else ""
        head.append(text(f"{finding.rule}: {finding.message}.{way}", 2.0, colour=colours.ALARM))
    if errors:
        head.append(Faulty())
    wide = sum(widths)
    table = _close(flow_table(rows, wide, widths_mm=widths, headed=len(rows.rows) > LONG))
    if len(rows.rows) > MOST_KEPT:
        return [*head, *table]
    if not _tells(project, fill):
        return [KeepTogether([*head, *table])]
    pair = grid(
        [[table, _section(project, wiring, fill)]], [wide, SECTION_MM[0] + 4.0], ("ALIGN", (1, 0), (1, 0), "RIGHT")
    )
    return [KeepTogether([*head, pair])]


def _close(table: list[Flowable]) -> list[Flowable]:
    """Return a table with its rows closer: nothing is written into them."""
    for part in table:
        if isinstance(part, LongTable):
            part.setStyle([("TOPPADDING", (0, 0), (-1, -1), 0.9), ("BOTTOMPADDING", (0, 0), (-1, -1), 1.2)])
    return table


def _tells(project: Project, fill: WirewayFill) -> bool:
    """Tell whether a section says more than the words: a full or jamming wireway, compartments, an unknown cable."""
    way = project.wireways[fill.wireway]
    unknown = any(cable.od_mm is None for cable in fill.cables)
    known = fill.fill_percent is not None and fill.limit_percent is not None
    full = known and fill.fill_percent >= WELL_FILLED * fill.limit_percent  # type: ignore[operator]
    return unknown or fill.jam or full or bool(way.compartments)


def _section(project: Project, wiring: Wiring, fill: WirewayFill) -> SceneFlowable:
    way = project.wireways[fill.wireway]
    classes = {run.key: run.run_class for run in wiring.runs}
    cables = [
        CableCircle(mark=str(number), od_mm=cable.od_mm, kind=classes[cable.run])
        for number, cable in enumerate(fill.cables, start=1)
    ]
    return SceneFlowable(
        conduit_section(cables, bore_mm=way.bore, inner_mm=way.inner, compartments=way.compartments, room_mm=SECTION_MM)
    )


def _facts(project: Project, fill: WirewayFill) -> str:
    """Return one paragraph: from where to where, what it is, how long, how full, what must be known to pull."""
    way = project.wireways[fill.wireway]
    size = (
        f"bore {way.bore:g} mm"
        if way.bore
        else f"{way.inner[0]:g} x {way.inner[1]:g} mm inside"
        if way.inner
        else "open"
    )
    limit = "" if fill.limit_percent is None else f", limit {fill.limit_percent:.0f} %"
    full = "not worked out" if fill.fill_percent is None else f"{fill.fill_percent:.1f} %{limit}"
    count = len(fill.cables)
    parts = [
        f"{_place(project, way.from_)} – {_place(project, way.to)}",
        f"{fill.kind}, {size}" + (", in compartments" if way.compartments else ""),
        UNKNOWN if fill.length_mm is None else f"{fill.length_mm / 1000:.2f} m",
        "bends not stated" if way.bends is None else f"{way.bends:g}° in all",
        "" if way.zone == "cabin" else f"zone {way.zone}",
        f"may carry {' '.join(way.carries)}",
        f"{count} cable{'s' if count > 1 else ''}, filled {full}",
        f"{fill.loaded} loaded together",
        "leave a spare draw line in" if way.draw_line else "",
        f"aboard: {way.aboard}" if way.aboard else "",
    ]
    return "  ·  ".join(filter(None, parts))


def _name(project: Project, wireway: str) -> str:
    return project.wireways[wireway].name or wireway


def _place(project: Project, place: str) -> str:
    found = project.locations.get(place)
    return (found.name if found else "") or place
