"""The panel drawing: dimensioned front view on a standard sheet, with its table of holes."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.drawing.elements.label_placing import LabelWish, place_labels
from layout.drawing.elements.metrics import text_box
from layout.drawing.elements.numerals import mm
from layout.drawing.elements.scene import Group, Item, Scene, Text, leaves
from layout.drawing.elements.scene_table import Column, Table, table_columns, table_items
from layout.drawing.panel import panel_view
from layout.drawing.panel.hole_table import hole_table
from layout.drawing.panel.holes import CONFIRMED, Hole, holes, whence
from layout.drawing.panel.panel_dimensions import band_boxes, dimensions
from layout.drawing.panel.placed_panel import PanelShapes, at_words, panel_shapes
from layout.drawing.paper.drawing_sheets import (
    CAUTIONS,
    Sheet,
    TitleBlock,
    cautions_items,
    drawing_sheets,
    drawing_space,
    framed,
    table,
    title_block_box,
)
from layout.drawing.paper.stamp import cutting_errors, overprint, panel_subjects
from layout.geometry.path import Box

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from layout.findings import Finding
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.panel import Panel
    from layout.project.model.project import Project

GAP_MM = 4.0
RUNNING_ROOM_MM = 25.0
OVERALL_ROOM_MM = 15.5
LEAST_SCALE = 5
"""A panel that would be drawn smaller than 1 : 5 goes on a larger sheet."""


def panel_drawing(
    project: Project,
    arrangement: Arrangement,
    panel_id: str,
    *,
    findings: Iterable[Finding] = (),
    series: str = "iso",
) -> tuple[Scene, ...]:
    """Return the sheets of one panel's drawing: front view first, then what is left of the hole table.

    Parameters
    ----------
    findings
        Errors among them that concern the panel print NOT FOR CUTTING over the sheets.
    series
        ``iso`` or ``ansi`` sheets.
    """
    shapes = panel_shapes(project, arrangement, panel_id)
    found = holes(shapes)
    rows = hole_table(found)
    summary = summary_table(shapes, found)
    column_mm = max(rows.size_mm()[0], summary.size_mm()[0])
    sheet, divisor = choose_sheet(shapes.box, column_mm, series)
    errors = cutting_errors(findings, panel_subjects(project, panel_id))
    space = drawing_space(sheet)
    column = right_column(sheet, column_mm)
    items: list[Item] = [*front_view(shapes, found, view_room(sheet, column_mm), divisor)]
    items += table_items(summary, (column.x0, column.y1))
    below = Box(column.x0, column.y0, column.x1, column.y1 - summary.size_mm()[1] - GAP_MM)
    table_part, following = table_columns(rows, below)
    items += [*table_part, *caution_corner(sheet)]
    pages = [items]
    while following < len(rows.rows):
        room = Box(space.x0 + GAP_MM, title_block_box(sheet).y1 + GAP_MM, space.x1 - GAP_MM, space.y1 - GAP_MM)
        table_part, following = table_columns(rows, room, first=following)
        pages.append([*table_part, *caution_corner(sheet)])
    block = title_block(project, shapes, "Panel drawing", f"1:{divisor}")
    return finish(pages, sheet, block, section=shapes.name, errors=errors, titles=("Front view", "Holes"))


def title_block(project: Project, shapes: PanelShapes, document_type: str, scale: str) -> TitleBlock:
    """Return a title block filled in from the project."""
    head = project.project
    return TitleBlock(
        title=f"{head.name}: {shapes.name}" if head.name else shapes.name,
        supplementary_title="Invented data" if head.example else "",
        document_type=document_type,
        number=head.number,
        owner=head.owner,
        created_by=head.drawn_by,
        approved_by=head.approved_by,
        date=head.date,
        revision=head.revision,
        scale=scale,
    )


def finish(
    pages: Sequence[Sequence[Item]],
    sheet: Sheet,
    block: TitleBlock,
    *,
    section: str,
    errors: Sequence[Finding],
    titles: tuple[str, ...],
) -> tuple[Scene, ...]:
    """Return pages with frame, title block and, where an error asks for it, the overprint."""
    scenes = []
    for number, items in enumerate(pages, start=1):
        numbered = replace(block, sheet=number, sheets=len(pages))
        over = (overprint(drawing_space(sheet), "NOT FOR CUTTING"),) if errors else ()
        name = titles[min(number, len(titles)) - 1]
        scenes.append(
            Scene(
                width_mm=sheet.width_mm,
                height_mm=sheet.height_mm,
                items=(*framed(sheet, numbered), *items, *over),
                title=f"{name}, {block.scale}" if number == 1 else name,
                section=section,
            )
        )
    return tuple(scenes)


def _outline_from(panel: Panel) -> str:
    """Return in words where a panel's outline comes from and how well it is known, if that is told."""
    if panel.size_from is None:
        return ""
    doubt = "" if panel.size_from in CONFIRMED else ": DO NOT CUT"
    limits = panel.outline_tolerance
    within = f", +{mm(limits.plus)} −{mm(limits.minus)}" if limits else ""
    return f"; {whence(panel.size_from)}{within}{doubt}"


