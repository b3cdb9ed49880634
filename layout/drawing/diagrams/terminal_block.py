"""A terminal block or bus bar with its positions, and every wire on it with number, colour, size and destination."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.elements import colours, pens
from layout.drawing.elements.metrics import fitted_text, width_mm
from layout.drawing.elements.pens import coloured
from layout.drawing.elements.scene import FillPath, Item, Scene, Text, box_path, line, rect
from layout.drawing.elements.swatch import swatch
from layout.geometry.path import Box
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

WIRE_PITCH_MM = 5.0
"""Distance of two wires on one position."""
LEAST_POSITION_MM = 8.0
LONGEST_TEXT_MM = 95.0
_TEXT = 2.0
_BODY_MM = 13.0
_WIRE_MM = 11.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockWire:
    """One wire on a position: number, IEC 60757 letters, size and where its other end goes."""

    number: str
    code: str
    colour: str
    size: str
    to: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Position:
    """One stud or clamp; ``mark`` is what is printed on the block."""

    mark: str
    stud: str = ""
    wires: tuple[BlockWire, ...] = ()


def terminal_block(name: str, positions: Sequence[Position], *, room_mm: float = 260.0) -> tuple[Scene, ...]:
    """Return the block, broken into pieces that are no wider than ``room_mm``.

    Raises
    ------
    ValueError
        There is no position.
    """
    if not positions:
        raise ValueError(f"the block '{name}' has no position")
    pieces: list[list[Position]] = [[]]
    used = 0.0
    for position in positions:
        wide = _wide(position)
        if pieces[-1] and used + wide > room_mm - 4:
            pieces.append([])
            used = 0.0
        pieces[-1].append(position)
        used += wide
    count = len(pieces)
    return tuple(
        _piece(name if count == 1 else f"{name}, part {number} of {count}", piece)
        for number, piece in enumerate(pieces, start=1)
    )


def _wide(position: Position) -> float:
    stud = width_mm(position.stud, 1.8) + 2 if position.stud else 0.0
    return max(LEAST_POSITION_MM, len(position.wires) * WIRE_PITCH_MM + 2, stud)


def _words(wire: BlockWire) -> str:
    head = "  ".join(filter(None, (wire.number, wire.code, wire.size)))
    return fitted_text(f"{head}  →  {wire.to}", _TEXT, LONGEST_TEXT_MM)


def _piece(name: str, positions: Sequence[Position]) -> Scene:
    longest = max([10.0, *(width_mm(_words(wire), _TEXT) for p in positions for wire in p.wires)])
    wide = max(sum(_wide(position) for position in positions) + 4, width_mm(name, 2.5, bold=True) + 4)
    tall = 2 + _BODY_MM + _WIRE_MM + longest + 7
    items: list[Item] = [Text((2, tall - 4.5), name, 2.5, bold=True)]
    floor = 2.0
    x = 2.0
    for position in positions:
        across = _wide(position)
        items += _body(Box(x, floor, x + across, floor + _BODY_MM), position)
        middle = x + across / 2
        for rank, wire in enumerate(position.wires):
            at = middle + (rank - (len(position.wires) - 1) / 2) * WIRE_PITCH_MM
            items += _wire(wire, middle, at, floor + _BODY_MM)
        x += across
    return Scene(width_mm=wide, height_mm=tall, items=tuple(items), title=name)


def _body(box: Box, position: Position) -> list[Item]:
    x = box.centre[0]
    items: list[Item] = [FillPath(box_path(box), colours.TINT), rect(box, pens.RULE_PEN)]
    items.append(Text((x, box.y1 - 5.5), position.mark, 3.0, "centre", bold=True))
    if position.stud:
        items.append(Text((x, box.y0 + 2.0), position.stud, 1.8, "centre", colour=colours.GREY))
    if not position.wires:
        items.append(Text((x, box.y1 + 2.0), "free", 1.8, "left", "middle", turn_deg=90, colour=colours.GREY))
    return items


def _wire(wire: BlockWire, foot_x: float, x: float, y: float) -> list[Item]:
    """Return a wire from the position's middle up to its text: an elbow, then a strip in its colour."""
    bend = y + 3.0
    pen = coloured(pens.RULE_PEN, colours.INK)
    items: list[Item] = [line((foot_x, y), (foot_x, bend), pen)]
    if x != foot_x:
        items.append(line((foot_x, bend), (x, bend), pen))
    items.append(line((x, bend), (x, y + 4.0), pen))
    items += swatch(wire.colour, Box(x - 0.9, y + 4.0, x + 0.9, y + _WIRE_MM - 1.5))
    items.append(Text((x, y + _WIRE_MM), _words(wire), _TEXT, "left", "middle", turn_deg=90))
    return items
