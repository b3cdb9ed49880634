"""The schedule on paper: grouped by feeder, repeated headings, page x of y, footnotes, cautions, overprint."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from reportlab.platypus import LongTable, Spacer

from layout.drawing.elements import colours
from layout.drawing.elements.scene import Scene
from layout.drawing.elements.swatch import swatch
from layout.drawing.writers.flowable import SceneFlowable
from layout.drawing.writers.pdf import POINTS_PER_MM
from layout.geometry.path import Box
from layout.handover.lists.schedule_columns import footnote_lines, in_groups, known_drop_v, name_of, node_name
from layout.handover.lists.table import UNKNOWN
from layout.handover.paper.cautions import cautions
from layout.handover.paper.flow_table import base_rules, group_rules, notes, share_widths
from layout.handover.paper.marked_rows import errors_of, wiring_errors
from layout.handover.paper.page_frame import Faulty
from layout.handover.paper.styles import FAULT_FILL, LINE, heading, text
from layout.wiring.sizing.conductor_size import Criterion

if TYPE_CHECKING:
    from collections.abc import Sequence

    from reportlab.platypus import Flowable

    from layout.findings import Finding
    from layout.project.model.project import Project
    from layout.wiring.result import Run, Wire, WireEnd, Wiring

_H = 1.8
_COLUMNS: tuple[tuple[str, str, float], ...] = (
    ("Wire", "number", 20),
    ("Colour", "IEC 60757", 25),
    ("From", "terminal, fitting", 44),
    ("To", "terminal, fitting", 44),
    ("Circuit", "purpose", 33),
    ("Current", "design A, V", 23),
    ("Length", "m", 18),
    ("Size", "governed by", 23),
    ("Protection", "stands at; wire bears", 35),
    ("Drop", "run; from source", 27),
    ("Way", "wireways; notes", 32),
)
_MOST_RUNS = 60
"""Runs in one table of the PDF library; the next one starts with its own headings."""
_PER_WIRE = 4
"""Columns that have a line for each conductor; the others span the run."""


def schedule_story(
    project: Project, wiring: Wiring, findings: Sequence[Finding], width_mm: float
) -> list[Flowable]:
    """Return the schedule as flowables: cautions, the table, footnotes, what the codes mean."""
    errors = wiring_errors(dict.fromkeys((*findings, *wiring.findings)))
    story: list[Flowable] = []
    practice = {"iso": "ISO 13297 family", "abyc": "ABYC E-11"}.get(wiring.practice, wiring.practice)
    story.append(text(f"Sized by {practice}. {UNKNOWN} means not known yet: it was not taken for zero.", 2.0))
    story += [text(f"•  {caution}", 1.8, colour=colours.ALARM) for caution in cautions(project, "electrician")[:3]]
    story.append(Spacer(0, 3 * POINTS_PER_MM))
    if not wiring.runs:
        return [*story, text("No wires are declared.", 2.5)]
    story += _tables(project, wiring, errors, width_mm)
    story += notes(footnote_lines(wiring))
    if errors:
        story.append(heading("Errors, to be settled before these wires are pulled", 3))
        for finding in errors:
            way = f" Way out: {finding.remedy}" if finding.remedy else ""
            story.append(text(f"{finding.rule}  {finding.message}{way}", 1.8, colour=colours.ALARM))
    return story


def _tables(project: Project, wiring: Wiring, errors: Sequence[Finding], width_mm: float) -> list[Flowable]:
    """Return the schedule in tables of bearable length: splitting a table costs as much as all of its rows."""
    story: list[Flowable] = []
    waiting: list[Run] = []
    for run in in_groups(wiring.runs):
        fresh = bool(waiting) and waiting[-1].group != run.group
        if len(waiting) >= _MOST_RUNS or (fresh and len(waiting) >= _MOST_RUNS // 2):
            story.append(_table(project, wiring, waiting, errors=errors, width_mm=width_mm))
            waiting = []
        waiting.append(run)
    return [*story, _table(project, wiring, waiting, errors=errors, width_mm=width_mm)]


def _table(
    project: Project, wiring: Wiring, runs: Sequence[Run], *, errors: Sequence[Finding], width_mm: float
) -> LongTable:
    content: list[list[Any]] = [[_head(title, below) for title, below, _ in _COLUMNS]]
    rules = base_rules()
    group = None
    for run in runs:
        if run.group != group:
            group = run.group
            at = len(content)
            content.append([text(_group_words(project, wiring, group), 2.1, bold=True, colour=colours.LEAD)])
            content[-1] += [""] * (len(_COLUMNS) - 1)
            rules += [
                *group_rules(at), ("NOSPLIT", (0, at), (0, at + max(len(run.wires), 1))),
            ]  # fmt: skip
        mine = errors_of(project, run, errors)
        first = len(content)
        content += _run_rows(project, run, mine)
        last = len(content) - 1
        for column in range(_PER_WIRE, len(_COLUMNS)):
            rules.append(("SPAN", (column, first), (column, last)))
        rules.append(("LINEBELOW", (0, first), (-1, last), 0.3, LINE))
        if last > first:
            rules.append(("NOSPLIT", (0, first), (-1, last)))
        if mine:
            rules.append(("BACKGROUND", (0, first), (-1, last), FAULT_FILL))
    widths = share_widths([width for *_, width in _COLUMNS], width_mm)
    table = LongTable(content, colWidths=widths, repeatRows=1, hAlign="LEFT")
    table.setStyle(rules)
    return table


def _head(title: str, below: str) -> list[Flowable]:
    return [text(title, 1.9, bold=True), text(below, 1.5, colour=colours.GREY)]


def _group_words(project: Project, wiring: Wiring, group: str) -> str:
    words = f"From {name_of(project, group)}"
    fed = [run for run in wiring.runs if run.owner_kind == "feeder" and _feeds(run, group)]
    if fed:
        words += f"  ·  fed by {', '.join(run.number for run in fed)}"
    if len(fed) == 1:
        load = next((load for load in wiring.feeders if load.feeder in (fed[0].owner, fed[0].key)), None)
        if load is not None and load.simultaneous_a is not None and load.sum_a is not None:
            words += f"  ·  {load.simultaneous_a:.1f} A at once, {load.sum_a:.1f} A summed"
    return words


def _feeds(run: Run, group: str) -> bool:
    """Tell whether a feeder brings current to a group: its return doesn't."""
    return bool(run.wires) and run.wires[0].pole in ("+", "L", "switched") and run.wires[0].end.owner == group


