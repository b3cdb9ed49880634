"""What each feeder carries: sum of its loads, what can flow at once, and in which switch state that is most."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.handover.lists.table import Column, Table
from layout.handover.lists.wires.schedule_columns import name_of

if TYPE_CHECKING:
    from layout.handover.lists.table import Cell
    from layout.project.model.project import Project
    from layout.wiring.result import FeederLoad, Wiring

_COLUMNS = (
    Column(key="number", title="Wire", width_mm=20),
    Column(key="feeder", title="Feeder", width_mm=60),
    Column(key="sum_a", title="Loads summed", unit="A", digits=1, width_mm=24, align="right"),
    Column(key="at_once_a", title="At once", unit="A", digits=1, width_mm=20, align="right"),
    Column(key="state", title="Worst state", width_mm=50),
    Column(key="source", title="Fed by", width_mm=44),
    Column(key="unknown", title="Not known, not counted", width_mm=60),
)


def feeder_table(project: Project, wiring: Wiring) -> Table:
    """Return one row a feeder; a load that is not known is named, and the sum then stands for the others only."""
    return Table(
        name="feeders", title="Load of the feeders", columns=_COLUMNS,
        rows=tuple(_row(project, wiring, load) for load in wiring.feeders),
    )  # fmt: skip


def _row(project: Project, wiring: Wiring, load: FeederLoad) -> dict[str, Cell]:
    run = next((run for run in wiring.runs if load.feeder in (run.key, run.owner) and run.owner_kind == "feeder"), None)
    loaded = bool(load.source) or load.sum_a is None or load.sum_a > 0
    return {
        "number": run.number if run else "",
        "feeder": run.name if run else load.feeder,
        "sum_a": load.sum_a if loaded else "",
        "at_once_a": load.simultaneous_a if loaded else "",
        "state": load.state if loaded else "feeds no load: carries a source's output, or cranks",
        "source": name_of(project, load.source),
        "unknown": ", ".join(_name(project, key) for key in load.unknown),
    }


def _name(project: Project, key: str) -> str:
    circuit = project.circuits.get(key.removeprefix("circuits."))
    return (circuit.name if circuit else "") or key
