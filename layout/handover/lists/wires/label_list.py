"""Label list and label sheets: one label for each end of each conductor."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.drawing.diagrams.label_sheet import (
    SIZES,
    LabelSize,
    WireLabel,
    label_fits,
    label_sheets,
    wrapped_size,
)
from layout.drawing.elements.scene import Text, scene_leaves
from layout.drawing.paper.stamp import INVENTED, overprint
from layout.findings import Finding
from layout.geometry.path import Box
from layout.handover.lists.table import Column, Table
from layout.handover.paper.cautions import boat_facts
from layout.handover.paper.marked_rows import faulty_wires
from layout.handover.paper.paper_choice import paper_of
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from layout.drawing.elements.scene import Scene
    from layout.handover.lists.table import Cell
    from layout.project.model.project import Project
    from layout.wiring.result import Run, Wiring

_COLUMNS = (
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
            "size": label.run.size_words,
            "old_label": label.run.old_label,
            "done": "☐",
        }
        for label in _labels(wiring)
    ]
    return Table(name="labels", title="Label list", columns=_COLUMNS, rows=tuple(rows))


def wire_labels(wiring: Wiring) -> tuple[WireLabel, ...]:
    """Return what every label says, in the order of :func:`label_table`."""
    return tuple(
        WireLabel(
            number=label.number,
            to=label.to,
            detail=" ".join(filter(None, (label.code, label.run.size_words or "size ?"))),
            od_mm=label.run.od_mm,
        )
        for label in _labels(wiring)
    )


def label_findings(wiring: Wiring, size: LabelSize) -> tuple[Finding, ...]:
    """Return the wires whose number, colour and size do not fit on a label."""
    too_small = dict.fromkeys(label.number for label in wire_labels(wiring) if not label_fits(label, size))
    owner = {wire.number: run for run in wiring.runs for wire in run.wires}
    return tuple(
        Finding(
            rule="paper 1",
            message=f"the label of wire {number} does not fit on {size.width_mm:g} x {size.height_mm:g} mm",
            subjects=(f"runs.{owner[number].key}",),
            remedy="take a wider label",
        )
        for number in too_small
    )


def fitting_size(wiring: Wiring) -> LabelSize:
    """Return the first of the common sizes that takes every label; the widest where none does."""
    found = next((size for size in SIZES if not label_findings(wiring, size)), None)
    return found or max(SIZES, key=lambda size: size.width_mm)


def label_scenes(project: Project, wiring: Wiring, size: LabelSize | None = None) -> tuple[Scene, ...]:
    """Return the label sheets at full size: wrap-round ones by the wire's diameter, unless a size is asked for.

    Raises
    ------
    ValueError
        A number with its colour and size does not fit on a label of that size.
    """
    labels, paper, foot = wire_labels(wiring), paper_of(project).name, label_foot(project)
    chosen = size or fitting_size(wiring)
    if not chosen.tail_mm:
        return label_sheets([(chosen, labels)], paper=paper, foot=foot)
    kinds: dict[LabelSize, list[WireLabel]] = {}
    for label in sorted(labels, key=lambda one: wrapped_size(one.od_mm).tail_mm):
        kinds.setdefault(wrapped_size(label.od_mm), []).append(label)
    return label_sheets(list(kinds.items()), paper=paper, foot=foot)


def label_foot(project: Project) -> tuple[str, ...]:
    """Return what stands at the foot of every label sheet."""
    lines = [INVENTED] if project.project.example else []
    ac = " AC work is for a licensed person." if "ac" in boat_facts(project) else ""
    return (*lines, f"Isolate all supplies before a label is put on.{ac}")


def stamped_label_scenes(
    project: Project, wiring: Wiring, size: LabelSize | None = None, *, findings: Iterable[Finding] = ()
) -> tuple[Scene, ...]:
    """Return the label sheets, those that show a wire with an error overprinted.

    Raises
    ------
    ValueError
        A number does not fit on a label.
    """
    bad = faulty_wires(project, wiring, (*findings, *wiring.findings))
    return tuple(_stamped(scene, bad) for scene in label_scenes(project, wiring, size))


def _stamped(scene: Scene, bad: Collection[str]) -> Scene:
    shown = {item.content for item in scene_leaves(scene.items) if isinstance(item, Text)}
    if not shown.intersection(bad):
        return scene
    box = Box(0.0, 0.0, scene.width_mm, scene.height_mm)
    return replace(scene, items=(*scene.items, overprint(box, "NOT FOR WIRING")))
