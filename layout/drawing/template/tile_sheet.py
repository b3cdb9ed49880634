"""One printed tile: its window, seams, bars, map, name and side."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.elements import pens
from layout.drawing.elements.metrics import fitted_text, width_mm
from layout.drawing.elements.scene import Group, Item, Scene, Text, rect
from layout.drawing.template.print_marks import bars, line_key, page_map, seam_items, skew_grid, text_boxes
from layout.drawing.template.tile_window import window_items
from layout.geometry.path import Box

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.drawing.template.seam_places import SeamPlaces
    from layout.drawing.template.template_content import Content
    from layout.drawing.template.tile_grid import Grid, Tile

_MAP_MM = 34.0


def tile_scene(
    content: Content,
    grid: Grid,
    tile: Tile,
    *,
    places: Mapping[str, SeamPlaces],
    lines: tuple[str, ...],
    number: str,
) -> Scene:
    """Return one tile as a page in true mm.

    Parameters
    ----------
    places
        Where the crosses of each seam stand, by its letter.
    lines
        What the strip says of project, panel and printer, at most two lines.
    number
        Page of pages, such as ``3 of 18``.
    """
    page = grid.page
    room = page.window
    dx, dy = room.x0 - tile.window.x0, room.y0 - tile.window.y0
    seams = [
        seam_items(seam, tile, places[seam.letter], (dx, dy), page.overlap_mm)
        for seam in grid.seams
        if tile in {seam.under, seam.over}
    ]
    taken = text_boxes(tuple(seams))
    trims = [
        ((seam.start[0] + dx, seam.start[1] + dy), (seam.end[0] + dx, seam.end[1] + dy))
        for seam in grid.seams
        if tile in {seam.under, seam.over}
    ]
    letters, *shown = window_items(content, tile.window, (room.x0, room.y0), taken, avoid=trims)
    items: list[Item] = [
        skew_grid(tile.window, (dx, dy)),
        letters,
        *seams,
        *shown,
        rect(room, pens.HAIR),
        strip(grid, tile, lines=lines, number=number, rebate=bool(content.rebates)),
    ]
    return Scene(
        width_mm=page.paper.width_mm,
        height_mm=page.paper.height_mm,
        items=tuple(items),
        title=f"Tile {tile.name}, cut from {content.shapes.side}",
        section=content.shapes.name,
    )


def strip(grid: Grid, tile: Tile, *, lines: tuple[str, ...], number: str, rebate: bool = False) -> Group:
    """Return what stands below and left of the window; ``rebate`` adds its line to the key."""
    page = grid.page
    room, margin = page.window, page.margin_mm
    left, low = margin, margin
    high = room.y0 - 1.5
    right = room.x1
    items: list[Item] = [
        Text((left, high - 7.0), tile.name, 7.0, bold=True),
        Text((left, low + 1.0), number, 2.5),
    ]
    name_room = max(width_mm(tile.name, 7.0, bold=True), width_mm(number, 2.5)) + 4.0
    map_box = Box(right - _MAP_MM, low + 1.0, right, high)
    items.append(page_map(grid, tile, map_box))
    x = left + name_room
    items.append(bars((x, high - 8.0), upright=False))
    text_room = map_box.x0 - 3.0 - x
    for index, content_line in enumerate(lines[:2]):
        items.append(Text((x, low + 7.6 - 3.4 * index), fitted_text(content_line, 1.8, text_room), 1.8))
    items.append(line_key((x, low + 1.3), text_room, rebate=rebate))
    items.append(bars((left + 8.0, room.y0 + 4.0), upright=True))
    return Group(tuple(items), name="strip", layer="strip")
