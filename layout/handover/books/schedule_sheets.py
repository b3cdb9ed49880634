"""The schedule on paper: circuit by circuit, feed and return together, repeated headings, footnotes, overprint."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any

from reportlab.platypus import LongTable, Paragraph, Spacer

from layout.drawing.elements import colours
from layout.drawing.elements.scene import Scene
from layout.drawing.elements.swatch import swatch
from layout.drawing.writers.flowable import SceneFlowable
from layout.drawing.writers.pdf import BOLD, POINTS_PER_MM
from layout.findings import Severity
from layout.geometry.path import Box
from layout.handover.lists.table import UNKNOWN
from layout.handover.lists.wires.circuit_order import by_circuit
from layout.handover.lists.wires.run_words import device_words, part_of
from layout.handover.lists.wires.schedule_columns import has_source_drop, known_drop_v, name_of, node_name
from layout.handover.paper.column_widths import fitting_widths
from layout.handover.paper.flow_table import PAD_MM, base_rules, group_rules, notes
from layout.handover.paper.marked_rows import errors_of, said_of, wiring_errors
from layout.handover.paper.page_frame import Faulty
from layout.handover.paper.styles import FAULT_FILL, LINE, coded, points, text
from layout.languages import Said
from layout.wiring.sizing.conductor_size import Criterion

if TYPE_CHECKING:
    from collections.abc import Sequence

    from reportlab.platypus import Flowable

    from layout.findings import Finding
    from layout.handover.lists.wires.circuit_order import Gathered
    from layout.project.model.project import Project
    from layout.wiring.result import FittedDevice, Run, Wire, WireEnd, Wiring

_H = 1.8
_SMALL = 1.8
_COLUMNS = (
    ("Wire", "part"),
    ("Colour", "IEC 60757"),
    ("From", "terminal, fitting"),
    ("To", "terminal, fitting"),
    ("Current", "design"),
    ("Length", "m"),
    ("Size", "governed by, bears"),
    ("Protection", "near its source"),
    ("Drop", "run; from source"),
    ("Through", "notes, findings"),
)
WHY = {Criterion.DROP: "by drop", Criterion.PROTECTION: "by its device", Criterion.AMPACITY: "by ampacity"}
"""What governs a size, in a word that fits its column."""
_MOST_RUNS = 60
"""Runs in one table of the PDF library; the next one starts with its own headings."""
_LINES_A_WIRE = 2
_PER_WIRE = 4
"""Columns that have a line for each conductor; the others span the run."""


def schedule_story(project: Project, wiring: Wiring, findings: Sequence[Finding], width_mm: float) -> list[Flowable]:
    """Return the schedule as flowables: the table, and what holds for all of it.

    Parameters
    ----------
    findings
        Besides those of ``wiring``. Pages that show a run with an error are overprinted NOT FOR WIRING.
    """
    found = tuple(dict.fromkeys((*findings, *wiring.findings)))
    general = general_notes(wiring)
    practice = {"iso": "ISO 13297 family", "abyc": "ABYC E-11"}.get(wiring.practice, wiring.practice)
    lead = f"Sized by {practice}. {UNKNOWN} means not known yet: it was not taken for zero."
    if general:
        lead += f" Notes {', '.join(general)} hold for every run that does not say otherwise."
    lead += " Codes at the end of a row stand in the chapter of findings."
    page = _Page(project=project, errors=wiring_errors(found), found=found, general=general)
    story: list[Flowable] = [text(lead, 2.0), Spacer(0, 2 * POINTS_PER_MM)]
    groups = list(by_circuit(project, wiring))
    widths = page.widths_mm(groups, width_mm)
    waiting: list[Gathered] = []
    for group in groups:
        if waiting and sum(len(one.runs) for one in (*waiting, group)) > _MOST_RUNS:
            story.append(page.table(waiting, widths))
            waiting = []
        waiting.append(group)
    if waiting:
        story.append(page.table(waiting, widths))
    return [*story, *notes([f"{key}  {words}" for key, words in wiring.footnotes.items()])]


def general_notes(wiring: Wiring) -> tuple[str, ...]:
    """Return the notes that hold for more than half of all sized runs: they are said once."""
    sized = [run for run in wiring.runs if run.sizing is not None]
    count = Counter(note for run in sized for note in run.notes)
    return tuple(key for key in wiring.footnotes if 2 * count[key] > len(sized))


def own_notes(run: Run, general: Sequence[str]) -> list[str]:
    """Return the notes in which a run differs from the general ones."""
    more = [note for note in run.notes if note not in general]
    less = [note for note in general if note not in run.notes] if run.sizing is not None else []
    return [*more, *(f"not {note}" for note in less)]


class _Page:
    """Makes the tables of one schedule."""

    def __init__(
        self, *, project: Project, errors: Sequence[Finding], found: Sequence[Finding], general: Sequence[str]
    ) -> None:
        self.project, self.errors, self.found, self.general = project, errors, found, general

    def widths_mm(self, groups: Sequence[Gathered], width_mm: float) -> list[float]:
        """Return the width of each column for all groups, so that their rows take the fewest lines."""
        rows = [[_said(_head(*column)) for column in _COLUMNS]]
        spare = [[0] * len(_COLUMNS)]
        for group in groups:
            for run in group.runs:
                made = self._rows(run, group, faulty=False, same=False)
                rows += [[_said(cell) for cell in row] for row in made]
                below = _LINES_A_WIRE * (len(made) - 1)
                spare.append([0 if at < _PER_WIRE else below for at in range(len(_COLUMNS))])
                spare += [[0] * len(_COLUMNS)] * (len(made) - 1)
        return fitting_widths(rows, width_mm, pad_mm=2 * PAD_MM, spare_lines=spare)

    def table(self, groups: Sequence[Gathered], widths_mm: Sequence[float]) -> LongTable:
        """Return some groups as one table."""
        content: list[list[Any]] = [[_head(*column) for column in _COLUMNS]]
        rules = base_rules()
        for group in groups:
            at = len(content)
            content.append([text(self._heading(group), 2.1, bold=True, colour=colours.LEAD)])
            content[-1] += [""] * (len(_COLUMNS) - 1)
            first_wires = max(len(group.runs[0].wires), 1)
            rules += [*group_rules(at), ("NOSPLIT", (0, at), (0, at + first_wires))]
            shown: FittedDevice | None = None
            for run in group.runs:
                mine = errors_of(self.project, run, self.errors)
                first = len(content)
                content += self._rows(run, group, faulty=bool(mine), same=run.guard is not None and run.guard == shown)
                shown = run.guard
                last = len(content) - 1
                rules += [("SPAN", (column, first), (column, last)) for column in range(_PER_WIRE, len(_COLUMNS))]
                rules.append(("LINEBELOW", (0, first), (-1, last), 0.3, LINE))
                if last > first:
                    rules.append(("NOSPLIT", (0, first), (-1, last)))
                if mine:
                    rules.append(("BACKGROUND", (0, first), (-1, last), FAULT_FILL))
        table = LongTable(content, colWidths=[wide * POINTS_PER_MM for wide in widths_mm], repeatRows=1, hAlign="LEFT")
        table.setStyle(rules)
        return table

    def _heading(self, group: Gathered) -> str:
        if group.way is None:
            return group.title
        panel = name_of(self.project, group.way.panel)
        return f"{panel}, way {group.way.way}  ·  {group.title}"

    def _rows(self, run: Run, group: Gathered, *, faulty: bool, same: bool) -> list[list[Any]]:
        shared = [
            _current(run),
            [_or_unknown(None if run.length.total_mm is None else f"{run.length.total_mm / 1000:.2f}")],
            _size(run),
            self._protection(run, group, same=same),
            _drop(run),
            self._through(run),
        ]
        part = run.name if run.owner_kind == "feeder" else part_of(run)
        more = _small(part, _aboard(run))
        rows: list[list[Any]] = []
        for number, wire in enumerate(run.wires):
            first = [text(wire.number, _H, bold=True), *(more if number == 0 else [])]
            cells: list[Any] = [first, _colour(wire), _end(wire.start), _end(wire.end)]
            rows.append([*cells, *(shared if number == 0 else [""] * len(shared))])
        if not rows:
            rows = [[[text(run.number, _H, bold=True), *more], "", "", "", *shared]]
        if faulty:
            rows[0][0] = [Faulty(), *rows[0][0]]
        return rows

    def _protection(self, run: Run, group: Gathered, *, same: bool) -> list[Flowable]:
        guard = run.guard
        if run.cranking:
            return [text("NONE: starting circuit, exempt", _H, bold=True, colour=colours.ALARM)]
        if guard is None:
            return []
        if same:
            return _small("the same")
        ink = colours.ALARM if guard.rating_a is None else colours.INK
        near = guard.from_source_mm
        on_way = group.way is not None and guard.where == f"{group.way.panel}/{group.way.way}"
        place = "" if on_way else f"at {node_name(self.project, guard.where)}"
        place += f", at most {near:g} mm from it" if near is not None and not on_way else ""
        return [text(device_words(guard), _H, bold=True, colour=ink), *_small(place)]

    def _through(self, run: Run) -> list[Flowable]:
        ways = ", ".join(name_of(self.project, way) for way in run.route)
        mine = own_notes(run, self.general)
        words = "; ".join(filter(None, (ways, f"note {', '.join(mine)}" if mine else "")))
        said = said_of(self.project, run, self.found)
        codes = [
            (code, ink)
            for weight, ink in ((Severity.STOP, colours.ALARM), (Severity.WATCH, colours.AMBER))
            for code in dict.fromkeys(finding.rule for finding in said if finding.weight is weight)
        ]
        return [coded(words, codes, _SMALL)] if words or codes else []


_POINT = points(1.0)
"""Font size for capitals of 1 mm."""


def _said(cell: Any) -> tuple[tuple[str, float, bool], ...]:
    """Return the paragraphs of a cell for the widths of the columns; a drawn thing has none."""
    parts = [cell] if isinstance(cell, Paragraph) else cell if isinstance(cell, list) else []
    return tuple(
        (Said("".join(piece.text for piece in part.frags)), part.style.fontSize / _POINT, part.style.fontName == BOLD)
        for part in parts
        if isinstance(part, Paragraph)
    )


def _head(title: str, below: str) -> list[Flowable]:
    return [text(title, 1.9, bold=True), text(below, _SMALL, colour=colours.GREY)]


def _small(*lines: str) -> list[Flowable]:
    return [text(line, _SMALL, colour=colours.BODY) for line in lines if line]


def _or_unknown(words: str | None) -> Flowable:
    return text(UNKNOWN, _H, bold=True, colour=colours.ALARM) if words is None else text(words, _H)


def _aboard(run: Run) -> str:
    words = f"aboard: {run.aboard}" if run.aboard else ""
    return ", ".join(filter(None, (words, f"old label {run.old_label}" if run.old_label else "")))


def _colour(wire: Wire) -> list[Flowable]:
    patch = Scene(width_mm=14.0, height_mm=1.8, items=tuple(swatch(wire.colour, Box(0.2, 0.2, 13.8, 1.6))))
    return [text(f"{wire.colour} {wire.code}".strip(), _H), SceneFlowable(patch)]


def _end(end: WireEnd) -> list[Flowable]:
    name = f"{end.name} {end.terminal}".rstrip()
    ink = colours.BODY if end.fitting else colours.ALARM
    return [text(name, _H), text(end.fitting or "fitting ?", _SMALL, colour=ink)]


def _current(run: Run) -> list[Flowable]:
    if not run.carries:
        return [text("earth" if run.is_earth else run.run_class, _H)]
    amps = None if run.current_a is None else f"{run.current_a:.2f} A"
    system = "" if run.nominal_v is None else f"{run.nominal_v:g} V{' AC' if run.ac else ''}"
    return [_or_unknown(amps), *_small(system)]


def _size(run: Run) -> list[Flowable]:
    found = [_or_unknown(None) if run.size_words is None else text(run.size_words, _H, bold=True)]
    given = run.size_given or (run.sizing is not None and run.sizing.governing is Criterion.GIVEN)
    rule = WHY.get(run.sizing.governing, str(run.sizing.governing)) if run.sizing else ""
    why = "given" if given else "earthing rule" if run.is_earth else rule
    bears = run.sizing.verdict.ampacity if run.sizing else None
    told = ", ".join(filter(None, (why, f"bears {bears.current_a:.1f} A" if bears else "")))
    return [*found, *_small(f"{run.cores} cores" if run.cores > 1 else "", told)]


def _drop(run: Run) -> list[Flowable]:
    if not run.carries:
        return []
    drop_v = known_drop_v(run)
    if drop_v is None or run.drop_percent is None:
        return [_or_unknown(None)]
    if not has_source_drop(run):
        return [text(f"{drop_v:.3f} V", _H)]
    total = UNKNOWN if run.cumulative_percent is None else f"{run.cumulative_percent:.2f} %"
    limit = "" if run.limit_percent is None else f" of {run.limit_percent:g} %"
    return [text(f"{drop_v:.3f} V", _H), *_small(f"{total}{limit}")]
