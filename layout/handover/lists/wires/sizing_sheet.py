"""How each size was found: every figure behind it, so that each can be checked by hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.handover.lists.table import Column, Table
from layout.handover.lists.wires.schedule_columns import footnote_lines, node_name

if TYPE_CHECKING:
    from layout.handover.lists.table import Cell
    from layout.project.model.project import Project
    from layout.wiring.result import Run, Wiring

_COLUMNS = (
    Column(key="number", title="Wire", width_mm=16),
    Column(key="current", title="Design current", width_mm=40),
    Column(key="length", title="Length of one conductor", width_mm=46),
    Column(key="drop", title="Drop", width_mm=62),
    Column(key="bears", title="Ampacity", width_mm=56),
    Column(key="fuse", title="Protective device", width_mm=40),
    Column(key="least", title="Smallest size that meets each alone", width_mm=44),
    Column(key="what_if", title="What if", width_mm=56),
)


def sizing_table(project: Project, wiring: Wiring) -> Table:
    """Return one row a run with the arithmetic in words; a run of which only the length is worked out has none."""
    rows = [_row(project, run) for run in wiring.runs]
    said = tuple(row for row in rows if any(row[key] != "" for key in row if key not in ("number", "length")))
    without = f"{len(rows) - len(said)} earths, signals and leads are not here: nothing but their length is worked out."
    notes = (*footnote_lines(wiring), *([without] if len(said) < len(rows) else []))
    return Table(name="sizing", title="How each size was found", columns=_COLUMNS, notes=notes, rows=said)


def _row(project: Project, run: Run) -> dict[str, Cell]:
    return {
        "number": f"{run.number}\n{run.size_words or 'size ?'}" + ("\ngiven" if run.size_given else ""),
        "current": _current(run),
        "length": _length(run),
        "drop": _drop(run),
        "bears": _bears(run),
        "fuse": _fuse(project, run),
        "least": _least(run),
        "what_if": "\n".join(run.sizing.what_if) if run.sizing else "",
    }


def _current(run: Run) -> str | None:
    if run.current_a is None:
        return None if run.carries else ""
    amps = f"{run.current_a:.2f} A"
    return amps if not run.current_text or run.current_text == amps else f"{run.current_text} = {amps}"


def _length(run: Run) -> str | None:
    length = run.length
    if length.total_mm is None:
        return None
    if length.fixed:
        why = "as bought" if run.bought_whole else "along its way" if run.made else "given"
        return f"{length.total_mm / 1000:.2f} m, {why}"
    parts = [
        (length.start_panel_mm, "panel"), (length.wireways_mm, "wireways"), (length.hinge_mm, "hinge"),
        (length.end_panel_mm, "panel"), (length.slack_mm, "slack"),
    ]  # fmt: skip
    words = " + ".join(f"{value / 1000:.2f} {name}" for value, name in parts if value)
    return f"{words} = {length.total_mm / 1000:.2f} m" if words else f"{length.total_mm / 1000:.2f} m"


def _drop(run: Run) -> str | None:
    if run.sizing is None:
        return None if run.carries else ""
    demand, found = run.sizing.demand, run.sizing.verdict.drop
    lines = [
        f"loop {demand.loop_m:.2f} m × {demand.current_a:.2f} A",
        f"formula of the practice {found.formula_v:.3f} V",
        f"copper at {demand.copper.temperature_c:g} °C {found.copper_v:.3f} V",
    ]
    allowed = "no limit" if demand.allowed_v is None else f"allowed here {demand.allowed_v:.3f} V"
    lines.append(f"worse {found.worse_v:.3f} V, {allowed}")
    if run.cumulative_percent is not None:
        limit = "" if run.limit_percent is None else f" of {run.limit_percent:g} %"
        lines.append(f"from the battery {run.cumulative_percent:.2f} %{limit}")
    return "\n".join(lines)


def _bears(run: Run) -> str | None:
    if run.sizing is None:
        return None if run.carries else ""
    demand, verdict = run.sizing.demand, run.sizing.verdict
    if verdict.ampacity is None:
        return verdict.reason or None
    space = "hot space" if demand.hot_space else "outside hot spaces"
    return (
        f"{verdict.ampacity.current_a:.1f} A\ninsulation {demand.insulation_c:g} °C, {space}, "
        f"{demand.conductors} loaded together"
    )


def _fuse(project: Project, run: Run) -> str | None:
    guard = run.guard
    if guard is None:
        return "cranking: exempt" if run.cranking else ""
    rating = "rating ?" if guard.rating_a is None else f"{guard.rating_a:g} A"
    lines = [f"{guard.kind} {rating} at {node_name(project, guard.where)}"]
    if guard.limit_a is not None:
        lines.append(f"conductor allows {guard.limit_a:.1f} A")
    if guard.needed_breaking_a is not None:
        has = "?" if guard.breaking_a is None else f"{guard.breaking_a / 1000:g} kA"
        lines.append(f"breaks {has}, asked {guard.needed_breaking_a / 1000:.2f} kA")
    if run.fault is not None and run.fault.lowest_a is not None:
        lines.append(f"least fault at the far end {run.fault.lowest_a:.0f} A")
    return "\n".join(lines)


def _least(run: Run) -> str:
    if run.sizing is None:
        return ""
    lines = [f"{criterion}: {size or 'none'}" for criterion, size in run.sizing.by_criterion]
    return "\n".join([*lines, f"governs: {run.sizing.governing}"])