def _run_rows(project: Project, run: Run, errors: Sequence[Finding]) -> list[list[Any]]:
    shared = [
        [text(run.name, _H, bold=True), *_small(run.purpose, _existing(run))],
        _current(run),
        [_or_unknown(None if run.length.total_mm is None else f"{run.length.total_mm / 1000:.2f}")],
        _size(run),
        _protection(project, run),
        _drop(run),
        _way(project, run, errors),
    ]
    rows: list[list[Any]] = []
    for number, wire in enumerate(run.wires or ()):
        cells: list[Any] = [
            [text(wire.number, _H, bold=True)], _colour(wire), _end(wire.start), _end(wire.end),
        ]  # fmt: skip
        cells += shared if number == 0 else [""] * len(shared)
        rows.append(cells)
    if not rows:
        rows = [[[text(run.number, _H, bold=True)], "", "", "", *shared]]
    if errors:
        rows[0][0] = [Faulty(), *rows[0][0]]
    return rows


def _small(*lines: str) -> list[Flowable]:
    return [text(line, 1.6, colour=colours.BODY) for line in lines if line]


def _or_unknown(words: str | None) -> Flowable:
    return text(UNKNOWN, _H, bold=True, colour=colours.ALARM) if words is None else text(words, _H)


def _existing(run: Run) -> str:
    words = f"existing: {run.existing}" if run.existing else ""
    return ", ".join(filter(None, (words, f"old label {run.old_label}" if run.old_label else "")))


def _colour(wire: Wire) -> list[Flowable]:
    patch = Scene(width_mm=14.0, height_mm=1.8, items=tuple(swatch(wire.colour, Box(0.2, 0.2, 13.8, 1.6))))
    return [text(f"{wire.colour} {wire.code}".strip(), _H), SceneFlowable(patch)]


def _end(end: WireEnd) -> list[Flowable]:
    name = f"{end.name} {end.terminal}".rstrip()
    fitting = end.fitting or "fitting ?"
    return [text(name, _H), text(fitting, 1.6, colour=colours.ALARM if not end.fitting else colours.BODY)]


def _current(run: Run) -> list[Flowable]:
    if run.run_class not in ("dc", "ac"):
        return [text(run.run_class, _H)]
    amps = None if run.current_a is None else f"{run.current_a:.2f} A"
    system = "" if run.nominal_v is None else f"{run.nominal_v:g} V {'AC' if run.ac else 'DC'}"
    return [_or_unknown(amps), *_small(system, run.current_text if run.current_text != amps else "")]


def _size(run: Run) -> list[Flowable]:
    found = [text(str(run.size), _H, bold=True) if run.size else _or_unknown(None)]
    if run.cores > 1:
        found.append(text(f"{run.cores} cores", 1.6, colour=colours.BODY))
    if run.sizing is not None:
        given = run.size_given or run.sizing.governing is Criterion.GIVEN
        found += _small("given" if given else f"by {run.sizing.governing}")
    return found


def _protection(project: Project, run: Run) -> list[Flowable]:
    guard = run.guard
    bears = run.sizing.verdict.ampacity if run.sizing else None
    wire = f"wire bears {bears.current_a:.1f} A" if bears else ""
    if guard is None:
        return _small("cranking: exempt" if run.cranking else "", wire)
    words = "" if guard.poles == 1 else f", {guard.poles}-pole"
    if guard.residual_a is not None:
        words += f", {guard.residual_a * 1000:g} mA"
    rating = text(f"{guard.kind} ?{words}", _H, bold=True, colour=colours.ALARM)
    if guard.rating_a is not None:
        rating = text(f"{guard.kind} {guard.rating_a:g} A{words}", _H, bold=True)
    return [rating, *_small(f"at {node_name(project, guard.where)}", wire)]


def _drop(run: Run) -> list[Flowable]:
    if run.run_class not in ("dc", "ac"):
        return []
    drop_v = known_drop_v(run)
    if drop_v is None or run.drop_percent is None:
        return [_or_unknown(None)]
    found = [text(f"{drop_v:.3f} V  {run.drop_percent:.2f} %", _H)]
    total = UNKNOWN if run.cumulative_percent is None else f"{run.cumulative_percent:.2f} %"
    limit = "" if run.limit_percent is None else f" of {run.limit_percent:g} %"
    return [*found, *_small(f"from source {total}{limit}")]


def _way(project: Project, run: Run, errors: Sequence[Finding]) -> list[Flowable]:
    found: list[Flowable] = []
    if run.route:
        found.append(text(", ".join(name_of(project, way) for way in run.route), 1.6))
    if run.notes:
        found += _small(f"notes {', '.join(run.notes)}")
    codes = dict.fromkeys(finding.rule for finding in errors)
    if codes:
        found.append(text(", ".join(codes), _H, bold=True, colour=colours.ALARM))
    return found
