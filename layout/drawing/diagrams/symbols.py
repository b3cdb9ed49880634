"""Circuit symbols after IEC 60617, drawn by ourselves as scene groups.

Every symbol lies along a conductor that runs from (0, 0) to (``width_mm``, 0); a source has its lead on the right, an
ending (earth, motor, lamp) on the left. Shapes follow IEC 60617 from memory; sizes are ours, on a 1 mm grid.
"""

from __future__ import annotations

from math import cos, radians, sin
from typing import TYPE_CHECKING

from layout.drawing.elements import colours
from layout.drawing.elements.pens import Pen
from layout.drawing.elements.scene import FillPath, Group, Item, StrokePath, Text, box_path, line, polyline_path
from layout.geometry.path import Arc, Box, Path, Point
from layout.geometry.shapes import circle, slot
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable

SYMBOL_PEN = Pen(name="symbol", width_mm=0.35)
THICK = Pen(name="bus_bar", width_mm=1.4)
LINK = Pen(name="link", width_mm=0.18, dash_mm=(1.2, 0.8))
_BLADE_DEG = 25.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Symbol:
    """One circuit symbol.

    Attributes
    ----------
    name
        What it stands for, in plain words.
    width_mm
        Length along its conductor, leads included.
    up_mm, down_mm
        How far it reaches above and below the conductor.
    left, right
        Whether a conductor joins on that side.
    """

    name: str
    items: tuple[Item, ...]
    width_mm: float
    up_mm: float
    down_mm: float
    left: bool = True
    right: bool = True

    def at(self, x_mm: float, y_mm: float) -> Group:
        """Return the symbol with its left end at a point."""
        return Group(self.items, name=self.name, dx_mm=x_mm, dy_mm=y_mm)


def symbol(name: str) -> Symbol:
    """Return a symbol by its name, one of :data:`NAMES`.

    Raises
    ------
    KeyError
        There is no symbol of that name.
    """
    return _MAKERS[name]()


def bus_bar(length_mm: float) -> tuple[Item, ...]:
    """Return an upright bus bar whose upper end is at the origin."""
    return (line((0, 0), (0, -length_mm), THICK),)


def _ring(at: Point, diameter_mm: float) -> StrokePath:
    return StrokePath(circle(diameter_mm, at=at), SYMBOL_PEN)


def _letter(at: Point, text: str, height_mm: float = 2.5) -> Text:
    return Text(at, text, height_mm, "centre", "middle")


def _box(x0: float, y0: float, x1: float, y1: float) -> StrokePath:
    return StrokePath(box_path(Box(x0, y0, x1, y1)), SYMBOL_PEN)


def _blade(start_x: float, length_mm: float = 4.6) -> StrokePath:
    tip = (start_x - length_mm * cos(radians(_BLADE_DEG)), length_mm * sin(radians(_BLADE_DEG)))
    return line((start_x, 0), tip, SYMBOL_PEN)


def _cross(x: float, reach_mm: float = 0.9) -> tuple[Item, ...]:
    r = reach_mm
    return (line((x - r, -r), (x + r, r), SYMBOL_PEN), line((x - r, r), (x + r, -r), SYMBOL_PEN))


def _contact(width_mm: float = 10.0) -> tuple[Item, ...]:
    """Return a make contact: fixed contact left at x = 3, blade hinged on the right at x = 7."""
    return (line((0, 0), (3, 0), SYMBOL_PEN), line((7, 0), (width_mm, 0), SYMBOL_PEN), _blade(7))


def _wave(at: Point, wide_mm: float = 3.0) -> StrokePath:
    """Return the sign of alternating current."""
    x, y = at
    half = wide_mm / 2
    up = Arc((x - half, y), (x, y), (x - half / 2, y), ccw=False)
    down = Arc((x, y), (x + half, y), (x + half / 2, y), ccw=True)
    return StrokePath(Path((up, down), closed=False), SYMBOL_PEN)


def _direct(at: Point, wide_mm: float = 3.0) -> tuple[Item, ...]:
    """Return the sign of direct current: a line over a broken line."""
    x, y = at
    half, dash = wide_mm / 2, wide_mm / 5
    below = [
        line((x - half + 2 * n * dash, y - 0.5), (x - half + (2 * n + 1) * dash, y - 0.5), SYMBOL_PEN) for n in range(3)
    ]
    return (line((x - half, y + 0.5), (x + half, y + 0.5), SYMBOL_PEN), *below)


def _current(kind: str, at: Point) -> tuple[Item, ...]:
    return (_wave(at),) if kind == "ac" else _direct(at)


