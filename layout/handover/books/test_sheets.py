"""Test sheet for the electrician: continuity, polarity, insulation and drop of every run, with blanks to fill in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import Spacer

from layout.drawing.elements import colours
from layout.drawing.writers.pdf import POINTS_PER_MM
from layout.handover.lists.table import Column, Table
from layout.handover.lists.wires.schedule_columns import known_drop_v
from layout.handover.lists.work_aboard.unplug import to_unplug
from layout.handover.paper.cautions import cautions
from layout.handover.paper.dense_table import DenseTable
from layout.handover.paper.flow_table import flow_table
from layout.handover.paper.marked_rows import faulty_wires, marked
from layout.handover.paper.styles import heading, text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from reportlab.platypus import Flowable

    from layout.findings import Finding
    from layout.handover.lists.table import Cell
    from layout.project.model.project import Project
    from layout.wiring.result import Run, Wiring

_COLUMNS = (
    Column(key="wire", title="Wire", width_mm=18),
    Column(key="name", title="What it feeds", width_mm=80),
    Column(key="most_ohm", title="At most", unit="ohm", digits=4, width_mm=15, align="right"),
    Column(key="continuity", title="Continuity", unit="ohm", width_mm=19, blank=True),
    Column(key="polarity", title="Polarity", unit="correct", width_mm=17, align="centre"),
    Column(key="insulation", title="Insulation", unit="Mohm", width_mm=19, blank=True),
    Column(key="pulled", title="Crimps", unit="pulled", width_mm=14, align="centre"),
    Column(key="torque", title="Torque", unit="Nm", width_mm=14, blank=True),
    Column(key="length_m", title="Length", unit="m plan", digits=2, width_mm=18, align="right"),
    Column(key="measured_length_m", title="Length", unit="m found", width_mm=19, blank=True),
    Column(key="design_a", title="Design", unit="A", digits=1, width_mm=14, align="right"),
    Column(key="run_drop_v", title="Drop", unit="V plan", digits=3, width_mm=18, align="right"),
    Column(key="measured_a", title="At", unit="A found", width_mm=19, blank=True),
    Column(key="measured_drop_v", title="Drop", unit="V found", width_mm=19, blank=True),
    Column(key="sign", title="By, date", width_mm=22, blank=True),
)
BLANK = ""
STEPS = (
    "1.  All supplies isolated and locked off, and every conductor proved dead.",
    "2.  Everything below unplugged and ticked.",
    "3.  Continuity and polarity, wire by wire.",
    "4.  Insulation, between each pole and earth, and between poles.",
    "5.  Plug in again, tick, supplies on, one way at a time.",
    "6.  Drop, with the amperes at that time.",
)


def run_tests_table(wiring: Wiring) -> Table:
    """Return one row a run: what was worked out, and blanks. Its CSV, filled in, is what :mod:`commission` reads."""
    return Table(
        name="test sheet", title="Test sheet", columns=_COLUMNS, rows=tuple(_row(run) for run in wiring.runs),
        notes=(
            "Drop is of this run alone, both conductors, at its design current. Measure it between the run's ends "
            "under load and write the amperes beside it; the two are compared in proportion.",
            "At most: one conductor's copper at its working temperature; cold it reads less. More is a bad crimp. "
            "Insulation: at least 0.5 Mohm at 250 V on circuits up to 50 V, 1 Mohm at 500 V on 120 and 230 V "
            "(IEC 60364-6 table 6.1, from memory).",
            "Instrument, its number and last check: ______________________   Name, licence: ______________________   "
            "Date, signature: ______________________",
        ),
    )  # fmt: skip


def _row(run: Run) -> dict[str, Cell]:
    metres = None if run.length.total_mm is None else run.length.total_mm / 1000
    blanks: dict[str, Cell] = dict.fromkeys(
        ("continuity", "insulation", "torque", "measured_length_m", "measured_a", "measured_drop_v", "sign"), BLANK
    )
    signal = not run.carries
    return {
        "wire": run.number, "name": run.name, **blanks, "most_ohm": _most_ohm(run),
        "polarity": "☐", "pulled": "☐", "length_m": metres,
        "design_a": "" if signal else run.current_a, "run_drop_v": "" if signal else known_drop_v(run),
    }  # fmt: skip


def _most_ohm(run: Run) -> Cell:
    """Return the most that one conductor of a run may have, cold: what its copper has at working temperature."""
    known = [wire.ohm for wire in run.wires if wire.ohm is not None]
    return max(known) if known else "" if run.run_class in ("data", "antenna") else None


def unplug_table(project: Project) -> Table:
    """Return everything to unplug before the insulation test, to be ticked by name."""
    rows: tuple[dict[str, Cell], ...] = tuple(
        {"item": name, "why": why, "out": "☐", "in": "☐"} for name, why in to_unplug(project)
    )
    columns = (
        Column(key="item", title="Unplug before the insulation test", width_mm=80),
        Column(key="why", title="Why", width_mm=90),
        Column(key="out", title="Unplugged", width_mm=24, align="centre"),
        Column(key="in", title="Plugged in again", width_mm=30, align="centre"),
    )
    return Table(name="unplug", title="Unplug before the insulation test", columns=columns, rows=rows)


def ac_tests_table(project: Project) -> Table:
    """Return the AC tests: earth continuity, residual-current device, and polarity at the inlet, for each source."""
    rows: list[dict[str, Cell]] = []
    for supply in project.supplies.values():
        if supply.is_ac:
            for what, unit in (
                ("protective conductor from the inlet to the furthest socket", "ohm"),
                ("residual-current device trips at its rated current", "ms"),
                ("line and neutral the right way round", "yes / no"),
                ("neutral joined to earth in one place only, this source on", "yes / no"),
            ):
                rows.append({"source": supply.name or supply.id, "what": what, "unit": unit, "found": "", "sign": ""})
    columns = (
        Column(key="source", title="Source", width_mm=60),
        Column(key="what", title="Test", width_mm=110),
        Column(key="unit", title="In", width_mm=20),
        Column(key="found", title="Found", width_mm=40, blank=True),
        Column(key="sign", title="By, date", width_mm=40, blank=True),
    )
    return Table(name="ac tests", title="AC tests, by a licensed person", columns=columns, rows=tuple(rows))


def hull_tests_table(project: Project) -> Table:
    """Return the earth-leak checks of a metal hull, each pole of each battery against it; empty on other hulls."""
    batteries = [s for s in project.supplies.values() if s.kind == "battery" and not s.is_removed]
    rows: list[dict[str, Cell]] = [
        {
            "source": supply.name or supply.id,
            "what": f"{pole} against the hull, {state}",
            "unit": unit,
            "found": "",
            "sign": "",
        }
        for supply in (batteries if project.boat.hull in ("metal", None) else ())
        for pole in ("positive", "negative")
        for state, unit in (
            ("battery off, everything switched on", "ohm"),
            ("battery on, everything switched on", "mA"),
        )
    ]
    columns = (
        Column(key="source", title="Battery", width_mm=60),
        Column(key="what", title="Earth leak", width_mm=110),
        Column(key="unit", title="In", width_mm=20),
        Column(key="found", title="Found", width_mm=40, blank=True),
        Column(key="sign", title="By, date", width_mm=40, blank=True),
    )
    notes = ("Both poles of the DC system are insulated from a metal hull: no current may flow to it from either.",)
    return Table(name="hull tests", title="Earth leak to the hull", columns=columns, rows=tuple(rows), notes=notes)


def blank_tests_story(project: Project, wiring: Wiring, findings: Sequence[Finding], width_mm: float) -> list[Flowable]:
    """Return the test sheet as flowables: steps and cautions, what to unplug, then the runs."""
    story: list[Flowable] = [heading("Before the test", 3)]
    story += [text(step, 2.0) for step in STEPS]
    story += [text(f"•  {caution}", 2.0, colour=colours.ALARM) for caution in cautions(project, "testing")]
    story.append(Spacer(0, 2 * POINTS_PER_MM))
    unplug = unplug_table(project)
    if unplug.rows:
        story.append(DenseTable(unplug, width_mm))
    else:
        story.append(text("Nothing on board is known to be electronic; look for yourself before testing.", 2.2))
    residual = ac_tests_table(project)
    if residual.rows:
        story += [heading(residual.title, 3), *flow_table(residual, width_mm, lettering_mm=2.0)]
    leak = hull_tests_table(project)
    if leak.rows:
        story += [heading(leak.title, 3), *flow_table(leak, width_mm, lettering_mm=2.0)]
    bad = faulty_wires(project, wiring, (*findings, *wiring.findings))
    runs = marked(run_tests_table(wiring), bad, "wire")
    story += [heading("Every run", 3)]
    return [*story, *flow_table(runs, width_mm)]
