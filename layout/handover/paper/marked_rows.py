"""Which runs and wireways an error concerns, so that sheets that show them are overprinted."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.findings import Severity, area

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Sequence

    from layout.findings import Finding
    from layout.handover.lists.table import Table
    from layout.project.model.project import Project
    from layout.wiring.result import Run, Wiring

WIRING_AREAS = ("file", "wire", "fuse", "bus", "day", "paper")
"""Rules that bear on wires; a fault of the cut panel is said on the drawings."""


def wiring_errors(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the errors that make wires unfit to be pulled."""
    return tuple(f for f in findings if f.weight is Severity.STOP and area(f.rule) in WIRING_AREAS)


def run_subjects(project: Project, run: Run) -> frozenset[str]:
    """Return the dotted subjects that a run shows: itself, its owner, its ends and its wireways."""
    kind = "feeders" if run.owner_kind == "feeder" else "circuits"
    names = {f"runs.{run.key}", run.key, f"{kind}.{run.owner}", *(f"wireways.{way}" for way in run.route)}
    if run.cable:
        names.add(f"cables.{run.cable}")
    for wire in run.wires:
        names.add(f"wires.{wire.number}")
        for end in (wire.start, wire.end):
            for section in ("supplies", "battery_switches", "bus_bars", "breaker_panels"):
                if end.owner in getattr(project, section):
                    names.add(f"{section}.{end.owner}")
    return frozenset(names)


def errors_of(project: Project, run: Run, errors: Sequence[Finding]) -> tuple[Finding, ...]:
    """Return the errors that concern one run; an error that names no subject concerns every run."""
    names = run_subjects(project, run)
    return tuple(finding for finding in errors if not finding.subjects or names.intersection(finding.subjects))


def said_of(project: Project, run: Run, findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the findings of any weight that bear on wires and name a run or what it shows."""
    names = run_subjects(project, run)
    return tuple(
        finding for finding in findings if area(finding.rule) in WIRING_AREAS and names.intersection(finding.subjects)
    )


def faulty_wires(project: Project, wiring: Wiring, findings: Iterable[Finding]) -> frozenset[str]:
    """Return the numbers of all runs and conductors that an error concerns."""
    errors = wiring_errors(findings)
    runs = [run for run in wiring.runs if errors and errors_of(project, run, errors)]
    return frozenset(number for run in runs for number in (run.number, *(wire.number for wire in run.wires)))


def marked(table: Table, numbers: Collection[str], key: str = "number") -> Table:
    """Return a table whose rows about faulty wires are marked, so that paper overprints them."""
    rows = frozenset(at for at, row in enumerate(table.rows) if str(row[key]).partition("\n")[0] in numbers)
    return replace(table, faulty=table.faulty | rows)
