"""The panel drawing: dimensioned front view on a standard sheet, with its table of holes."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.drawing.elements import colours
from layout.drawing.elements.label_placing import LabelWish, place_labels
from layout.drawing.elements.metrics import text_box
from layout.drawing.elements.numerals import MM_TOO, Units, length_text, measure, mm, size
from layout.drawing.elements.scene import Group, Item, Scene, Text, scene_leaves
from layout.drawing.elements.scene_table import SceneColumn, SceneTable, table_columns
from layout.drawing.panel import panel_view
from layout.drawing.panel.hole_table import hole_table
from layout.drawing.panel.holes import CONFIRMED, Hole, holes, whence
from layout.drawing.panel.outline_corners import setout
from layout.drawing.panel.panel_dimensions import band_boxes, dimensions, outline_room_mm
from layout.drawing.panel.placed_panel import PanelShapes, at_words, drawn_shapes
from layout.drawing.panel.rebates import rebates
from layout.drawing.panel.sheet_choice import TABLE_GAP_MM, VIEW_GAP_MM, SheetChoice, choose_sheet, whole_room
from layout.drawing.panel.terminal_marks import terminal_dots, terminal_names, terminal_table
from layout.drawing.paper.drawing_sheets import (
    CAUTIONS,
    Sheet,
    SheetTitle,
    cautions_items,
    drawing_space,
    framed,
    title_block_box,
)
from layout.drawing.paper.stamp import cutting_errors, overprint, panel_subjects
from layout.geometry.path import Box

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from layout.drawing.panel.outline_corners import Setout
    from layout.findings import Finding
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.panel import Panel
    from layout.project.model.project import Project

LEAST_TABLE_MM = 30.0
"""With less room below the table before it a table begins on the next sheet."""


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
    shapes = drawn_shapes(project, arrangement, panel_id)
    found = holes(shapes)
    listed = hole_table(found, shapes.panel.thickness, units=shapes.units, steps=rebates(shapes))
    tables = [summary_table(shapes, found), listed]
    if shapes.panel.kind == "board" and (terminals := terminal_table(shapes)).rows:
        tables.append(terminals)
    above, beside = outline_room_mm(shapes)
    choice = choose_sheet(shapes.box, tables, series, above_mm=above, beside_mm=beside)
    errors = cutting_errors(findings, panel_subjects(project, panel_id))
    view = front_view(shapes, found, choice)
    pages = with_tables(view, tables, choice)
    block = title_block(project, shapes, "Panel drawing", choice.scale)
    return finish(pages, choice.sheet, block, section=shapes.name, errors=errors, titles=("Front view", "Holes"))


def with_tables(view: Sequence[Item], tables: Sequence[SceneTable], choice: SheetChoice) -> list[list[Item]]:
    """Return the pages of a view and its tables: beside it as far as they go, then on sheets of their own."""
    pages: list[list[Item]] = [[*view]]
    rest = choice.column
    if not choice.column_mm:
        pages.append([])
    for rows in tables:
        following = 0
        if len(rows.rows) * rows.row_mm + rows.head_mm <= rest.height or rest.height > LEAST_TABLE_MM:
            part, following = table_columns(rows, rest)
            pages[-1] += part
        while following < len(rows.rows):
            pages.append([])
            rest = whole_room(choice.sheet)
            part, following = table_columns(rows, rest, first=following)
            pages[-1] += part
        used = rows.size_mm(min(len(rows.rows), int((rest.height - rows.head_mm) / rows.row_mm)))[1]
        rest = Box(rest.x0, rest.y0, rest.x1, max(rest.y1 - used - TABLE_GAP_MM, rest.y0))
    return [[*page, *caution_corner(choice.sheet)] for page in pages]


def title_block(project: Project, shapes: PanelShapes, document_type: str, scale: str) -> SheetTitle:
    """Return a title block filled in from the project."""
    head = project.project
    return SheetTitle(
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
        units=shapes.units,
    )


def finish(
    pages: Sequence[Sequence[Item]],
    sheet: Sheet,
    block: SheetTitle,
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


def _outline_from(panel: Panel, units: Units) -> str:
    """Return in words where a panel's outline comes from and how well it is known, if that is told."""
    if panel.size_from is None:
        return ""
    doubt = "" if panel.size_from in CONFIRMED else ": DO NOT CUT"
    limits = panel.outline_tolerance
    within = f", +{mm(limits.plus)} −{mm(limits.minus)}{MM_TOO[units]}" if limits else ""
    return f"; {whence(panel.size_from)}{within}{doubt}"


def _outline_words(shapes: PanelShapes) -> str:
    box, round_mm = shapes.box, setout(shapes.outline).diameter_mm
    if round_mm:
        words = size("⌀{}", round_mm, units=shapes.units)
    elif shapes.units == "mm":
        words = f"{box.width:g} × {box.height:g} mm over all"
    else:
        words = f"{size('{} × {}', box.width, box.height, units=shapes.units)} over all"
    return f"{words}{_outline_from(shapes.panel, shapes.units)}"


