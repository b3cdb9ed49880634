"""What a template shows, in panel coordinates: lines with their pens, and what is to be written at them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from layout.drawing.elements import colours, pens
from layout.drawing.elements.hatch import hatch_lines
from layout.drawing.elements.metrics import width_mm, wrapped
from layout.drawing.elements.numerals import mm
from layout.drawing.elements.scene import HatchPath, line
from layout.drawing.panel.holes import whence
from layout.drawing.panel.placed_panel import at_words
from layout.drawing.panel.rebates import rebates
from layout.geometry.offset import offset
from layout.geometry.path import Box
from layout.geometry.shapes import circle
from layout.light_dataclass import dataclass, field

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from layout.drawing.elements.pens import Pen
    from layout.drawing.panel.placed_panel import PanelShapes
    from layout.drawing.panel.rebates import SheetRebate
    from layout.drawing.template.order_of_work import HoleJob
    from layout.geometry.path import Path, Point

_PAD_MM = 8.0
"""Room kept round the panel for the register crosses at its corners."""

WASTE_MM, WASTE_PITCH_MM = 3.0, 3.0
"""Width of the hatched band inside a cut line, and the distance of its strokes."""

_NAME_MM = 3.5
"""Height of the lettering at cut-outs."""


@dataclass(frozen=True, slots=True)
class TemplateMark:
    """One line of the template: its layer, path and pen; hatched where it must not be cut; its bounding box."""

    layer: str
    path: Path
    pen: Pen
    hatched: bool = False
    box: Box = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "box", self.path.bounds())


@dataclass(frozen=True, slots=True, kw_only=True)
class TemplateNote:
    """What is to be written at a hole, on every sheet that shows enough of ``box``.

    Attributes
    ----------
    narrow, brief
        The same in more lines; and less, for a sheet that shows only a part of the hole.
    is_hole
        Whether ``box`` is a hole in which no other hole's note should stand.
    is_zone
        Whether it is the name of a zone, to be written along it.
    """

    lines: tuple[str, ...]
    narrow: tuple[tuple[str, ...], ...] = ()
    brief: tuple[tuple[str, ...], ...] = ()
    at: Point
    box: Box
    clear_mm: float = 2.0
    colour: str = colours.INK
    height_mm: float = 2.5
    bold: bool = False
    is_hole: bool = False
    is_zone: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Content:
    """Everything a template of one panel shows.

    Attributes
    ----------
    box
        What the sheets must cover: the panel, the crosses at its corners, every cut line.
    crosses
        Letter and place of the four register crosses, anticlockwise from the datum's corner as drawn.
    """

    shapes: PanelShapes
    jobs: tuple[HoleJob, ...]
    rebates: tuple[SheetRebate, ...]
    marks: tuple[TemplateMark, ...]
    notes: tuple[TemplateNote, ...]
    box: Box
    crosses: tuple[tuple[str, Point], ...]


def content(shapes: PanelShapes, work: Sequence[HoleJob]) -> Content:
    """Return the template of a panel as seen from the side of ``shapes``."""
    box = shapes.box
    corners = ((box.x0, box.y0), (box.x1, box.y0), (box.x1, box.y1), (box.x0, box.y1))
    cuts = [job.hole.path.bounds() for job in work]
    steps = tuple(step for step in rebates(shapes) if not step.done)
    return Content(
        shapes=shapes,
        jobs=tuple(work),
        rebates=steps,
        marks=(*_panel(shapes), *_devices(shapes), *_rebates(steps), *_holes(work)),
        notes=(*_hole_notes(work), *_rebate_notes(steps, shapes.side), *_panel_notes(shapes)),
        box=Box.around([box.grown(_PAD_MM), *(cut.grown(1.0) for cut in cuts)]),
        crosses=tuple(zip("QRST", corners, strict=True)),
    )


def _panel(shapes: PanelShapes) -> Iterator[TemplateMark]:
    yield TemplateMark("outline", shapes.outline, pens.CUT if shapes.panel.work_state == "open" else pens.OUTLINE)
    for path, _ in shapes.no_go:
        yield TemplateMark("keep_out", path, pens.KEEP_OUT)
    for path, _ in (*shapes.old_holes, *shapes.reserved):
        yield TemplateMark("reference", path, pens.ADJACENT)
    box = shapes.box
    for x, y in ((box.x0, box.y0), (box.x1, box.y0), (box.x1, box.y1), (box.x0, box.y1)):
        yield TemplateMark("register", line((x - 6, y), (x + 6, y), pens.REGISTER).path, pens.REGISTER)
        yield TemplateMark("register", line((x, y - 6), (x, y + 6), pens.REGISTER).path, pens.REGISTER)
        yield TemplateMark("register", circle(6, at=(x, y)), pens.REGISTER)


def _devices(shapes: PanelShapes) -> Iterator[TemplateMark]:
    for device in shapes.devices:
        yield TemplateMark("face", device.face, pens.FACE_PEN)
        for path, _ in device.bodies:
            yield TemplateMark("body", path, pens.BODY_PEN)
        if device.device.work_state == "cut":
            for path in device.cutouts:
                yield TemplateMark("reference", path, pens.ADJACENT)


def _rebates(steps: Sequence[SheetRebate]) -> Iterator[TemplateMark]:
    for step in steps:
        yield (
            TemplateMark("rebate", step.path, pens.REBATE)
            if step.confirmed
            else TemplateMark("unsure", step.path, pens.UNSURE)
        )


def _rebate_notes(steps: Sequence[SheetRebate], side: str) -> Iterator[TemplateNote]:
    """Yield what stands at each rebate: its size and depth, and from which side it is cut."""
    for step in steps:
        lines = (f"{step.mark}: {step.words}", *(() if side == "front" else ("on the front",)))
        yield TemplateNote(
            lines=lines if step.confirmed else (*lines, "DO NOT CUT"),
            at=step.at,
            box=step.path.bounds(),
            clear_mm=step.path.bounds().height / 2 + 1.0,
            colour=colours.LEAD if step.confirmed else colours.ALARM,
        )


def _holes(work: Sequence[HoleJob]) -> Iterator[TemplateMark]:
    for job in work:
        hole = job.hole
        if not hole.confirmed:
            yield TemplateMark("unsure", hole.path, pens.UNSURE, hatched=True)
            continue
        yield TemplateMark("cut", hole.path, pens.CUT)
        if hole.kind != "fixing":
            for ring in waste(hole.path):
                yield TemplateMark("waste", ring, pens.HATCH)
        x, y = hole.at
        reach = 5.0 if hole.diameter_mm is None else min(5.0, hole.diameter_mm / 2 + 2.5)
        for start, end in (((x - reach, y), (x + reach, y)), ((x, y - reach), (x, y + reach))):
            yield TemplateMark("centre", line(start, end, pens.RULE_PEN).path, pens.RULE_PEN)
        for helper in job.helpers:
            yield TemplateMark("helper", circle(helper.diameter_mm, at=helper.at), pens.OUTLINE)
            hx, hy = helper.at
            for start, end in (((hx - 1.5, hy), (hx + 1.5, hy)), ((hx, hy - 1.5), (hx, hy + 1.5))):
                yield TemplateMark("centre", line(start, end, pens.RULE_PEN).path, pens.RULE_PEN)


def waste(path: Path) -> Iterator[Path]:
    """Yield the short strokes that hatch a band inside a cut line: what they stand in falls out."""
    inner = [ring for region in offset(path, -WASTE_MM) for ring in (region.outer, *region.holes)]
    band = HatchPath(path, pens.HATCH, spacing_mm=WASTE_PITCH_MM, holes=tuple(inner))
    yield from hatch_lines(band)


def _hole_notes(work: Sequence[HoleJob]) -> Iterator[TemplateNote]:
    """Yield what stands at each hole: cut-outs first, they are the larger ones."""
    for job in sorted(work, key=lambda job: job.hole.kind == "fixing"):
        hole, box = job.hole, job.hole.path.bounds()
        lines: tuple[str, ...]
        if hole.kind == "fixing":
            lines = (f"{hole.mark} {hole.size}",)
            if hole.confirmed and (job.choice.diameter_mm != hole.diameter_mm):
                lines = (*lines, job.choice.text)
        else:
            lines = (f"{hole.mark}: {hole.name}", ", ".join([hole.size, *_how(job)]) if hole.confirmed else hole.size)
        if not hole.confirmed:
            lines = (*lines, "DO NOT CUT", f"sizes {whence(hole.size_from)}")
        yield TemplateNote(
            lines=lines,
            narrow=() if hole.kind == "fixing" else _narrow(lines),
            brief=() if hole.kind == "fixing" or not hole.confirmed else ((hole.mark, hole.size), (hole.mark,)),
            is_hole=hole.kind != "fixing",
            at=hole.at,
            box=box,
            height_mm=2.5 if hole.kind == "fixing" else _NAME_MM,
            clear_mm=6.0 if hole.kind != "fixing" else min(5.0, (hole.diameter_mm or 4) / 2 + 2.5),
            colour=colours.INK if hole.confirmed else colours.ALARM,
        )


def _narrow(lines: Sequence[str]) -> tuple[tuple[str, ...], ...]:
    """Return a cut-out's note in more and narrower lines, broken between its parts where that is enough."""
    found = []
    for room_mm in (50.0, 36.0):
        rows: list[str] = []
        for content_line in lines:
            row = ""
            for part in _parts(content_line):
                if row and width_mm(row + part, _NAME_MM) > room_mm:
                    rows += _rows(row, room_mm)
                    row = part.removeprefix(",").strip()
                else:
                    row += part
            rows += _rows(row, room_mm)
        if tuple(rows) != tuple(lines) and tuple(rows) not in found:
            found.append(tuple(rows))
    return tuple(found)