def summary_table(shapes: PanelShapes, found: Sequence[Hole]) -> Table:
    """Return what the sheet is made of and how much is to be cut."""
    panel, box = shapes.panel, shapes.box
    to_cut = [hole for hole in found if not hole.done]
    unsure = [hole for hole in to_cut if not hole.confirmed]
    rows = [
        ("Outline", f"{box.width:g} × {box.height:g} mm over all{_outline_from(panel)}"),
        ("Material", f"{panel.material}, {panel.thickness:g} mm"),
        ("Grain", panel.grain or "not stated"),
        ("Seen from", shapes.side),
        ("Devices", f"{len(shapes.devices)}"),
        (
            "Holes to make",
            f"{len(to_cut)}" + (f", of these {len(unsure)} DO NOT CUT (not confirmed)" if unsure else ""),
        ),
    ]
    rows += [
        (
            "Kept free",
            f"{room.name or room.id}: {' × '.join(map(mm, room.size))} {at_words(shapes, path.bounds().centre)}",
        )
        for path, room in shapes.reserved
    ]
    if panel.hinge:
        rows.insert(3, ("Hinge", f"{panel.hinge.side}, opens {panel.hinge.opens:g}°"))
    return Table(columns=(Column(title="Panel"), Column(title=shapes.name)), rows=tuple(rows))


def choose_sheet(box: Box, column_mm: float, series: str = "iso") -> tuple[Sheet, int]:
    """Return the smallest sheet from the second of its series, and the scale divisor (ISO 5455) that fits on it."""
    divisors = [int(d) for d in table()["scales"]["reduce"]]
    best: tuple[Sheet, int] | None = None
    for sheet in drawing_sheets(series)[1:]:
        room = view_room(sheet, column_mm)
        wide, tall = room.width - RUNNING_ROOM_MM - OVERALL_ROOM_MM, room.height - RUNNING_ROOM_MM - OVERALL_ROOM_MM
        for divisor in divisors:
            if box.width / divisor <= wide and box.height / divisor <= tall:
                best = (sheet, divisor)
                break
        if best and best[1] <= LEAST_SCALE:
            return best
    if best is None:
        raise ValueError(f"a panel of {box.width:g} x {box.height:g} mm fits on no sheet of the series {series!r}")
    return best


def right_column(sheet: Sheet, column_mm: float) -> Box:
    """Return the room for tables at the right, above the title block."""
    space = drawing_space(sheet)
    low = title_block_box(sheet).y1 + GAP_MM
    return Box(space.x1 - GAP_MM - column_mm, low, space.x1 - GAP_MM, space.y1 - GAP_MM)


def view_room(sheet: Sheet, column_mm: float) -> Box:
    """Return the room for the view, left of the tables and above the title block."""
    space = drawing_space(sheet)
    low = title_block_box(sheet).y1 + GAP_MM
    return Box(space.x0 + GAP_MM, low, right_column(sheet, column_mm).x0 - GAP_MM, space.y1 - GAP_MM)


