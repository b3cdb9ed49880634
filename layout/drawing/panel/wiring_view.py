"""The wiring view of a panel: rear (or board) with loom, entry and ties, and every terminal with its wire numbers."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import ceil, hypot
from typing import TYPE_CHECKING

from layout.drawing.elements import colours, pens
from layout.drawing.elements.metrics import fitted_text, text_box, width_mm, wrapped
from layout.drawing.elements.numerals import mm
from layout.drawing.elements.scene import (
    FillPath,
    Group,
    HatchPath,
    Item,
    Scene,
    StrokePath,
    Text,
    line,
    polyline_path,
    scene_leaves,
)
from layout.drawing.panel import panel_view
from layout.drawing.panel.terminal_marks import terminal_dots, terminal_names
from layout.drawing.paper.drawing_sheets import table
from layout.geometry.path import Box
from layout.geometry.shapes import circle
from layout.light_dataclass import dataclass
from layout.standards.conduit import support_spacing_mm

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from layout.drawing.panel.placed_panel import DeviceShapes, PanelShapes
    from layout.geometry.path import Point

_TEXT_MM = 2.2
_ROW_MM = 3.9
_COLUMN_MM = 66.0
LEADER_MM = 9.0
"""Room between a column of landings and the view."""
_HEAD_MM = 8.0
_FOOT_MM = 16.0
LOOM_MM = 1.4
LOOP_MM = 7.0
INDENT_MM = 12.0
CENTRAL_MM = 60.0
"""A device nearer than this to the panel's middle has its landings on the side that has more room."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Landing:
    """One terminal with the wires that end on it, in the order of their numbers."""

    terminal: str
    wires: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Landings:
    """What ends on one device; ``ac`` says that some of it is AC."""

    rows: tuple[Landing, ...]
    ac: bool = False


_Row = tuple[tuple[str, str], ...]
"""One or two terminals beside each other, each with one line of wire numbers."""


@dataclass(frozen=True, slots=True)
class _Block:
    """The printed rows of one device, its heading left out."""

    device: DeviceShapes
    rows: tuple[_Row, ...]
    ac: bool

    @property
    def height_mm(self) -> float:
        return (len(self.rows) + 1) * _ROW_MM + 2.0


def wiring_view(
    shapes: PanelShapes,
    landings: Mapping[str, Landings],
    *,
    room_mm: tuple[float, float],
    entry: str = "",
    hinge_loop_mm: float = 0.0,
) -> tuple[Scene, ...]:
    """Return the view between two columns of landings, and what found no room there on further pictures.

    Parameters
    ----------
    shapes
        The panel from the side it is wired from; devices without a landing are drawn too.
    landings
        By device id.
    room_mm
        Width and height that a picture may take.
    entry
        Name of the place that the cables come from; empty where it is not known.
    hinge_loop_mm
        Free length of the loom's loop at the hinge.
    """
    wide, tall = room_mm
    landed = [(device, landings[device.device.id]) for device in shapes.devices if device.device.id in landings]
    column = Box(0.0, _FOOT_MM, _COLUMN_MM, tall - _HEAD_MM)
    view_room, place = _view_room(room_mm), _placed(shapes, room_mm)
    for paired in (False, True):
        blocks = [_block(device, here, paired=paired) for device, here in landed]
        sides, over = _sides(blocks, shapes.box.centre[0], column.height)
        if not over:
            break
    items: list[Item] = [
        panel_view.background(shapes, place),
        *_loom(shapes, place),
        *_devices(shapes, landings, place),
        panel_view.outline(shapes, place),
        *_entry(shapes, place, entry, hinge_loop_mm),
    ]
    for side, left in ((sides[0], 0.0), (sides[1], wide - _COLUMN_MM)):
        for block, y in _beside(side, column, place):
            items += _leader(block, place, left or _COLUMN_MM, y - _ROW_MM / 2)
            items += _block_items(block, left, y)
    texts = [text_box(item) for item in scene_leaves(items) if isinstance(item, Text)]
    names = [Text(place.point(device.at), str(device.number), 3.0, "centre", "middle", bold=True, halo=True)
             for device in shapes.devices]  # fmt: skip
    items += [*names, *terminal_names(shapes, place, view_room, [*texts, *map(text_box, names)])]
    seen = "rear" if shapes.side == "rear" else "front"
    heading = f"Seen from the {seen}. Wires by number on each terminal; numbers as on the labels"
    items.append(Text((_COLUMN_MM + LEADER_MM, tall - 4.0), heading, 3.0, bold=True))
    items += _key(shapes, Box(_COLUMN_MM + LEADER_MM, 0.0, wide - _COLUMN_MM - LEADER_MM, _FOOT_MM), landings)
    first = Scene(width_mm=wide, height_mm=tall, items=tuple(items), title=shapes.name)
    return (first, *_more(over, shapes.name, wide, tall))


