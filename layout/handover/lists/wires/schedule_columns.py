"""The schedule as a table: one row a conductor, the same columns in CSV, spreadsheet and on paper."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.handover.lists.table import Column, Table
from layout.handover.lists.wires.circuit_order import by_circuit
from layout.handover.paper.marked_rows import errors_of, said_of, wiring_errors
from layout.project.model.keys import End

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.findings import Finding
    from layout.handover.lists.table import Cell
    from layout.project.model.project import Project
    from layout.wiring.result import FittedDevice, Run, Wire, WireEnd, Wiring

SCHEDULE = (
    Column(key="number", title="Wire", width_mm=18),
    Column(key="group", title="Circuit or feeder", width_mm=34),
    Column(key="fed_from", title="Fed from", width_mm=34),
    Column(key="way", title="Way", width_mm=10),
    Column(key="circuit", title="Run", width_mm=40),
    Column(key="purpose", title="Purpose", width_mm=26),
    Column(key="pole", title="Pole", width_mm=10, align="centre"),
    Column(key="core", title="Core", width_mm=10, align="right"),
    Column(key="from", title="From", width_mm=42),
    Column(key="from_terminal", title="Terminal", width_mm=16),
    Column(key="from_fitting", title="Fitting", width_mm=30),
    Column(key="to", title="To", width_mm=42),
    Column(key="to_terminal", title="Terminal", width_mm=16),
    Column(key="to_fitting", title="Fitting", width_mm=30),
    Column(key="voltage_v", title="Voltage", unit="V", digits=0, width_mm=14, align="right"),
    Column(key="system", title="System", width_mm=12),
    Column(key="current_a", title="Design current", unit="A", digits=2, width_mm=16, align="right"),
    Column(key="current_from", title="Current found by", width_mm=28),
    Column(key="length_m", title="Length", unit="m", digits=2, width_mm=14, align="right"),
    Column(key="size", title="Size", width_mm=18),
    Column(key="area_mm2", title="Copper", unit="mm²", digits=2, width_mm=14, align="right"),
    Column(key="size_given", title="Size given", width_mm=12, align="centre"),
    Column(key="governed_by", title="Governed by", width_mm=24),
    Column(key="cable", title="Cable", width_mm=26),
    Column(key="colour", title="Colour", width_mm=24),
    Column(key="colour_code", title="IEC 60757", width_mm=14),
    Column(key="protection", title="Protection", width_mm=26),
    Column(key="protection_a", title="Rating", unit="A", digits=0, width_mm=14, align="right"),
    Column(key="protection_at", title="Stands at", width_mm=26),
    Column(key="protection_within_mm", title="Within", unit="mm of its source", digits=0, width_mm=14, align="right"),
    Column(key="ampacity_a", title="Ampacity", unit="A", digits=1, width_mm=16, align="right"),
    Column(key="loaded_together", title="Loaded together", width_mm=14, align="right"),
    Column(key="hot_space", title="Hot space", width_mm=12, align="centre"),
    Column(key="ohm", title="Resistance", unit="ohm", digits=5, width_mm=18, align="right"),
    Column(key="wire_drop_v", title="Drop, this wire", unit="V", digits=3, width_mm=16, align="right"),
    Column(key="run_drop_v", title="Drop, this run", unit="V", digits=3, width_mm=16, align="right"),
    Column(key="run_drop_percent", title="Drop, this run", unit="%", digits=2, width_mm=14, align="right"),
    Column(key="total_drop_v", title="Drop from source", unit="V", digits=3, width_mm=16, align="right"),
    Column(key="total_drop_percent", title="Drop from source", unit="%", digits=2, width_mm=14, align="right"),
    Column(key="limit_percent", title="Limit", unit="%", digits=1, width_mm=12, align="right"),
    Column(key="wireways", title="Wireways", width_mm=40),
    Column(key="from_label", title="Label at the start", width_mm=44),
    Column(key="to_label", title="Label at the end", width_mm=44),
    Column(key="aboard", title="Aboard", width_mm=14),
    Column(key="old_label", title="Old label", width_mm=16),
    Column(key="from_node", title="Node at the start", width_mm=26),
    Column(key="to_node", title="Node at the end", width_mm=26),
    Column(key="key", title="Entry", width_mm=40),
    Column(key="findings", title="Findings", width_mm=22),
    Column(key="notes", title="Notes", width_mm=12),
)
"""Columns of the schedule, in their order."""


def schedule_table(project: Project, wiring: Wiring, findings: Sequence[Finding] = ()) -> Table:
    """Return the whole schedule, circuit by circuit in the order of the panels' ways.

    Parameters
    ----------
    findings
        Besides those of ``wiring``; rows carry the codes of those that concern them.
    """
    found = tuple(dict.fromkeys((*findings, *wiring.findings)))
    errors = wiring_errors(found)
    rows: list[dict[str, Cell]] = []
    faulty: list[int] = []
    for group in by_circuit(project, wiring):
        for run in group.runs:
            wrong = errors_of(project, run, errors)
            codes = tuple(dict.fromkeys(finding.rule for finding in (*wrong, *said_of(project, run, found))))
            for wire in run.wires:
                if wrong:
                    faulty.append(len(rows))
                rows.append({**_row(project, run, wire, codes), "group": group.title})
    return Table(
        name="schedule", title="Wire-run schedule", columns=SCHEDULE, rows=tuple(rows), faulty=frozenset(faulty),
        notes=footnote_lines(wiring), group_by="group",
    )  # fmt: skip


def known_drop_v(run: Run) -> float | None:
    """Return the drop on a run, V; None where it was not worked out.

    A run that has a design current and resistance, but no drop, is one that no load of any state flows through
    (charging, cranking): its drop is not zero but not known.
    """
    if run.current_a is None or (run.drop_v == 0 and run.current_a > 0 and run.ohm != 0):
        return None
    return run.drop_v


def has_source_drop(run: Run) -> bool:
    """Tell whether a run has a drop from a source, known or not.

    A feeder that no source reaches both ends of (it charges, or leads from solar modules) has none.
    """
    return run.cumulative_v is not None or run.owner_kind != "feeder" or run.drop_v is None


def footnote_lines(wiring: Wiring) -> tuple[str, ...]:
    """Return the footnotes with their marks: which tables were used, what is unverified."""
    return tuple(f"{key}  {text}" for key, text in wiring.footnotes.items())


def name_of(project: Project, owner: str) -> str:
    """Return what people call the owner of an end; its id where it has no name."""
    for kind in (
        project.supplies, project.battery_switches, project.bus_bars, project.breaker_panels, project.devices,
        project.locations,
        project.wireways, project.cables,
    ):  # fmt: skip
        if owner in kind:
            return str(kind[owner].name or owner)
    return owner


def node_name(project: Project, node: str) -> str:
    """Return an electrical node or end in words: ``dc24/7`` is "12 V distribution 7"."""
    end = End.read(node)
    return f"{name_of(project, end.owner)} {end.terminal}".rstrip()


def _row(project: Project, run: Run, wire: Wire, codes: Sequence[str]) -> dict[str, Cell]:
    power, total = run.carries, has_source_drop(run)
    verdict = run.sizing.verdict if run.sizing else None
    length, drop = run.length.total_mm, known_drop_v(run)
    return {
        "number": wire.number,
        "fed_from": name_of(project, run.group),
        "circuit": run.name,
        "way": End.read(run.guard.where).terminal if run.guard and run.owner_kind == "circuit" else "",
        "purpose": run.purpose,
        "pole": wire.pole,
        "core": "" if wire.core is None else wire.core,
        **_end("from", wire.start),
        **_end("to", wire.end),
        "voltage_v": run.nominal_v if power else "",
        "system": "AC" if run.ac else "earth" if run.is_earth else "DC" if run.run_class == "dc" else run.run_class,
        "current_a": run.current_a if power else "",
        "current_from": run.current_text,
        "length_m": None if length is None else length / 1000,
        "size": run.size_words,
        "area_mm2": run.size.area_mm2 if run.size else "" if run.made else None,
        "size_given": run.size_given,
        "governed_by": "earthing rule" if run.is_earth else str(run.sizing.governing) if run.sizing else "",
        "cable": name_of(project, run.cable) if run.cable else "",
        "colour": wire.colour,
        "colour_code": wire.code,
        **_guard(project, run, run.guard),
        "ampacity_a": verdict.ampacity.current_a if verdict and verdict.ampacity else (None if power else ""),
        "loaded_together": run.bundle,
        "hot_space": run.hot,
        "ohm": "" if wire.ohm is None and not power else wire.ohm,
        "wire_drop_v": (None if drop is None else wire.drop_v) if power else "",
        "run_drop_v": drop if power else "",
        "run_drop_percent": (None if drop is None else run.drop_percent) if power else "",
        "total_drop_v": run.cumulative_v if power and total else "",
        "total_drop_percent": run.cumulative_percent if power and total else "",
        "limit_percent": "" if run.limit_percent is None or not power else run.limit_percent,
        "wireways": ", ".join(name_of(project, way) for way in run.route),
        "aboard": run.aboard or "",
        "old_label": run.old_label,
        "key": run.key,
        "findings": ", ".join(codes),
        "notes": ", ".join(run.notes),
    }


def _end(side: str, end: WireEnd) -> dict[str, Cell]:
    return {
        side: end.name,
        f"{side}_terminal": end.terminal,
        f"{side}_fitting": end.fitting or None,
        f"{side}_label": end.label,
        f"{side}_node": end.node,
    }


def _guard(project: Project, run: Run, guard: FittedDevice | None) -> dict[str, Cell]:
    if guard is None:
        words = "none: starting circuit, exempt" if run.cranking else ""
        return {"protection": words, "protection_a": "", "protection_at": "", "protection_within_mm": ""}
    kind = guard.kind if guard.poles == 1 else f"{guard.kind}, {guard.poles}-pole"
    if guard.residual_a is not None:
        kind += f", {guard.residual_a * 1000:g} mA"
    near = guard.from_source_mm
    return {
        "protection": kind, "protection_a": guard.rating_a, "protection_at": node_name(project, guard.where),
        "protection_within_mm": "" if near is None else near,
    }  # fmt: skip