def summary_table(shapes: PanelShapes, found: Sequence[Hole]) -> SceneTable:
    """Return what the sheet is made of and how much is to be cut."""
    panel = shapes.panel
    to_cut = [hole for hole in found if not hole.done]
    unsure = [hole for hole in to_cut if not hole.confirmed]
    rows = [
        ("Outline", _outline_words(shapes)),
        ("Material", f"{panel.material}, {measure(panel.thickness, shapes.units)}"),
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
            f"{room.name or room.id}: {size('{} × {}', *room.size, units=shapes.units)}"
            f" {at_words(shapes, path.bounds().centre)}",
        )
        for path, room in shapes.reserved
    ]
    if panel.hinge:
        rows.insert(3, ("Hinge", f"{panel.hinge.side}, opens {panel.hinge.opens:g}°"))
    return SceneTable(columns=(SceneColumn(title="Panel"), SceneColumn(title=shapes.name)), rows=tuple(rows))


def caution_corner(sheet: Sheet) -> tuple[Item, ...]:
    """Return the cautions left of the title block."""
    space, block = drawing_space(sheet), title_block_box(sheet)
    width = block.x0 - space.x0 - 2 * VIEW_GAP_MM
    _, height = cautions_items(CAUTIONS, (0.0, 0.0), width)
    items, _ = cautions_items(CAUTIONS, (space.x0 + VIEW_GAP_MM, space.y0 + height + 6.0), width)
    return (Group(items, name="cautions", layer="cautions"),)


def front_view(shapes: PanelShapes, found: Sequence[Hole], choice: SheetChoice) -> tuple[Item, ...]:
    """Return the dimensioned front view in the middle of its room; on a board with its terminals."""
    place, room, shape = choice.view(shapes), choice.room, setout(shapes.outline)
    edge = place.box(shapes.box)
    bands = dimensions(shapes, found, place, shape=shape)
    items: list[Item] = [
        panel_view.faces(shapes, place),
        panel_view.background(shapes, place),
        *(Group(band.items, name="dimensions", layer="dimension") for band in bands),
        drawing_heading(shapes, edge, choice),
    ]
    texts = [*band_boxes(bands, shapes, edge), *(text_box(i) for i in scene_leaves(items) if isinstance(i, Text))]
    soft = [*(d.face for d in shapes.devices), *(path for path, _ in shapes.no_go)]
    lines = [stroke for path in soft for stroke in panel_view.strokes(place.path(path))]
    zones = panel_view.keep_out_texts(shapes, place)
    items += zones
    texts += [text_box(zone) for zone in zones]
    wishes = [*_name_wishes(shapes, found, place), *bow_wishes(shape, place, shapes.units)]
    firm = panel_view.firm_strokes(shapes, place)
    is_board = shapes.panel.kind == "board"
    texts += [place.box(hole.path.bounds()) for hole in found if hole.kind == "fixing"]  # drawn over any text
    dots = terminal_dots(shapes, place) if is_board else []
    taken = [*texts, *(dot.path.bounds() for dot in dots)]
    placed, homeless = place_labels(wishes, room=room, taken=taken, lines=lines, firm=firm, reach_mm=80)
    for label in placed:
        items += label.items()
    # Without room for a name the number alone goes on the face; the hole table has the name.
    for wish in homeless:
        items.append(Text(wish.at, wish.lines[0].split()[0].rstrip(":"), 2.5, "centre", "middle", halo=True))
    if is_board:
        items += [*dots, *terminal_names(shapes, place, room, [*texts, *(label.box for label in placed)])]
    # Last, so that no label's clear ground interrupts what is to be cut.
    items.append(panel_view.rebate_items(rebates(shapes), place))
    return (*items, panel_view.outline(shapes, place), panel_view.hole_items(found, place, mark_from_mm=3.0))


def _name_wishes(shapes: PanelShapes, found: Sequence[Hole], place: panel_view.View) -> list[LabelWish]:
    """Return the labels of devices and keep-outs; those that stand on their face come first."""
    unsure = {hole.device for hole in found if not hole.confirmed and not hole.done}
    return [*panel_view.name_wishes(shapes, place, unsure=unsure), *panel_view.keep_out_wishes(shapes, place)]


def bow_wishes(shape: Setout, place: panel_view.View, units: Units = "mm") -> list[LabelWish]:
    """Return the radii of an outline's arcs, each beside the middle of its own."""
    return [
        LabelWish(
            lines=(f"R{length_text(bow.radius_mm, units)}",),
            at=place.point(bow.middle),
            clear_mm=1.5,
            colour=colours.LEAD,
        )
        for bow in shape.bows
    ]


def drawing_heading(shapes: PanelShapes, edge: Box, choice: SheetChoice) -> Text:
    """Return the view's heading above its upper left."""
    grain = {"across": ", grain ↔", "up": ", grain ↕"}.get(shapes.panel.grain or "", "")
    words = f"Seen from the {shapes.side}, {choice.scale}, up ↑{grain}"
    return Text((edge.x0, edge.y1 + choice.above_mm + 2.0), words, 3.5, bold=True)
