"""The wires found aboard, with what becomes of each: the old label beside the new number."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.handover.lists.table import UNKNOWN, Column, Table
from layout.project.reading.old_labels import old_labels

if TYPE_CHECKING:
    from layout.handover.lists.table import Cell
    from layout.project.model.project import Project
    from layout.wiring.result import Wiring

_COLUMNS = (
    Column(key="label", title="Old label", width_mm=24),
    Column(key="from", title="From, as found", width_mm=44),
    Column(key="to", title="To, as found", width_mm=44),
    Column(key="colour", title="Colour", width_mm=24),
    Column(key="size", title="Size", width_mm=22),
    Column(key="note", title="Note", width_mm=54),
    Column(key="fate", title="Fate", width_mm=20),
    Column(key="number", title="New number", width_mm=30),
    Column(key="name", title="Now", width_mm=54),
    Column(key="done", title="Done", width_mm=16, align="centre"),
)


def found_table(project: Project, wiring: Wiring) -> Table | None:
    """Return one row a wire of the as-found list; None where there is no list."""
    if not project.as_found:
        return None
    taken = old_labels(project)
    numbers: dict[str, list[str]] = {}
    for run in wiring.runs:
        if run.old_label:
            numbers.setdefault(run.old_label, []).append(run.number)
    rows: list[dict[str, Cell]] = []
    for wire in project.as_found:
        claims = taken.get(wire.label, [])
        rows.append(
            {
                "label": wire.label, "from": wire.from_, "to": wire.to, "colour": wire.colour, "size": wire.size,
                "note": wire.note, "fate": ", ".join(dict.fromkeys(c.fate for c in claims if c.fate)) or UNKNOWN,
                "number": ", ".join(numbers.get(wire.label, [])), "name": ", ".join(c.name for c in claims),
                "done": "☐",
            }
        )  # fmt: skip
    return Table(name="as-found", title="Wires found aboard", columns=_COLUMNS, rows=tuple(rows))
