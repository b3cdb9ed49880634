"""The instrument bus as a drawing true in order: every part, drop and piece, with lengths, LEN and voltages."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.diagrams.network_rows import stretches
from layout.drawing.elements import colours, pens
from layout.drawing.elements.metrics import fitted_text, wrapped
from layout.drawing.elements.pens import Pen, coloured
from layout.drawing.elements.scene import FillPath, Group, Scene, StrokePath, Text, box_path, line, rect
from layout.findings import Severity
from layout.geometry.path import Box
from layout.geometry.shapes import circle
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.drawing.diagrams.network_rows import Stretch
    from layout.drawing.elements.scene import Item
    from layout.findings import Finding
    from layout.geometry.path import Point
    from layout.network.bus import BusPlan
    from layout.network.bus_parts import CablePiece, DropCable, PluggedPart

BACKBONE = Pen(name="backbone", width_mm=0.9, colour=colours.LEAD)
DROP = Pen(name="drop", width_mm=0.35, colour=colours.LEAD)
SMALL, PLAIN, HEAD = 1.8, 2.5, 3.5
PITCH = 1.7
_ROOM = {"tee": 27.0, "tap": 40.0, "terminator": 18.0, "joint": 8.0}
_CABLE, _PLUG, _TAIL = 20.0, 0.0, 10.0
_BOX_W, _DROP_MM = 25.0, 9.0
_MARGIN = 6.0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Marks:
    """Findings with their number on the drawing, and which of them show at a part or device."""

    findings: tuple[Finding, ...]

    def at(self, subject: str) -> list[int]:
        """Return the numbers that show at a thing: at the part where one is named, else at the first subject."""
        return [n for n, finding in enumerate(self.findings, start=1) if _shown_at(finding) == subject]

    def wrong(self, subject: str) -> bool:
        return any(self.findings[n - 1].weight is Severity.STOP for n in self.at(subject))


def _shown_at(finding: Finding) -> str:
    exact = [subject for subject in finding.subjects if subject.startswith("networks.") and subject.count(".") == 2]
    return (exact or list(finding.subjects) or [""])[0]


def bus_drawing(plan: BusPlan, *, place_names: Mapping[str, str] | None = None, width_limit_mm: float = 355.0) -> Scene:
    """Return the drawing of a bus, true in order and not to scale, with its findings below.

    Parts stand from one end to the other; ganged ones touch, cable lies between stations. What a finding names
    carries its number in red.

    Parameters
    ----------
    place_names
        Names of places by id; left out, the ids stand there.
    width_limit_mm
        Rows are broken where they get wider; the break names the part it goes on at.
    """
    picture = _Picture(plan=plan, marks=_Marks(findings=plan.findings), names=place_names or {})
    y = picture.header(0.0)
    widest = 200.0
    for stretch in stretches(plan.assembly):
        for row in _rows(plan, stretch, width_limit_mm):
            widest = max(widest, row.width_mm)
            y = picture.row(row, y)
    y = picture.list_findings(y - 2.0, widest)
    return Scene(
        width_mm=widest + 2 * _MARGIN,
        height_mm=-y + 2 * _MARGIN,
        items=(Group(tuple(picture.items), name="bus", dx_mm=_MARGIN, dy_mm=-y + _MARGIN),),
        title=f"{plan.name}: parts in order",
    )


def _range(low: float | None, high: float | None) -> str:
    return f"{_amount(low, '')} to {_amount(high, 'V')}"


def _amount(value: float | None, unit: str) -> str:
    return "?" if value is None else f"{value:g} {unit}".rstrip()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cell:
    """One part in a row: the middle and width of its room, the piece before it and that piece's room."""

    part: PluggedPart
    x: float
    wide: float
    piece: CablePiece | None
    gap: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """Part of a stretch that fits a row."""

    cells: tuple[_Cell, ...]
    width_mm: float
    comes_from: str
    goes_to: str
    closes: tuple[CablePiece, ...] = ()


