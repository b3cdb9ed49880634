"""What lets printed sheets be checked and joined: bars, seams with register crosses, the map of sheets."""

from __future__ import annotations

from math import ceil, floor
from typing import TYPE_CHECKING

from layout.drawing.elements import colours, pens
from layout.drawing.elements.metrics import text_box, width_mm
from layout.drawing.elements.scene import Align, FillPath, Group, Item, Level, StrokePath, Text, box_path, line, rect
from layout.drawing.template.seam_places import CROSS_MM, LETTER_MM, WORDS_MM, seam_words
from layout.drawing.template.true_scale import BAR_IN_MM, BAR_MM
from layout.geometry.path import Box
from layout.geometry.shapes import circle

if TYPE_CHECKING:
    from layout.drawing.elements.pens import Pen
    from layout.drawing.template.seam_places import SeamPlaces
    from layout.drawing.template.tile_grid import Grid, Seam, Tile
    from layout.geometry.path import Point

MARK_GRID_MM = 50.0
GRID = pens.Pen(name="grid", width_mm=0.13, colour=colours.RULE)
GRID_DIAGONAL_MM = 70.7
"""Both diagonals of a square of the grid, where the printer does not skew."""
TICK_MM = 2.0
KEY_MM = 1.8


def bars(at: Point, *, upright: bool) -> Group:
    """Return a 100 mm and a 4 in bar side by side, starting at ``at``.

    Level bars lie above each other with their names behind them; upright ones stand beside each other.
    """
    items: list[Item] = []
    rows = (
        ("100 mm", BAR_MM, [10.0 * n for n in range(11)], 5),
        ("4 in", BAR_IN_MM, [25.4 * n / 2 for n in range(9)], 2),
    )
    for row, (name, length, ticks, long_each) in enumerate(rows):
        off = (1 - row) * 4.5

        def point(along: float, across: float, off: float = off) -> Point:
            return (at[0] - off + across, at[1] + along) if upright else (at[0] + along, at[1] + off + across)

        strokes: list[Item] = [line(point(0, 0), point(length, 0), pens.RULE_PEN)]
        for index, tick in enumerate(ticks):
            reach = TICK_MM if index % long_each == 0 else TICK_MM / 2
            strokes.append(line(point(tick, 0), point(tick, -reach if upright else reach), pens.RULE_PEN))
        items.append(Group(tuple(strokes), name=f"bar {name}{' up' if upright else ''}", layer="bar"))
        items.append(Text(point(length + 1.5, 0), name, 2.5, "left", "middle", 90.0 if upright else 0.0))
    return Group(tuple(items), name="bars", layer="bar")


_KEY = (("cut", pens.CUT), ("face", pens.FACE_PEN), ("body behind", pens.BODY_PEN), ("drill", pens.OUTLINE))
"""Lines of the key with what they are; the waste's hatching and the dashed red line follow."""


def line_key(at: Point, room_mm: float, *, rebate: bool = False) -> Group:
    """Return the key of lines in one row, its middle at ``at``; entries that find no room are left out from the end.

    ``rebate`` adds the line of rebates.
    """
    items: list[Item] = []
    x, y = at
    more: list[tuple[str, Pen]] = [("rebate", pens.REBATE)] if rebate else []
    entries = [_KEY[0], *more, *_KEY[1:], ("waste falls out", pens.HATCH), ("DO NOT CUT", pens.UNSURE)]
    for words, pen in entries:
        wide = 9.0 + width_mm(words, KEY_MM)
        if x + wide > at[0] + room_mm:
            break
        if pen is pens.HATCH:
            items += [line((x + step, y - 1.0), (x + step + 2.0, y + 1.0), pen) for step in (0.0, 1.5, 3.0, 4.5)]
        elif pen is pens.OUTLINE:
            items.append(StrokePath(circle(2.4, at=(x + 3.0, y)), pen))
        else:
            items.append(line((x, y), (x + 7.0, y), pen))
        items.append(Text((x + 8.0, y), words, KEY_MM, "left", "middle"))
        x += wide + 3.0
    return Group(tuple(items), name="key of lines", layer="key")


def skew_grid(window: Box, by: Point) -> Group:
    """Return the grid that shows a printer's skew: lines every 50 mm from the datum, across one tile's window.

    ``by`` brings panel coordinates to the page.
    """
    dx, dy = by
    items: list[Item] = []
    for n in range(ceil(window.x0 / MARK_GRID_MM), floor(window.x1 / MARK_GRID_MM) + 1):
        x = n * MARK_GRID_MM + dx
        items.append(line((x, window.y0 + dy), (x, window.y1 + dy), GRID))
    for n in range(ceil(window.y0 / MARK_GRID_MM), floor(window.y1 / MARK_GRID_MM) + 1):
        y = n * MARK_GRID_MM + dy
        items.append(line((window.x0 + dx, y), (window.x1 + dx, y), GRID))
    return Group(tuple(items), name="skew grid", layer="grid")


