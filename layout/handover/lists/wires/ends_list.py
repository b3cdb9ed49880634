"""Every end where it is crimped: place by place, what goes on which terminal, with fitting and far end."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.handover.lists.natural_order import natural
from layout.handover.lists.table import Column, Table

if TYPE_CHECKING:
    from layout.handover.lists.table import Cell
    from layout.project.model.project import Project
    from layout.wiring.result import Run, Wire, WireEnd, Wiring

_COLUMNS = (
    Column(key="place", title="Place", width_mm=40),
    Column(key="at", title="At", width_mm=58, once=True),
    Column(key="terminal", title="Terminal", width_mm=20),
    Column(key="number", title="Wire", width_mm=22),
    Column(key="colour", title="Colour", width_mm=32, paper=False),
    Column(key="code", title="Code", width_mm=14),
    Column(key="size", title="Size", width_mm=20),
    Column(key="fitting", title="Fitting", width_mm=46),
    Column(key="to", title="Goes to", width_mm=62),
    Column(key="done", title="Done", width_mm=18, align="centre"),
)
NOWHERE = "place not known"


def ends_table(project: Project, wiring: Wiring) -> Table:
    """Return all ends, gathered by place in the project's order, then by what they end on and its terminals."""
    found = [(run, wire, here, there) for run in wiring.runs for wire in run.wires for here, there in _both(wire)]
    places = [*(panel.name or panel.id for panel in project.panels.values())]
    places += [place.name or place.id for place in project.locations.values()]
    order = {name: at for at, name in enumerate(dict.fromkeys(places))}
    owners = {name: at for at, name in enumerate(dict.fromkeys(here.name for _, _, here, _ in found))}
    found.sort(
        key=lambda one: (
            order.get(_place(project, one[2]), len(order)),
            owners[one[2].name],
            natural(one[2].terminal),
            one[1].number,
        )
    )
    return Table(
        name="ends", title="Ends, place by place", columns=_COLUMNS, group_by="place",
        rows=tuple(_row(project, run, wire, here, there) for run, wire, here, there in found),
        notes=("Code: colour by IEC 60757, as written out in the schedule.",),
    )  # fmt: skip


def _both(wire: Wire) -> tuple[tuple[WireEnd, WireEnd], tuple[WireEnd, WireEnd]]:
    return (wire.start, wire.end), (wire.end, wire.start)


def _place(project: Project, end: WireEnd) -> str:
    if end.panel in project.panels and end.panel is not None:
        return project.panels[end.panel].name or end.panel
    if end.location in project.locations and end.location is not None:
        return project.locations[end.location].name or end.location
    return NOWHERE


def _row(project: Project, run: Run, wire: Wire, here: WireEnd, there: WireEnd) -> dict[str, Cell]:
    return {
        "place": _place(project, here),
        "at": here.name,
        "terminal": here.terminal,
        "number": wire.number,
        "colour": f"{wire.colour} {wire.code}".strip(),
        "code": wire.code or wire.colour,
        "size": run.size_words,
        "fitting": here.fitting or None,
        "to": f"{there.name} {there.terminal}".rstrip(),
        "done": "☐",
    }