def _rows(plan: BusPlan, stretch: Stretch, limit_mm: float) -> list[_Row]:
    rows: list[_Row] = []
    cells: list[_Cell] = []
    x, came = 0.0, f"off {stretch.start}" if stretch.start else ""
    for part, piece in zip(stretch.parts, stretch.pieces, strict=True):
        gap = 0.0 if piece is None else _CABLE if piece.cable else _PLUG
        wide = _ROOM[part.kind] * max(len(plan.assembly.drops_at(part.key)), 1)
        if cells and x + gap + wide > limit_mm:
            rows.append(_Row(cells=tuple(cells), width_mm=x + _TAIL, comes_from=came, goes_to=part.key))
            came, cells, x = f"from {cells[-1].part.key}", [], _TAIL
        elif not cells and piece is not None:
            x = _TAIL
        cells.append(_Cell(part=part, x=x + gap + wide / 2, wide=wide, piece=piece, gap=gap))
        x += gap + wide
    rows.append(_Row(cells=tuple(cells), width_mm=x, comes_from=came, goes_to="", closes=stretch.closes))
    return rows


class _Picture:
    """Collects the items of the drawing, from the top down."""

    def __init__(self, *, plan: BusPlan, marks: _Marks, names: Mapping[str, str]) -> None:
        self.plan = plan
        self.marks = marks
        self.names = names
        self.items: list[Item] = []

    def header(self, y: float) -> float:
        """Write the name of the bus and its figures; return where that ends."""
        plan, assembly, feed = self.plan, self.plan.assembly, self.plan.assembly.feed
        lens = sum(device.load_units or 0 for device in assembly.devices.values())
        unknown = sum(device.load_units is None for device in assembly.devices.values())
        open_ = f" and {unknown} unknown" if unknown else ""
        earths = "not stated" if assembly.shield_earths is None else ", ".join(assembly.shield_earths) or "nowhere"
        lines = (
            f"{assembly.cable} backbone {plan.backbone_mm / 1000:.2f} m, drops {plan.drops_mm / 1000:.2f} m,"
            f" {len(assembly.devices)} devices, {lens} LEN{open_} = {0.05 * lens:.2f} A; shield earthed at {earths}",
            f"feed {_range(feed.lowest_v, feed.highest_v)}, protective device {_amount(feed.fuse_a, 'A')};"
            " voltages at the devices are worst case at the lowest feed",
        )
        self.items.append(Text((0.0, y - HEAD), plan.name, HEAD, bold=True))
        y -= HEAD + 3.0
        for content in lines:
            self.items.append(Text((0.0, y - PLAIN), content, PLAIN))
            y -= PLAIN * PITCH
        return y - 3.0

    def row(self, row: _Row, top: float) -> float:
        """Draw one row below ``top``; return where it ends."""
        axis = top - (30.0 if any(cell.part.kind == "tap" for cell in row.cells) else 15.0)
        self._places(row, top)
        before: float | None = None
        for cell in row.cells:
            if before is not None or row.comes_from:
                self.items.append(line((before if before is not None else 0.0, axis), (cell.x, axis), BACKBONE))
            if cell.piece is not None and cell.piece.cable:
                self._cable(cell.piece, cell.x - cell.wide / 2 - cell.gap / 2, axis)
            before = cell.x
        if row.comes_from:
            self.items.append(Text((0.0, axis + 1.5), row.comes_from, SMALL, bold=True))
        if row.goes_to and before is not None:
            self.items.append(line((before, axis), (row.width_mm, axis), BACKBONE))
            self.items.append(Text((row.width_mm, axis + 1.5), f"to {row.goes_to}", SMALL, "right", bold=True))
        lowest = min([axis - 6.0, *(self._part(cell, axis) for cell in row.cells)])
        for piece in row.closes:
            lowest -= 4.0
            length = f", {piece.length_mm / 1000:.2f} m" if piece.cable else ""
            text = f"{piece.key} also joins {piece.first} and {piece.second}{length}: a loop"
            self.items.append(Text((0.0, lowest), text, PLAIN, colour=colours.ALARM, bold=True))
        return lowest - 6.0

    def _places(self, row: _Row, top: float) -> None:
        """Draw a bracket with the place's name over each run of parts at one place."""
        runs: list[tuple[str, float, float]] = []
        for cell in row.cells:
            low, high = cell.x - cell.wide / 2, cell.x + cell.wide / 2
            if runs and cell.part.at == runs[-1][0] and cell.gap == _PLUG:
                runs[-1] = (runs[-1][0], runs[-1][1], high)
            elif cell.part.at:
                runs.append((cell.part.at, low, high))
        y = top - 4.5
        for place, low, high in runs:
            self.items.append(line((low + 1.0, y), (high - 1.0, y), pens.HAIR))
            self.items += [line((x, y), (x, y - 1.5), pens.HAIR) for x in (low + 1.0, high - 1.0)]
            name = fitted_text(self.names.get(place, place), PLAIN, high - low + _CABLE - 4.0)
            self.items.append(Text(((low + high) / 2, y + 1.0), name, PLAIN, "centre", colour=colours.GREY))

    def _cable(self, piece: CablePiece, x: float, axis: float) -> None:
        text = f"{piece.key}  {piece.length_mm / 1000:.2f} m"
        self.items.append(Text((x, axis + 1.5), text, SMALL, "centre"))
        self.items.append(Text((x, axis - 3.3), piece.cable or "", SMALL, "centre", colour=colours.GREY))

    def _part(self, cell: _Cell, axis: float) -> float:
        """Draw one part and what hangs on it; return how far down it reaches."""
        part, x = cell.part, cell.x
        subject = f"networks.{self.plan.id}.{part.key}"
        ink = colours.ALARM if self.marks.wrong(subject) else colours.INK
        draw = {"terminator": self._terminator, "tap": self._tap, "joint": self._joint, "tee": self._tee}[part.kind]
        low = draw(cell, axis, ink)
        self._numbers(self.marks.at(subject), (x - 3.4, axis + 4.6))
        return low

    def _terminator(self, cell: _Cell, axis: float, ink: str) -> float:
        box = Box(cell.x - 6.0, axis - 2.4, cell.x + 6.0, axis + 2.4)
        ohms = cell.part.resistance_ohm or 120.0
        self._box(box, ink)
        self.items.append(Text((cell.x, axis), f"{ohms:g} Ω", SMALL, "centre", "middle", colour=ink))
        self.items.append(Text((cell.x, axis - 5.6), cell.part.key, SMALL, "centre", colour=ink))
        return axis - 6.0

    def _joint(self, cell: _Cell, axis: float, ink: str) -> float:
        pen = coloured(pens.OUTLINE, ink, width_mm=0.5)
        self.items.append(line((cell.x, axis - 1.5), (cell.x, axis + 1.5), pen))
        self.items.append(Text((cell.x, axis - 4.6), cell.part.key, SMALL, "centre", colour=colours.GREY))
        return axis - 6.0

    def _tap(self, cell: _Cell, axis: float, ink: str) -> float:
        x, feed = cell.x, self.plan.assembly.feed
        pen = coloured(pens.OUTLINE, ink, width_mm=0.35)
        length = "length ?" if feed.length_mm is None else f"{feed.length_mm / 1000:.2f} m"
        self.items += [
            FillPath(circle(3.6, at=(x, axis)), colours.WHITE),
            StrokePath(circle(3.6, at=(x, axis)), coloured(pens.OUTLINE, ink, width_mm=0.5)),
            line((x, axis + 1.8), (x, axis + 18.0), pen),
            rect(Box(x - 1.3, axis + 8.5, x + 1.3, axis + 15.5), pen),
            Text((x, axis - 4.8), cell.part.key, SMALL, "centre", colour=ink),
            Text((x + 2.4, axis + 11.1), _amount(feed.fuse_a, "A"), SMALL, colour=ink),
            Text((x + 1.2, axis + 4.8), f"{feed.cable} {length}", SMALL, colour=colours.GREY),
            Text((x, axis + 19.0), feed.owner or "feed not stated", SMALL, "centre"),
        ]
        return axis - 6.0

    def _tee(self, cell: _Cell, axis: float, ink: str) -> float:
        x = cell.x
        drops = self.plan.assembly.drops_at(cell.part.key)
        step = cell.wide / max(len(drops), 1)
        low = axis - 6.0
        for index, drop in enumerate(drops):
            at = (x + (index - (len(drops) - 1) / 2) * step, axis)
            self.items.append(line((x, axis - 3.5), (at[0], axis - 3.5), DROP))
            low = min(low, self._device(drop, at))
        self.items.append(line((x, axis), (x, axis - 4.0), DROP))
        if not drops:
            self.items.append(Text((x, axis - 7.0), "spare", SMALL, "centre", colour=colours.GREY))
            low = axis - 8.0
        self.items.append(FillPath(circle(2.4, at=(x, axis)), colours.LEAD if ink == colours.INK else ink))
        self.items.append(Text((x + 2.0, axis + 1.6), cell.part.key, SMALL, colour=ink))
        return low

    def _device(self, drop: DropCable, at: Point) -> float:
        """Draw one drop with its device; return how far down it reaches."""
        x, axis = at
        device = self.plan.assembly.devices.get(drop.node)
        volts = next((row for row in self.plan.voltages if row.node == drop.node), None)
        name = device.name if device is not None else drop.node
        lines = wrapped(name, PLAIN, _BOX_W - 2.0, bold=True)[:3]
        top = axis - _DROP_MM
        box = Box(x - _BOX_W / 2, top - len(lines) * PLAIN * PITCH - 2 * SMALL * PITCH - 2.0, x + _BOX_W / 2, top)
        subject = f"devices.{device.device}" if device is not None else ""
        ink = colours.ALARM if self.marks.wrong(subject) else colours.INK
        self.items.append(line((x, axis - 3.5), (x, top), DROP))
        length = "? m" if drop.length_mm is None else f"{drop.length_mm / 1000:.2f} m"
        self.items.append(Text((x + 1.0, top + 1.6), length, SMALL, colour=ink))
        self._box(box, ink)
        y = top - 1.2
        for content in lines:
            text = fitted_text(content, PLAIN, _BOX_W - 1.0, bold=True)
            self.items.append(Text((x, y - PLAIN), text, PLAIN, "centre", bold=True, colour=ink))
            y -= PLAIN * PITCH
        lens = "?" if device is None or device.load_units is None else str(device.load_units)
        own = ", own power" if device is not None and device.own else ""
        shown = "? V" if volts is None or volts.voltage_v is None else f"{volts.voltage_v:.2f} V"
        for content in (f"LEN {lens}{own}", shown):
            self.items.append(Text((x, y - SMALL), content, SMALL, "centre", colour=ink))
            y -= SMALL * PITCH
        self._numbers(self.marks.at(subject) if subject else [], (box.x1 - 0.5, box.y0))
        return box.y0

    def _box(self, box: Box, ink: str) -> None:
        self.items += [FillPath(box_path(box), colours.WHITE), rect(box, coloured(pens.OUTLINE, ink, width_mm=0.35))]

    def _numbers(self, numbers: list[int], at: Point) -> None:
        """Draw the numbers of findings in red circles, from right to left."""
        for place, number in enumerate(numbers):
            self._number(number, (at[0] - place * 4.8, at[1]))

    def _number(self, number: int, centre: Point) -> None:
        self.items.append(FillPath(circle(4.4, at=centre), colours.ALARM))
        self.items.append(Text(centre, str(number), SMALL, "centre", "middle", bold=True, colour=colours.WHITE))

    def list_findings(self, y: float, room: float) -> float:
        """Write the findings under each other; return where they end."""
        for number, finding in enumerate(self.marks.findings, start=1):
            self._number(number, (2.2, y - 2.2))
            words = f"{finding.weight.value} {finding.rule}: {finding.message}."
            words += f" {finding.remedy[0].upper()}{finding.remedy[1:]}." if finding.remedy else ""
            for content in wrapped(words, PLAIN, room - 8.0):
                self.items.append(Text((7.0, y - 2.2 - PLAIN / 2), content, PLAIN))
                y -= PLAIN * PITCH
            y -= 1.6
        return y