def divisor_of(shapes: PanelShapes, room_mm: tuple[float, float]) -> float:
    """Return by how much the view is drawn smaller: the least of the scales that leaves room for the hinge's loop."""
    room, spare = _view_room(room_mm), 3 * LOOP_MM
    divisors = [float(one) for one in table()["scales"]["reduce"]]
    fits = (d for d in divisors if shapes.box.width / d + spare <= room.width and shapes.box.height / d <= room.height)
    return next(fits, divisors[-1])


def _view_room(room_mm: tuple[float, float]) -> Box:
    return Box(_COLUMN_MM + LEADER_MM, _FOOT_MM, room_mm[0] - _COLUMN_MM - LEADER_MM, room_mm[1] - _HEAD_MM)


def _placed(shapes: PanelShapes, room_mm: tuple[float, float]) -> panel_view.View:
    """Return the view in the middle of its room."""
    scale, centre = 1 / divisor_of(shapes, room_mm), _view_room(room_mm).centre
    x, y = shapes.box.centre
    return panel_view.View(scale=scale, at=(centre[0] - x * scale, centre[1] - y * scale))


def _block(device: DeviceShapes, here: Landings, *, paired: bool) -> _Block:
    """Return a device's rows; ``paired`` sets two terminals of few wires beside each other."""
    rows: list[_Row] = []
    for landing in here.rows:
        words = "  ".join(landing.wires)
        cell = (landing.terminal, words)
        if paired and _is_short(cell):
            if rows and len(rows[-1]) == 1 and _is_short(rows[-1][0]):
                rows[-1] = (rows[-1][0], cell)
            else:
                rows.append((cell,))
            continue
        lines = wrapped(words, _TEXT_MM, _COLUMN_MM - _indent_mm(landing.terminal) - 1.0)
        rows += [((landing.terminal if at == 0 else "", line_),) for at, line_ in enumerate(lines)]
    return _Block(device, tuple(rows), here.ac)


def _indent_mm(terminal: str) -> float:
    """Return where the wires begin beside a terminal's name: below each other unless the name is long."""
    return max(INDENT_MM, width_mm(terminal, _TEXT_MM) + 2.0)


def _is_short(cell: tuple[str, str]) -> bool:
    """Tell whether a terminal, named in full, fits into half a column with its wires."""
    terminal, words = cell
    room = _COLUMN_MM / 2 - INDENT_MM - 2.0
    return bool(terminal) and width_mm(words, _TEXT_MM) <= room and width_mm(terminal, _TEXT_MM) <= INDENT_MM - 1.0


def _sides(blocks: Sequence[_Block], middle: float, room_mm: float) -> tuple[list[list[_Block]], list[_Block]]:
    """Return the blocks of the left and the right column from the top, and those that found room in neither."""
    sides: list[list[_Block]] = [[], []]
    over: list[_Block] = []
    used = [0.0, 0.0]
    for block in sorted(blocks, key=lambda one: (-abs(one.device.at[0] - middle), one.device.number)):
        off = block.device.at[0] - middle
        near = (0 if used[0] <= used[1] else 1) if abs(off) < CENTRAL_MM else 0 if off < 0 else 1
        side = next((s for s in (near, 1 - near) if used[s] + block.height_mm <= room_mm), None)
        if side is None:
            over.append(block)
            continue
        sides[side].append(block)
        used[side] += block.height_mm
    for column in sides:
        column.sort(key=lambda one: (-one.device.at[1], one.device.number))
    return sides, sorted(over, key=lambda one: one.device.number)


