"""Label list and label sheets: one label for each end of each conductor."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from layout.drawing.label_sheet import SIZES, LabelSize, WireLabel, label_sheets
from layout.drawing.pdf import DocumentInfo, pdf_bytes
from layout.handover.sheets import paper_of
from layout.handover.tables import Column, Table

if TYPE_CHECKING:
    from layout.drawing.scene import Scene
    from layout.handover.tables import Cell
    from layout.project.model.project import Project
    from layout.wiring.result import Run, Wiring

COLUMNS = (
    Column(key="number", title="Wire", width_mm=26),
    Column(key="end", title="End", width_mm=14),
    Column(key="at", title="At", width_mm=70),
    Column(key="to", title="Goes to", width_mm=70),
    Column(key="colour", title="Colour", width_mm=34),
    Column(key="size", title="Size", width_mm=22),
    Column(key="old_label", title="Old label", width_mm=26),
    Column(key="done", title="Fitted", width_mm=16, align="centre"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Label:
    run: Run
    number: str
    end: str
    at: str
    to: str
    colour: str
    code: str


def _labels(wiring: Wiring) -> list[_Label]:
    found = []
    for run in wiring.runs:
        for wire in run.wires:
            start = f"{wire.start.name} {wire.start.terminal}".rstrip()
            end = f"{wire.end.name} {wire.end.terminal}".rstrip()
            for side, at, to in (("from", start, end), ("to", end, start)):
                found.append(
                    _Label(run=run, number=wire.number, end=side, at=at, to=to, colour=wire.colour, code=wire.code)
                )
    return found


def label_table(wiring: Wiring) -> Table:
    """Return every label, in the order of the schedule, first the end a wire starts from."""
    rows: list[dict[str, Cell]] = [
        {
            "number": label.number,
            "end": label.end,
            "at": label.at,
            "to": label.to,
            "colour": f"{label.colour} {label.code}".strip(),
            "size": str(label.run.size) if label.run.size else None,
            "old_label": label.run.old_label,
            "done": "☐",
        }
        for label in _labels(wiring)
    ]
    return Table(name="labels", title="Label list", columns=COLUMNS, rows=tuple(rows))


def label_scenes(project: Project, wiring: Wiring, size: LabelSize = SIZES[0]) -> tuple[Scene, ...]:
    """Return the label sheets at full size.

    Raises
    ------
    ValueError
        A number with its colour and size does not fit on a label of that size.
    """
    labels = [
        WireLabel(
            number=label.number,
            to=label.to,
            detail=" ".join(filter(None, (label.code, str(label.run.size) if label.run.size else "size ?"))),
        )
        for label in _labels(wiring)
    ]
    return label_sheets(labels, size, paper=paper_of(project).name)


def label_pdf(project: Project, wiring: Wiring, size: LabelSize = SIZES[0]) -> bytes:
    """Return the label sheets as PDF, to be printed without scaling.

    Raises
    ------
    ValueError
        There is no wire, or a number does not fit on a label.
    """
    block = project.project
    info = DocumentInfo(title=f"{block.name}: wire labels", revision=block.revision, subject="wire labels")
    return pdf_bytes(label_scenes(project, wiring, size), info)
