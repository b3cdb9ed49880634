"""Every protective device once: what it is, where it stands, how near its source, what it guards, what to carry."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.handover.lists.table import Column, Table
from layout.handover.lists.wires.run_words import device_words
from layout.handover.lists.wires.schedule_columns import name_of
from layout.project.model.keys import End

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layout.findings import Finding
    from layout.handover.lists.table import Cell
    from layout.project.model.project import Project
    from layout.wiring.result import FittedDevice, Run, Wiring

_COLUMNS = (
    Column(key="place", title="Stands at", width_mm=48),
    Column(key="device", title="Device", width_mm=54),
    Column(key="guards", title="Guards", width_mm=84),
    Column(key="holder", title="Holder", width_mm=32),
    Column(key="within", title="Within", unit="mm of source", width_mm=20, align="right"),
    Column(key="breaks", title="Breaks", unit="kA; fault there", width_mm=20, align="right"),
    Column(key="spare", title="Spares", unit="by practice", width_mm=15, align="right"),
    Column(key="findings", title="Findings", width_mm=20),
)
HOLDERS = {
    "blade fuse": "blade holder, closed",
    "link fuse": "link holder with cover",
    "cartridge fuse": "cartridge holder",
    "miniature breaker": "rail in an enclosure",
}
"""What a device is held by where it does not stand on a way of a panel; common practice, no single source."""
FUSES = ("blade fuse", "link fuse", "cartridge fuse")


def fuse_table(project: Project, wiring: Wiring, findings: Iterable[Finding] = ()) -> Table:
    """Return one row a device, in the order of feeders and ways; devices that are aboard already stand there too."""
    found = tuple(findings)
    rows: list[dict[str, Cell]] = []
    seen: dict[tuple[str, str], list[Run]] = {}
    guards: dict[tuple[str, str], FittedDevice] = {}
    for run in wiring.runs:
        if run.guard is not None:
            key = _which(run.guard)
            guards.setdefault(key, run.guard)
            seen.setdefault(key, []).append(run)
    for guard in wiring.protectors:
        key = _which(guard)
        guards[key] = guard
        seen.setdefault(key, [])
    for key, guard in guards.items():
        rows.append(_row(project, guard, seen[key], found))
    return Table(name="fuses", title="Fuses and breakers", columns=_COLUMNS, rows=tuple(rows))


def _which(guard: FittedDevice) -> tuple[str, str]:
    """Return what tells two devices apart: equal ones of two circuits stand side by side on one bar."""
    return guard.where, guard.key or f"{guard.kind} {guard.rating_a}"


def _held(project: Project, guard: FittedDevice) -> str | None:
    """Return what holds a device that stands on no way of a panel, and where; None where that is not said."""
    if guard.held_in in project.devices:
        return name_of(project, guard.held_in)
    kind = HOLDERS.get(guard.kind, "")
    if not guard.held_in:
        return kind if guard.kind == "built-in" else None
    return f"{kind}, in {name_of(project, guard.held_in)}".removeprefix(", ")


def _row(project: Project, guard: FittedDevice, runs: list[Run], findings: tuple[Finding, ...]) -> dict[str, Cell]:
    where = End.read(guard.where)
    owner, terminal = where.owner, where.terminal
    near = guard.from_source_mm
    panel = project.breaker_panels.get(owner)
    on_way = panel is not None and terminal in panel.ways
    is_main = panel is not None and guard.key == f"breaker_panels.{owner}.main"
    guarded: dict[str, list[str]] = {}
    for run in runs:
        circuit = project.circuits.get(run.owner) if run.owner_kind == "circuit" else None
        feeder = project.feeders.get(run.owner) if run.owner_kind == "feeder" else None
        name = circuit.name if circuit else feeder.name if feeder else ""
        guarded.setdefault(name or run.name, []).append(run.number)
    names = [f"{' '.join(numbers)} {name}" for name, numbers in guarded.items()]
    has = "?" if guard.breaking_a is None else f"{guard.breaking_a / 1000:g}"
    asked = "" if guard.needed_breaking_a is None else f", {guard.needed_breaking_a / 1000:.2g}"
    subjects = {f"breaker_panels.{owner}.ways.{terminal}"}
    subjects |= {name for run in runs for name in (run.key, f"runs.{run.key}")}
    codes = [
        one.rule
        for one in findings
        if one.rule.startswith("fuse") and (subjects.intersection(one.subjects) or one.at.key in subjects)
    ]
    return {
        "place": f"{name_of(project, owner)} {'way ' if on_way else ''}{terminal}".rstrip(),
        "device": device_words(guard),
        "guards": "; ".join(names),
        "holder": "on its panel" if on_way or is_main else _held(project, guard),
        "within": ("" if on_way or is_main else None) if near is None else f"{near:g}",
        "breaks": f"{has}{asked}",
        "spare": 2 if guard.kind in FUSES else "",
        "findings": ", ".join(dict.fromkeys(codes)),
    }