def _beside(blocks: Sequence[_Block], column: Box, place: panel_view.View) -> list[tuple[_Block, float]]:
    """Return the upper edge of each block of a column, as near as may be to the height of its device."""
    found: list[tuple[_Block, float]] = []
    top, rest = column.y1, sum(block.height_mm for block in blocks)
    for block in blocks:
        wished = place.point(block.device.at)[1] + block.height_mm / 2
        top = min(top, max(wished, column.y0 + rest))
        found.append((block, top))
        top -= block.height_mm
        rest -= block.height_mm
    return found


def _block_items(block: _Block, left: float, top: float) -> list[Item]:
    head = fitted_text(f"{block.device.number}: {block.device.name}{', AC' if block.ac else ''}", _TEXT_MM, _COLUMN_MM,
                  bold=True)  # fmt: skip
    ink = colours.ALARM if block.ac else colours.INK
    items: list[Item] = [
        Text((left, top - _ROW_MM / 2), head, _TEXT_MM, "left", "middle", bold=True, colour=ink),
        line((left, top - _ROW_MM), (left + _COLUMN_MM, top - _ROW_MM), pens.HAIR),
    ]
    y = top - 1.5 * _ROW_MM
    for row in block.rows:
        for x, (terminal, wires) in zip((left, left + _COLUMN_MM / 2), row, strict=False):
            if terminal:
                items.append(Text((x, y), terminal, _TEXT_MM, "left", "middle", colour=colours.LEAD))
            items.append(Text((x + _indent_mm(terminal), y), wires, _TEXT_MM, "left", "middle"))
        y -= _ROW_MM
    return items


def _leader(block: _Block, place: panel_view.View, x: float, y: float) -> list[Item]:
    """Return the line from a block's heading to the near edge of its device."""
    paths = [path for path, _ in block.device.bodies] or [block.device.face]
    box = place.box(paths[0].bounds())
    end = (box.x0 if x < box.x0 else box.x1, min(max(y, box.y0 + 1.0), box.y1 - 1.0))
    pen = pens.WARNING if block.ac else pens.DIMENSION
    return [line((x, y), end, pen), FillPath(circle(1.0, at=end), pen.colour)]


def _devices(shapes: PanelShapes, landings: Mapping[str, Landings], place: panel_view.View) -> list[Item]:
    items: list[Item] = []
    for device in shapes.devices:
        here = landings.get(device.device.id)
        items.append(StrokePath(place.path(device.face), pens.BODY_PEN))
        for path, _ in device.bodies or ((device.face, None),):
            body = place.path(path)
            items.append(FillPath(body, colours.TINT))
            if here is not None and here.ac:
                items.append(HatchPath(body, pens.coloured(pens.HATCH, colours.ALARM_PALE), spacing_mm=2.0))
            items.append(StrokePath(body, pens.OUTLINE))
    return [Group(tuple(items), name="devices", layer="rear"), *terminal_dots(shapes, place)]


def _loom(shapes: PanelShapes, place: panel_view.View) -> list[Item]:
    """Return the loom's lines with a tie at each end and at equal steps between."""
    most = support_spacing_mm(sheathed_or_battery=True)
    items: list[Item] = []
    ties: dict[tuple[float, float], Item] = {}
    for points in shapes.panel.loom:
        drawn = [place.point(_seen(shapes, point)) for point in points]
        items.append(StrokePath(polyline_path(drawn), pens.coloured(pens.RULE_PEN, colours.RULE, width_mm=LOOM_MM)))
        for (start, end), (a, b) in zip(pairwise(points), pairwise(drawn), strict=True):
            count = max(1, ceil(hypot(end[0] - start[0], end[1] - start[1]) / most))
            for at in range(count + 1):
                x, y = (a[k] + (b[k] - a[k]) * at / count for k in (0, 1))
                ties[round(x, 1), round(y, 1)] = _tie((x, y), a, b)
    return [Group((*items, *ties.values()), name="loom", layer="loom")]


def _tie(at: Point, start: Point, end: Point) -> Item:
    long = hypot(end[0] - start[0], end[1] - start[1]) or 1.0
    ux, uy = (end[0] - start[0]) / long, (end[1] - start[1]) / long
    return line((at[0] - 1.6 * uy, at[1] + 1.6 * ux), (at[0] + 1.6 * uy, at[1] - 1.6 * ux), pens.RULE_PEN)


def _seen(shapes: PanelShapes, point: Point) -> Point:
    """Return a point of the panel as it lies seen from this side."""
    box = shapes.box
    return point if shapes.side == "front" else (box.x0 + box.x1 - point[0], point[1])