def _parts(content_line: str) -> list[str]:
    """Return a line cut before each comma and bracket; joined they are the line."""
    return re.split(r"(?=, )|(?= \()", content_line)


def _rows(words: str, room_mm: float) -> list[str]:
    """Return words broken where they have to be, but nothing that stands in brackets."""
    return [words] if "(" in words else wrapped(words, _NAME_MM, room_mm)


def _how(job: HoleJob) -> list[str]:
    reliefs = sorted({helper.diameter_mm for helper in job.helpers if helper.kind == "relief"})
    starts = sorted({helper.diameter_mm for helper in job.helpers if helper.kind == "start"})
    chains = sorted({helper.diameter_mm for helper in job.helpers if helper.kind == "chain"})
    words = [job.choice.text]
    words += [f"relief ⌀{mm(d)}" for d in reliefs] + [f"start ⌀{mm(d)}" for d in starts]
    if chains:
        count = sum(helper.kind == "chain" for helper in job.helpers)
        words.append(f"{count} × ⌀{mm(chains[0])}")
    return words


def _panel_notes(shapes: PanelShapes) -> Iterator[TemplateNote]:
    for path, keep_out in shapes.no_go:
        name = keep_out.name or keep_out.kind
        box = path.bounds()
        yield TemplateNote(lines=(name,), at=box.centre, box=box, clear_mm=1.0, colour=colours.ALARM, is_zone=True)
    for path, old in shapes.old_holes:
        lines = (old.name or "old hole", f"there already: {old.fate}")
        yield TemplateNote(lines=lines, at=path.bounds().centre, box=path.bounds(), clear_mm=1.0, colour=colours.GREY)
    for path, room in shapes.reserved:
        what = ("kept free:", room.name or room.id, at_words(shapes, path.bounds().centre))
        yield TemplateNote(lines=what, at=path.bounds().centre, box=path.bounds(), clear_mm=1.0, colour=colours.GREY)
    for device in shapes.devices:
        if device.device.work_state == "cut":
            for path in device.cutouts:
                lines = (f"{device.number}: {device.name}", "cut already")
                yield TemplateNote(
                    lines=lines, at=path.bounds().centre, box=path.bounds(), clear_mm=1.0, colour=colours.GREY
                )
    box = shapes.box
    for letter, (x, y) in zip(
        "QRST", ((box.x0, box.y0), (box.x1, box.y0), (box.x1, box.y1), (box.x0, box.y1)), strict=True
    ):
        datum = " datum" if (x, y) == shapes.datum else ""
        yield TemplateNote(
            lines=(f"{letter}{datum}",),
            at=(x, y),
            box=Box(x - 1, y - 1, x + 1, y + 1),
            clear_mm=3.0,
            bold=True,
            height_mm=3.5,
        )
    if shapes.panel.hinge:
        side = shapes.panel.hinge.side
        if shapes.side == "rear":
            side = {"left": "right", "right": "left"}.get(side, side)  # type: ignore[assignment]
        at = {
            "left": (box.x0, box.centre[1]), "right": (box.x1, box.centre[1]),
            "top": (box.centre[0], box.y1), "bottom": (box.centre[0], box.y0),
        }[side]  # fmt: skip
        yield TemplateNote(lines=("hinge side",), at=at, box=Box(*at, *at), clear_mm=2.0, colour=colours.GREY)
