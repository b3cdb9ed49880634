"""The rear view: bodies, tail room and terminals as one sees them with the panel swung open."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.elements import colours, pens
from layout.drawing.elements.label_placing import place_labels
from layout.drawing.elements.metrics import text_box
from layout.drawing.elements.numerals import Units, length_text, size
from layout.drawing.elements.scene import FillPath, Group, Item, Scene, StrokePath, Text, scene_leaves
from layout.drawing.elements.scene_table import SceneColumn, SceneTable
from layout.drawing.panel import panel_drawing as sheet_of
from layout.drawing.panel import panel_view
from layout.drawing.panel.holes import holes
from layout.drawing.panel.panel_dimensions import band_boxes, dimensions
from layout.drawing.panel.placed_panel import PanelShapes, drawn_shapes
from layout.drawing.panel.sheet_choice import choose_sheet
from layout.drawing.panel.terminal_marks import TERMINAL_MM, terminal_dots, terminal_names, terminal_table
from layout.drawing.paper.stamp import cutting_errors, panel_subjects
from layout.geometry.shapes import circle

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from layout.findings import Finding
    from layout.geometry.path import Box
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.device import Behind
    from layout.project.model.project import Project


def rear_drawing(
    project: Project,
    arrangement: Arrangement,
    panel_id: str,
    *,
    findings: Iterable[Finding] = (),
    series: str = "iso",
) -> tuple[Scene, ...]:
    """Return the sheets of a panel as seen from the rear: the view first, then what is left of its tables."""
    shapes = drawn_shapes(project, arrangement, panel_id).mirrored()
    found = holes(shapes)
    tables = [body_table(shapes), terminal_table(shapes)]
    choice = choose_sheet(shapes.box, tables, series)
    errors = cutting_errors(findings, panel_subjects(project, panel_id))
    place = choice.view(shapes)
    bands = dimensions(shapes, found, place)
    items: list[Item] = [
        panel_view.background(shapes, place),
        *layers(shapes, place),
        panel_view.outline(shapes, place),
        *(Group(band.items, name="dimensions", layer="dimension") for band in bands),
        sheet_of.drawing_heading(shapes, place.box(shapes.box), choice),
    ]
    items += labels(shapes, place, choice.room, items, band_boxes(bands, shapes, place.box(shapes.box)))
    pages = sheet_of.with_tables(items, tables, choice)
    block = sheet_of.title_block(project, shapes, "Rear view", choice.scale)
    titles = ("Rear view", "Terminals")
    return sheet_of.finish(pages, choice.sheet, block, section=shapes.name, errors=errors, titles=titles)


def layers(shapes: PanelShapes, place: panel_view.View) -> list[Item]:
    """Return faces behind the sheet (dashed), tail room, bodies, cut-outs and terminals."""
    items: list[Item] = []
    for device in shapes.devices:
        paths: list[Item] = [StrokePath(place.path(device.face), pens.BODY_PEN)]
        paths += [StrokePath(place.path(path), pens.ADJACENT) for path in device.tails]
        for path, _ in device.bodies:
            paths += [FillPath(place.path(path), colours.TINT), StrokePath(place.path(path), pens.CUT)]
        paths += [StrokePath(place.path(path), pens.OUTLINE) for path in device.cutouts]
        paths += [
            StrokePath(circle(f.drill * place.scale, at=place.point(at)), pens.OUTLINE) for at, f in device.fixings
        ]
        items.append(Group(tuple(paths), name=device.device.id, layer="rear"))
    return [*items, *terminal_dots(shapes, place)]


def labels(
    shapes: PanelShapes, place: panel_view.View, room: Box, drawn: Sequence[Item], beside: Sequence[Box]
) -> list[Item]:
    """Return names of devices and terminals where they found room; the tables have all of them.

    ``drawn`` and the boxes ``beside`` are kept clear of.
    """
    taken = [*beside, *(text_box(item) for item in scene_leaves(drawn) if isinstance(item, Text))]
    lines = [
        s
        for d in shapes.devices
        for path in (d.face, *(p for p, _ in d.bodies))
        for s in panel_view.strokes(place.path(path))
    ]
    dots = [circle(TERMINAL_MM, at=place.point(at)).bounds() for d in shapes.devices for at, _ in d.terminals]
    names = panel_view.name_wishes(shapes, place)
    firm = panel_view.firm_strokes(shapes, place)
    placed, homeless = place_labels(names, room=room, taken=[*taken, *dots], lines=lines, firm=firm)
    boxes = [*taken, *(label.box for label in placed)]
    items: list[Item] = [item for label in placed for item in label.items()]
    items += terminal_names(shapes, place, room, boxes)
    items += [
        Text(wish.at, wish.lines[0].split()[0].rstrip(":"), 2.5, "centre", "middle", halo=True) for wish in homeless
    ]
    return items


def body_table(shapes: PanelShapes) -> SceneTable:
    """Return the bodies: size, depth behind the sheet, tail room."""
    rows = []
    for device in shapes.devices:
        tail = device.device.plug_room
        behind = "not known" if tail is None or tail.depth is None else length_text(tail.depth, shapes.units)
        for path, body in device.bodies:
            box = path.bounds()
            sides = size("{} × {}", box.width, box.height, units=shapes.units)
            rows.append((str(device.number), device.name, sides, _depth(body, shapes.units), behind))
        if not device.bodies:
            rows.append((str(device.number), device.name, "no body stated", "", behind if tail else ""))
    columns = (
        SceneColumn(title="No"),
        SceneColumn(title="Device", most_mm=36.0),
        SceneColumn(title="Body"),
        SceneColumn(title="Depth", align="right"),
        SceneColumn(title="Tail", align="right"),
    )
    return SceneTable(
        columns=columns, rows=tuple(rows), heading=f"Bodies behind the sheet, tail room behind them, {shapes.units}"
    )


def _depth(body: Behind, units: Units) -> str:
    if body.depth is None:
        return "not known"
    deep = length_text(body.depth, units)
    return f"{length_text(body.from_depth, units)} to {deep}" if body.from_depth else deep
