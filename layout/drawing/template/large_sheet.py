"""The template on one large sheet, for a plotter or a print shop."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING

from layout.drawing.elements import colours
from layout.drawing.elements.scene import Group, Item, Scene, Text
from layout.drawing.panel.holes import holes
from layout.drawing.panel.panel_dimensions import dimensions
from layout.drawing.panel.panel_view import View
from layout.drawing.paper.drawing_sheets import (
    CAUTIONS,
    Sheet,
    SheetTitle,
    cautions_items,
    drawing_sheets,
    drawing_space,
    framed,
    title_block_box,
)
from layout.drawing.template.print_marks import bars, text_boxes
from layout.drawing.template.tile_window import window_items
from layout.geometry.path import Box

if TYPE_CHECKING:
    from layout.drawing.template.template_content import Content
    from layout.project.model.project import Project

_GAP_MM = 8.0
BAR_ROOM_MM = 14.0
_BAND_MM = 26.0
"""Room round the panel for its dimensions, beyond that for the crosses at its corners."""


def large_sheet(project: Project, shown: Content, *, series: str = "iso") -> Scene:
    """Return the panel at full size in a frame: the smallest standard sheet that takes it, else one made to measure."""
    need = shown.box
    room_needed = need.grown(_BAND_MM)
    paper = _choose(room_needed, series)
    space, block = drawing_space(paper), title_block_box(paper)
    room = Box(space.x0 + BAR_ROOM_MM, block.y1 + _GAP_MM, space.x1 - _GAP_MM, space.y1 - _GAP_MM)
    at = (room.x0 + (room.width - need.width) / 2, room.y0 + (room.height - need.height) / 2)
    level = bars((space.x0 + _GAP_MM, block.y1 - 12.0), upright=False)
    upright = bars((space.x0 + 10.0, block.y1 + _GAP_MM), upright=True)
    beside = space.x0 + 2 * _GAP_MM + 120.0
    width = min(block.x0 - _GAP_MM - beside, 160.0)
    items: list[Item] = [*framed(paper, _block(project, shown)), level, upright]
    if width > 100:
        cautions, _ = cautions_items(CAUTIONS, (beside, block.y1 - 2.0), width)
        items.append(Group(cautions, name="cautions", layer="cautions"))
    words = f"Full size, CUT FROM {shown.shapes.side.upper()}, up ↑. Print at 100 %."
    items.append(Text((room.x0, space.y1 - 6.0), words, 3.5, bold=True, colour=colours.ALARM))
    taken = text_boxes(tuple(items))
    least = 3.5 if max(paper.width_mm, paper.height_mm) > 1000 else 2.5
    place = View(scale=1.0, at=(at[0] - need.x0, at[1] - need.y0))
    bands = dimensions(shown.shapes, holes(shown.shapes), place, height_mm=least, through=False)
    items += [Group(band.items, name="dimensions", layer="dimension") for band in bands]
    items += window_items(shown, need, at, taken, least_mm=least)
    return Scene(
        width_mm=paper.width_mm,
        height_mm=paper.height_mm,
        items=tuple(items),
        title=f"Full size, cut from {shown.shapes.side}",
        section=shown.shapes.name,
    )


def _choose(need: Box, series: str) -> Sheet:
    """Return the smallest sheet of the series that takes ``need``, else a sheet made to measure (whole 10 mm)."""
    spare_x, spare_y = BAR_ROOM_MM + _GAP_MM, 2 * _GAP_MM + 8.0
    for paper in [turned for of in drawing_sheets(series) for turned in (of, of.turned())]:
        space, block = drawing_space(paper), title_block_box(paper)
        if space.width - spare_x >= need.width and space.y1 - block.y1 - spare_y >= need.height and block.width >= 180:
            return paper
    block_mm = 36.0
    wide = max(ceil((need.width + spare_x + 30) / 10) * 10, 420)
    tall = ceil((need.height + spare_y + 20 + block_mm) / 10) * 10
    return Sheet(name=f"{wide} × {tall}", width_mm=float(wide), height_mm=float(tall))


def _block(project: Project, shown: Content) -> SheetTitle:
    head = project.project
    return SheetTitle(
        title=f"{head.name}: {shown.shapes.name}" if head.name else shown.shapes.name,
        supplementary_title=f"Cut from the {shown.shapes.side}" + (", invented data" if head.example else ""),
        document_type="Cutting template",
        number=head.number,
        owner=head.owner,
        created_by=head.drawn_by,
        approved_by=head.approved_by,
        date=head.date,
        revision=head.revision,
        scale="1:1",
    )