def _battery() -> Symbol:
    plates = [line((x, -long), (x, long), SYMBOL_PEN) for x, long in ((2, 1.8), (4, 3.8), (6, 1.8), (8, 3.8))]
    sign = (line((10, 2.6), (11.6, 2.6), SYMBOL_PEN), line((10.8, 1.8), (10.8, 3.4), SYMBOL_PEN))
    return Symbol(
        name="battery",
        items=(*plates, line((4, 0), (6, 0), LINK), line((8, 0), (12, 0), SYMBOL_PEN), *sign),
        width_mm=12,
        up_mm=3.8,
        down_mm=3.8,
        left=False,
    )


def _generator(sign: tuple[Item, ...], name: str) -> Symbol:
    items = (_ring((4.5, 0), 9), _letter((4.5, 1.1), "G"), *sign, line((9, 0), (12, 0), SYMBOL_PEN))
    return Symbol(name=name, items=items, width_mm=12, up_mm=4.5, down_mm=4.5, left=False)


def _generator_ac() -> Symbol:
    return _generator((_wave((4.5, -2.2)),), "generator")


def _generator_dc() -> Symbol:
    return _generator(_direct((4.5, -2.2)), "DC generator")


def _solar() -> Symbol:
    rays: list[Item] = []
    for x in (0.4, 2.6):
        tip = (x + 1.6, 4.4)
        rays.append(line((x, 7.2), tip, SYMBOL_PEN))
        rays.append(FillPath(polyline_path([tip, (tip[0] - 1.1, 5.4), (tip[0] - 0.2, 5.8)], closed=True)))
    cell: list[Item] = [line((3.6, -3), (3.6, 0.2), SYMBOL_PEN), line((5.4, -2.3), (5.4, -0.5), SYMBOL_PEN)]
    leads: list[Item] = [line((1.6, -1.4), (3.6, -1.4), SYMBOL_PEN), line((5.4, -1.4), (7.4, -1.4), SYMBOL_PEN)]
    items = (_box(0, -4, 9, 4), _letter((4.5, 2.1), "G"), *cell, *leads, *rays, line((9, 0), (12, 0), SYMBOL_PEN))
    return Symbol(name="solar module", items=items, width_mm=12, up_mm=7.2, down_mm=4, left=False)


def _converter(before: str, after: str, name: str) -> Symbol:
    items = (
        line((0, 0), (2, 0), SYMBOL_PEN),
        _box(2, -4.5, 11, 4.5),
        line((2, -4.5), (11, 4.5), SYMBOL_PEN),
        *_current(before, (4.3, 2.6)),
        *_current(after, (8.7, -2.6)),
        line((11, 0), (13, 0), SYMBOL_PEN),
    )
    return Symbol(name=name, items=items, width_mm=13, up_mm=4.5, down_mm=4.5)


def _converter_dc() -> Symbol:
    return _converter("dc", "dc", "converter")


def _charger() -> Symbol:
    return _converter("ac", "dc", "rectifier")


def _inverter() -> Symbol:
    return _converter("dc", "ac", "inverter")


def _transformer() -> Symbol:
    items = (line((0, 0), (2, 0), SYMBOL_PEN), _ring((5, 0), 6), _ring((9, 0), 6), line((12, 0), (14, 0), SYMBOL_PEN))
    return Symbol(name="transformer", items=items, width_mm=14, up_mm=3, down_mm=3)


def _switch() -> Symbol:
    return Symbol(name="switch", items=_contact(), width_mm=10, up_mm=2.2, down_mm=0.5)


def _isolator() -> Symbol:
    """Return a switch-disconnector: a contact with a bar and a small ring at its fixed side."""
    items = (*_contact(), line((3, -1.4), (3, 1.4), SYMBOL_PEN), _ring((3.6, 0), 1.2))
    return Symbol(name="isolator", items=items, width_mm=10, up_mm=2.2, down_mm=1.4)


def _changeover() -> Symbol:
    """Return a change-over contact; its two fixed contacts stand at y = 4 and y = -4."""
    items = (
        line((0, 4), (3, 4), SYMBOL_PEN),
        line((0, -4), (3, -4), SYMBOL_PEN),
        line((3, 4), (3, 2.6), SYMBOL_PEN),
        line((3, -4), (3, -2.6), SYMBOL_PEN),
        line((8, 0), (3.2, 2.6), SYMBOL_PEN),
        line((8, 0), (11, 0), SYMBOL_PEN),
        FillPath(circle(1.0, at=(8, 0))),
    )
    return Symbol(name="change-over switch", items=items, width_mm=11, up_mm=4, down_mm=4)


