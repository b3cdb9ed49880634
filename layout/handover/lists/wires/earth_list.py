"""Negative, earth and bonding: every conductor that returns, earths or bonds, by the bar that it lands on.

A source of further rows (bonds of the hull, isolation) makes :class:`EarthRow` values and adds them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.handover.lists.table import Column, Table
from layout.handover.lists.wires.run_words import BACK
from layout.handover.lists.wires.schedule_columns import name_of
from layout.light_dataclass import dataclass
from layout.wiring.circuits.segments import EARTH

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from layout.handover.lists.table import Cell
    from layout.project.model.project import Project
    from layout.wiring.result import Run, Wire, Wiring

_COLUMNS = (
    Column(key="bar", title="Bar", width_mm=60),
    Column(key="what", title="What", width_mm=40),
    Column(key="position", title="At", width_mm=20),
    Column(key="number", title="Wire", width_mm=24),
    Column(key="colour", title="Colour", width_mm=36),
    Column(key="size", title="Size", width_mm=24),
    Column(key="to", title="Goes to", width_mm=70),
)
WHAT = {"-": "DC negative", "N": "AC neutral", "PE": "protective earth", "bond": "bonding"}


@dataclass(frozen=True, slots=True, kw_only=True)
class EarthRow:
    """One conductor on one bar.

    Attributes
    ----------
    bar
        Name of what it lands on: bus bar, bar of a distribution panel, supply.
    pole
        -, N, PE or bond.
    position
        Stud or clamp; empty where the bar has none.
    size
        None while it is not known.
    """

    bar: str
    pole: str
    position: str
    number: str
    colour: str
    code: str
    size: str | None
    to: str


def earth_rows(project: Project, wiring: Wiring) -> tuple[EarthRow, ...]:
    """Return the conductors of the runs; one that joins two bars stands on both."""
    return tuple(
        row
        for run in wiring.runs
        for wire in run.wires
        if wire.pole in BACK | EARTH
        for row in _of_wire(project, run, wire)
    )


def _of_wire(project: Project, run: Run, wire: Wire) -> Iterator[EarthRow]:
    ends = ((wire.start, wire.end), (wire.end, wire.start))
    bars = [pair for pair in ends if pair[0].owner in project.bus_bars or pair[0].owner in project.breaker_panels]
    landed = bars or [pair for pair in ends if pair[0].owner in project.supplies][:1] or [ends[0]]
    for here, there in landed:
        yield EarthRow(
            bar=here.name, pole=wire.pole, position="" if here.terminal == wire.pole else here.terminal,
            number=wire.number, colour=wire.colour, code=wire.code, size=run.size_words,
            to=f"{there.name} {there.terminal}".rstrip(),
        )  # fmt: skip


def earth_facts(project: Project) -> tuple[str, ...]:
    """Return what is declared of earth besides conductors: neutral and earth joined where, isolation, the hull."""
    facts: list[str] = []
    for supply in project.supplies.values():
        if not supply.is_ac or supply.is_removed:
            continue
        name = name_of(project, supply.id)
        joined = {True: "joined at it", False: "not joined at it", None: "?, not known whether joined at it"}
        facts.append(f"{name}: neutral and earth {joined[supply.neutral_bond]}")
        if supply.kind == "shore":
            facts.append(f"{name}: isolation of the shore earth: {supply.isolation or '?, not decided'}")
    metal = project.boat.hull == "metal"
    facts.append("Metal hull: both DC poles stay insulated from it" if metal else f"Hull: {project.boat.hull or '?'}")
    return tuple(facts)


def earth_table(rows: Sequence[EarthRow]) -> Table:
    """Return the rows as a list, gathered by bar and pole."""
    cells: list[dict[str, Cell]] = [
        {
            "bar": row.bar, "what": WHAT[row.pole], "position": row.position, "number": row.number,
            "colour": f"{row.colour} {row.code}".strip(), "size": row.size, "to": row.to,
        }
        for same in gathered(rows).values()
        for row in same
    ]  # fmt: skip
    return Table(name="earth", title="Negative, earth and bonding", columns=_COLUMNS, rows=tuple(cells), group_by="bar")


def gathered(rows: Sequence[EarthRow]) -> dict[tuple[str, str], list[EarthRow]]:
    """Return rows by bar and pole: negatives first, then neutrals, earths and bonds, each bar in the order it comes."""
    order = list(WHAT)
    found: dict[tuple[str, str], list[EarthRow]] = {}
    for row in sorted(rows, key=lambda one: order.index(one.pole)):
        found.setdefault((row.bar, row.pole), []).append(row)
    return found