def _entry(shapes: PanelShapes, place: panel_view.View, name: str, loop_mm: float) -> list[Item]:
    panel, edge = shapes.panel, place.box(shapes.box)
    if panel.cable_exit is None:
        return []
    x, y = place.point(_seen(shapes, panel.cable_exit.at))
    items: list[Item] = [StrokePath(circle(3.4, at=(x, y)), pens.EDGE)]
    words = f"entry, from {name}" if name else "entry"
    if panel.hinge is None:
        return [*items, Text((x + 3.0, y + 2.6), words, _TEXT_MM, halo=True)]
    side = panel.hinge.side
    if shapes.side == "rear" and side in ("left", "right"):
        side = "right" if side == "left" else "left"
    if side in ("left", "right"):
        out, step = (edge.x0, -1.0) if side == "left" else (edge.x1, 1.0)
        bend, far = (out + step * LOOP_MM, y), (out + step * 1.5, y)
        pin = line((out + step * 0.9, edge.y0), (out + step * 0.9, edge.y1), pens.CENTRE)
    else:
        out, step = (edge.y0, -1.0) if side == "bottom" else (edge.y1, 1.0)
        bend, far = (x, out + step * LOOP_MM), (x, out + step * 1.5)
        pin = line((edge.x0, out + step * 0.9), (edge.x1, out + step * 0.9), pens.CENTRE)
    pen = pens.coloured(pens.RULE_PEN, colours.RULE, width_mm=LOOM_MM)
    loop = circle(LOOP_MM, at=((bend[0] + far[0]) / 2, (bend[1] + far[1]) / 2))
    items = [pin, StrokePath(polyline_path([(x, y), far]), pen), StrokePath(loop, pen), *items]
    note = f"{words}; free loop of {mm(loop_mm)} mm at the hinge"
    items.append(Text(((edge.x0 + edge.x1) / 2, edge.y0 - 4.5), note, _TEXT_MM, "centre", halo=True))
    return items


def _key(shapes: PanelShapes, room: Box, landings: Mapping[str, Landings]) -> list[Item]:
    most = support_spacing_mm(sheathed_or_battery=True)
    words = [
        f"Wide grey line: loom; strokes across it: ties, at most {mm(most)} mm apart (ISO 10133:2012 7.3, 7.4)."
        " Dots: terminals. Plugs of bus and antennas: see the network's drawing."
        if shapes.panel.loom
        else f"No loom is stated here. Ties at most {mm(most)} mm apart (ISO 10133:2012 7.3, 7.4). Dots: terminals."
    ]
    if shapes.panel.hinge is not None:
        words.append("Tie the loom on both sides of the hinge; the loop stays free over the whole swing.")
    if any(one.ac for one in landings.values()):
        words.append(
            "Hatched: AC. Its wires lie in a loom of their own, apart from DC, behind a cover that only a tool opens."
        )
    lines = [part for one in words for part in wrapped(one, _TEXT_MM, room.width)]
    return [
        Text((room.x0, room.y0 + (len(lines) - 1 - at) * _ROW_MM + 0.8), content, _TEXT_MM, colour=colours.BODY)
        for at, content in enumerate(lines)
    ]


def _more(blocks: Sequence[_Block], name: str, wide: float, tall: float) -> list[Scene]:
    """Return further pictures of landings in columns; a block longer than a column goes on in the next."""
    pages: list[list[Item]] = []
    top, step = tall - _HEAD_MM, _COLUMN_MM + LEADER_MM
    x, y = wide, 0.0
    rest = list(blocks)
    while rest:
        block = rest.pop(0)
        if y - min(block.height_mm, 4 * _ROW_MM) < 0:
            x, y = x + step, top
            if x + _COLUMN_MM > wide:
                pages.append([Text((0.0, tall - 4.0), f"{name}: more terminals", 3.0, bold=True)])
                x = 0.0
        room = int((y - 2.0) / _ROW_MM + 1e-9) - 1
        here, after = block.rows[:room], block.rows[room:]
        pages[-1] += _block_items(replace(block, rows=here), x, y)
        y -= (len(here) + 1) * _ROW_MM + 2.0
        if after:
            rest.insert(0, replace(block, rows=after))
    return [Scene(width_mm=wide, height_mm=tall, items=tuple(items), title=name) for items in pages]