def seam_items(seam: Seam, tile: Tile, places: SeamPlaces, by: tuple[float, float], overlap_mm: float) -> Group:
    """Return a seam as one of its two sheets shows it: line, register crosses, letters, what to do.

    ``by`` brings panel coordinates to the page.
    """
    dx, dy = by
    over = tile == seam.over
    (xa, ya), (xb, yb) = seam.start, seam.end
    way = (0.0, 1.0) if seam.upright else (1.0, 0.0)
    # Letters stand on the sheet's own side of the line, beyond the cross's arm.
    own = 1.0 if over else -1.0
    items: list[Item] = [line((xa + dx, ya + dy), (xb + dx, yb + dy), pens.TRIM)]
    for place in places.crosses:
        x, y = place[0] + dx, place[1] + dy
        items += _cross((x, y), tile.window.moved(dx, dy))
        off = own * (CROSS_MM + 1.0)
        at = (x + off * way[1], y + off * way[0])
        align: Align = "centre" if not seam.upright else "left" if over else "right"
        level: Level = "middle" if seam.upright else "base" if over else "top"
        items.append(Text(at, seam.letter, LETTER_MM, align, level, bold=True))
    if places.words:
        x, y = places.words[0] + dx, places.words[1] + dy
        at = (x - own * overlap_mm / 4 * way[1], y - own * overlap_mm / 4 * way[0])
        words = seam_words(seam)[0 if over else 1]
        turn = 90.0 if seam.upright else 0.0
        items.append(Text(at, words, WORDS_MM, "centre", "middle", turn, colour=colours.GREY))
    return Group(tuple(items), name=f"seam {seam.letter}", layer="register")


def text_boxes(items: tuple[Item, ...]) -> list[Box]:
    """Return the boxes of texts and register crosses among ``items``."""
    found: list[Box] = []
    for item in items:
        if isinstance(item, Group):
            found += text_boxes(item.items)
        elif isinstance(item, Text):
            found.append(text_box(item))
        elif isinstance(item, StrokePath) and item.pen is pens.REGISTER:
            found.append(item.path.bounds())
    return found


def page_map(grid: Grid, current: Tile | None, box: Box, *, names: bool = False) -> Group:
    """Return the map of all sheets inside ``box``, the current one filled, blank ones crossed out."""
    page = grid.page.window
    wide, tall = page.width * grid.columns, page.height * grid.rows
    scale = min(box.width / wide, box.height / tall)
    cell_w, cell_h = page.width * scale, page.height * scale
    left = box.x0
    printed = {(tile.row, tile.column): tile for tile in grid.tiles}
    items: list[Item] = []
    for row in range(1, grid.rows + 1):
        for column in range(1, grid.columns + 1):
            x, y = left + (column - 1) * cell_w, box.y1 - row * cell_h
            cell = Box(x, y, x + cell_w, y + cell_h)
            tile = printed.get((row, column))
            if tile is None:
                items += [
                    line((cell.x0, cell.y0), (cell.x1, cell.y1), pens.HAIR),
                    line((cell.x0, cell.y1), (cell.x1, cell.y0), pens.HAIR),
                ]
            elif current is not None and tile == current:
                items.append(FillPath(box_path(cell), colours.LEAD))
            items.append(rect(cell, pens.RULE_PEN if tile else pens.HAIR))
            if names and tile is not None:
                items.append(Text(cell.centre, tile.name, min(3.5, cell_h / 3), "centre", "middle"))
    return Group(tuple(items), name="page map", layer="map")


def _cross(at: Point, window: Box) -> list[Item]:
    """Return a register cross with its ring, kept inside the window."""
    x, y = at
    arms: list[Item] = []
    for start, end in (((x - CROSS_MM, y), (x + CROSS_MM, y)), ((x, y - CROSS_MM), (x, y + CROSS_MM))):
        a = (min(max(start[0], window.x0), window.x1), min(max(start[1], window.y0), window.y1))
        b = (min(max(end[0], window.x0), window.x1), min(max(end[1], window.y0), window.y1))
        arms.append(line(a, b, pens.REGISTER))
    if window.x0 + 2 <= x <= window.x1 - 2 and window.y0 + 2 <= y <= window.y1 - 2:
        arms.append(StrokePath(circle(4, at=at), pens.REGISTER))
    return arms
