"""Cut list: which pieces to cut from which reel, in order, and what is left over."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.handover.lists.table import Column, Table

if TYPE_CHECKING:
    from layout.handover.lists.table import Cell
    from layout.wiring.result import Wiring

_COLUMNS = (
    Column(key="reel", title="Reel", width_mm=64),
    Column(key="order", title="Cut", width_mm=12, align="right"),
    Column(key="number", title="Wire", width_mm=26),
    Column(key="length_m", title="Length", unit="m", digits=2, width_mm=22, align="right"),
    Column(key="left_m", title="Left on reel", unit="m", digits=2, width_mm=26, align="right"),
    Column(key="from", title="From", width_mm=56),
    Column(key="to", title="To", width_mm=56),
    Column(key="done", title="Cut, labelled", width_mm=24, align="centre"),
)


def cut_table(wiring: Wiring) -> Table:
    """Return the pieces reel by reel, with what is left after each cut.

    A run whose length or size is not known has no piece here; the note names them.
    """
    ends = {wire.number: wire for run in wiring.runs for wire in run.wires}
    ends |= {run.number: run.wires[0] for run in wiring.runs if run.wires and run.number not in ends}
    rows: list[dict[str, Cell]] = []
    for number, reel in enumerate(wiring.cut_list.reels, start=1):
        left = reel.reel_mm
        name = f"{number}: {reel.cable or 'single core'} {reel.size} {reel.colour}".rstrip()
        for order, piece in enumerate(reel.pieces, start=1):
            left -= piece.length_mm
            wire = ends.get(piece.number)
            rows.append(
                {
                    "reel": f"{name}, {reel.reel_mm / 1000:g} m",
                    "order": order,
                    "number": piece.number,
                    "length_m": piece.length_mm / 1000,
                    "left_m": left / 1000,
                    "from": f"{wire.start.name} {wire.start.terminal}".rstrip() if wire else "",
                    "to": f"{wire.end.name} {wire.end.terminal}".rstrip() if wire else "",
                    "done": "☐",
                }
            )
    return Table(
        name="cut list", title="Cut list by reel", columns=_COLUMNS, rows=tuple(rows), group_by="reel",
        notes=_notes(wiring),
    )  # fmt: skip


def _notes(wiring: Wiring) -> tuple[str, ...]:
    missing = [run.number for run in wiring.runs if run.length.total_mm is None or run.size_words is None]
    bought = ((run.number, run.length.total_mm) for run in wiring.runs if run.bought_whole)
    whole = [f"{number} {length / 1000:g} m" for number, length in bought if length is not None]
    found = [f"Copper in all pieces: {wiring.cut_list.copper_kg:.2f} kg."]
    if whole:
        found.insert(0, f"Bought whole, with plugs, and labelled now: {', '.join(whole)}.")
    if missing:
        found.insert(0, f"Not here, as length or size is not known yet: {', '.join(missing)}.")
    return tuple(found)
