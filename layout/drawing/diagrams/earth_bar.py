"""A bar of the negative, earth and bonding drawing with every conductor on it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.elements import colours, pens
from layout.drawing.elements.metrics import fitted_text
from layout.drawing.elements.scene import FillPath, Item, Scene, Text, box_path, line
from layout.drawing.elements.swatch import swatch
from layout.geometry.path import Box
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

_WIDE_MM = 101.0
_ROW_MM = 4.6
_HEAD_MM = 8.0
_BAR_MM = 2.4
_TEXT_MM = 2.2


@dataclass(frozen=True, slots=True, kw_only=True)
class EarthConductor:
    """One stub of a bar: where on it, number, colour with its letters, size, and where its other end goes."""

    position: str
    number: str
    colour: str
    code: str
    size: str
    to: str


def earth_bar(name: str, what: str, conductors: Sequence[EarthConductor]) -> Scene:
    """Return a bar upright at the left, its conductors as stubs to the right, in their order from the top.

    Protective earth and bonding carry the earth symbol below their bar (IEC 60617, S00200, from memory).
    """
    tall = _HEAD_MM + len(conductors) * _ROW_MM + 7.0
    top, low = tall - _HEAD_MM, 7.0
    items: list[Item] = [
        Text((0.0, tall - 4.0), fitted_text(f"{name}: {what}", 2.5, _WIDE_MM, bold=True), 2.5, bold=True),
        FillPath(box_path(Box(6.0, low, 6.0 + _BAR_MM, top))),
    ]
    for at, one in enumerate(conductors):
        y = top - (at + 0.5) * _ROW_MM
        items += [
            Text((5.0, y), one.position, 1.8, "right", "middle", colour=colours.GREY),
            line((6.0 + _BAR_MM, y), (13.0, y), pens.RULE_PEN),
            *swatch(one.colour, Box(13.0, y - 0.9, 20.0, y + 0.9)),
            Text((22.0, y), one.number, _TEXT_MM, "left", "middle", bold=True),
            Text((38.0, y), one.code, _TEXT_MM, "left", "middle"),
            Text((46.5, y), one.size, _TEXT_MM, "left", "middle"),
            Text((59.0, y), fitted_text(one.to, _TEXT_MM, _WIDE_MM - 59.0), _TEXT_MM, "left", "middle"),
        ]
    if what in ("protective earth", "bonding"):
        x = 6.0 + _BAR_MM / 2
        items.append(line((x, low), (x, 4.6), pens.RULE_PEN))
        items += [line((x - half, y), (x + half, y), pens.RULE_PEN) for half, y in ((3.0, 4.6), (1.9, 3.4), (0.8, 2.2))]
    return Scene(width_mm=_WIDE_MM, height_mm=tall, items=tuple(items), title=name)


def facts_box(title: str, lines: Sequence[str]) -> Scene:
    """Return what is known besides the conductors, as lines under a heading; what is not known in the alarm's ink."""
    tall = _HEAD_MM + len(lines) * _ROW_MM + 3.0
    items: list[Item] = [Text((0.0, tall - 4.0), title, 2.5, bold=True)]
    for at, words in enumerate(lines):
        ink = colours.ALARM if "?" in words else colours.INK
        y = tall - _HEAD_MM - (at + 0.5) * _ROW_MM
        items.append(Text((0.0, y), fitted_text(words, _TEXT_MM, _WIDE_MM), _TEXT_MM, "left", "middle", colour=ink))
    return Scene(width_mm=_WIDE_MM, height_mm=tall, items=tuple(items), title=title)