def _fuse() -> Symbol:
    items = (line((0, 0), (10, 0), SYMBOL_PEN), _box(2, -1.2, 8, 1.2))
    return Symbol(name="fuse", items=items, width_mm=10, up_mm=1.2, down_mm=1.2)


def _breaker() -> Symbol:
    items = (*_contact(), *_cross(3))
    return Symbol(name="breaker", items=items, width_mm=10, up_mm=2.2, down_mm=0.9)


def _residual_breaker() -> Symbol:
    items = (
        *_contact(),
        *_cross(3),
        line((10, 0), (15, 0), SYMBOL_PEN),
        StrokePath(slot(3.6, 1.4, at=(12, 0), turn_deg=90), SYMBOL_PEN),
        line((12, 1.8), (12, 3.2), LINK),
        line((12, 3.2), (5.2, 3.2), LINK),
        line((5.2, 3.2), (5.2, 0.9), LINK),
    )
    return Symbol(name="residual-current breaker", items=items, width_mm=15, up_mm=3.2, down_mm=1.8)


def _earth(name: str, *, ringed: bool = False) -> Symbol:
    bars = [line((x, -h), (x, h), SYMBOL_PEN) for x, h in ((3, 2.4), (4, 1.5), (5, 0.7))]
    items: tuple[Item, ...] = (line((0, 0), (3, 0), SYMBOL_PEN), *bars)
    if ringed:
        items = (*items, _ring((3.4, 0), 6.4))
    reach = 3.2 if ringed else 2.4
    return Symbol(name=name, items=items, width_mm=6.6 if ringed else 5, up_mm=reach, down_mm=reach, right=False)


def _plain_earth() -> Symbol:
    return _earth("earth")


def _protective_earth() -> Symbol:
    return _earth("protective earth", ringed=True)


def _motor() -> Symbol:
    items = (line((0, 0), (1, 0), SYMBOL_PEN), _ring((3.25, 0), 4.5), _letter((3.25, 0), "M", 1.8))
    return Symbol(name="motor", items=items, width_mm=5.5, up_mm=2.25, down_mm=2.25, right=False)


def _lamp() -> Symbol:
    reach = 2.25 * cos(radians(45))
    cross = (
        line((3.25 - reach, -reach), (3.25 + reach, reach), SYMBOL_PEN),
        line((3.25 - reach, reach), (3.25 + reach, -reach), SYMBOL_PEN),
    )
    items = (line((0, 0), (1, 0), SYMBOL_PEN), _ring((3.25, 0), 4.5), *cross)
    return Symbol(name="lamp", items=items, width_mm=5.5, up_mm=2.25, down_mm=2.25, right=False)


def _load() -> Symbol:
    items = (line((0, 0), (1, 0), SYMBOL_PEN), _box(1, -1.6, 5.5, 1.6))
    return Symbol(name="load", items=items, width_mm=5.5, up_mm=1.6, down_mm=1.6, right=False)


def _connector() -> Symbol:
    """Return a plug in its socket: a filled pin inside a half round."""
    cup = Arc((4.4, 2), (4.4, -2), (4.4, 0), ccw=True)
    items = (
        line((0, 0), (2.4, 0), SYMBOL_PEN),
        StrokePath(Path((cup,), closed=False), SYMBOL_PEN),
        FillPath(box_path(Box(3.4, -0.6, 6.4, 0.6)), colours.INK),
        line((6.4, 0), (9, 0), SYMBOL_PEN),
    )
    return Symbol(name="connector", items=items, width_mm=9, up_mm=2, down_mm=2)


def _socket_outlet() -> Symbol:
    cup = Arc((5, 2.25), (5, -2.25), (5, 0), ccw=True)
    items = (line((0, 0), (2.75, 0), SYMBOL_PEN), StrokePath(Path((cup,), closed=False), SYMBOL_PEN))
    return Symbol(name="socket outlet", items=items, width_mm=5.5, up_mm=2.25, down_mm=2.25, right=False)


_MAKERS: dict[str, Callable[[], Symbol]] = {
    "battery": _battery,
    "breaker": _breaker,
    "change-over switch": _changeover,
    "connector": _connector,
    "converter": _converter_dc,
    "DC generator": _generator_dc,
    "earth": _plain_earth,
    "fuse": _fuse,
    "generator": _generator_ac,
    "inverter": _inverter,
    "isolator": _isolator,
    "lamp": _lamp,
    "load": _load,
    "motor": _motor,
    "protective earth": _protective_earth,
    "rectifier": _charger,
    "residual-current breaker": _residual_breaker,
    "socket outlet": _socket_outlet,
    "solar module": _solar,
    "switch": _switch,
    "transformer": _transformer,
}

SYMBOL_NAMES = tuple(_MAKERS)
"""Every symbol there is."""