def caution_corner(sheet: Sheet) -> tuple[Item, ...]:
    """Return the cautions left of the title block."""
    space, block = drawing_space(sheet), title_block_box(sheet)
    width = block.x0 - space.x0 - 2 * GAP_MM
    _, height = cautions_items(CAUTIONS, (0.0, 0.0), width)
    items, _ = cautions_items(CAUTIONS, (space.x0 + GAP_MM, space.y0 + height + 6.0), width)
    return (Group(items, name="cautions", layer="cautions"),)


def front_view(shapes: PanelShapes, found: Sequence[Hole], room: Box, divisor: int) -> tuple[Item, ...]:
    """Return the dimensioned front view in the middle of its room."""
    place = placed_view(shapes, room, divisor)
    edge = place.box(shapes.box)
    bands = dimensions(shapes, found, place)
    items: list[Item] = [
        panel_view.faces(shapes, place),
        panel_view.background(shapes, place),
        *(Group(band.items, name="dimensions", layer="dimension") for band in bands),
        heading(shapes, edge, divisor),
    ]
    texts = [*band_boxes(bands, shapes, edge), *(text_box(i) for i in leaves(items) if isinstance(i, Text))]
    soft = [*(d.face for d in shapes.devices), *(path for path, _ in shapes.no_go)]
    lines = [stroke for path in soft for stroke in panel_view.strokes(place.path(path))]
    zones = panel_view.keep_out_texts(shapes, place)
    items += zones
    texts += [text_box(zone) for zone in zones]
    wishes = name_wishes(shapes, found, place)
    firm = panel_view.firm_strokes(shapes, place)
    placed, homeless = place_labels(wishes, room=room, taken=texts, lines=lines, firm=firm, reach_mm=80)
    for label in placed:
        items += label.items()
    # Without room for a name the number alone goes on the face; the hole table has the name.
    for wish in homeless:
        items.append(Text(wish.at, wish.lines[0].split()[0].rstrip(":"), 2.5, "centre", "middle", halo=True))
    # Last, so that no label's clear ground interrupts what is to be cut.
    return (*items, panel_view.outline(shapes, place), panel_view.hole_items(found, place, mark_from_mm=3.0))


def name_wishes(shapes: PanelShapes, found: Sequence[Hole], place: panel_view.View) -> list[LabelWish]:
    """Return the labels of devices and keep-outs; those that stand on their face come first."""
    unsure = {hole.device for hole in found if not hole.confirmed and not hole.done}
    return [*panel_view.name_wishes(shapes, place, unsure=unsure), *panel_view.keep_out_wishes(shapes, place)]


def heading(shapes: PanelShapes, edge: Box, divisor: int) -> Text:
    """Return the view's heading above its upper left."""
    grain = {"across": ", grain ↔", "up": ", grain ↕"}.get(shapes.panel.grain or "", "")
    words = f"Seen from the {shapes.side}, 1:{divisor}, up ↑{grain}"
    return Text((edge.x0, edge.y1 + OVERALL_ROOM_MM + 2.0), words, 3.5, bold=True)


def placed_view(shapes: PanelShapes, room: Box, divisor: int) -> panel_view.View:
    """Return the view at its scale, in the middle of the room with space for its dimensions."""
    scale, box = 1 / divisor, shapes.box
    left = RUNNING_ROOM_MM if shapes.side == "front" else OVERALL_ROOM_MM
    right = OVERALL_ROOM_MM if shapes.side == "front" else RUNNING_ROOM_MM
    spare_x = room.width - left - right - box.width * scale
    spare_y = room.height - RUNNING_ROOM_MM - OVERALL_ROOM_MM - 6.0 - box.height * scale
    at = (
        room.x0 + left + spare_x / 2 - box.x0 * scale,
        room.y0 + RUNNING_ROOM_MM + max(spare_y, 0) / 2 - box.y0 * scale,
    )
    return panel_view.View(scale=scale, at=at)
