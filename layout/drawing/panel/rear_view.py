"""The rear view: bodies, tail room and terminals as one sees them with the panel swung open."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.elements import colours, pens
from layout.drawing.elements.label_placing import LabelWish, place_labels
from layout.drawing.elements.metrics import text_box
from layout.drawing.elements.numerals import mm
from layout.drawing.elements.scene import FillPath, Group, Item, Scene, StrokePath, Text, leaves
from layout.drawing.elements.scene_table import Column, Table, table_columns, table_items
from layout.drawing.panel import panel_drawing as sheet_of
from layout.drawing.panel import panel_view
from layout.drawing.panel.holes import holes
from layout.drawing.panel.panel_dimensions import band_boxes, dimensions
from layout.drawing.panel.placed_panel import PanelShapes, panel_shapes
from layout.drawing.paper.stamp import cutting_errors, panel_subjects
from layout.geometry.path import Box
from layout.geometry.shapes import circle

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from layout.findings import Finding
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.device import Behind
    from layout.project.model.project import Project

TERMINAL_MM = 1.2
"""Diameter of a terminal's dot on paper."""


def rear_drawing(
    project: Project,
    arrangement: Arrangement,
    panel_id: str,
    *,
    findings: Iterable[Finding] = (),
    series: str = "iso",
) -> tuple[Scene, ...]:
    """Return the sheets of a panel as seen from the rear: the view first, then what is left of its tables."""
    shapes = panel_shapes(project, arrangement, panel_id).mirrored()
    found = holes(shapes)
    bodies, terminals = body_table(shapes), terminal_table(shapes)
    column_mm = max(bodies.size_mm()[0], terminals.size_mm()[0])
    sheet, divisor = sheet_of.choose_sheet(shapes.box, column_mm, series)
    errors = cutting_errors(findings, panel_subjects(project, panel_id))
    room = sheet_of.view_room(sheet, column_mm)
    place = sheet_of.placed_view(shapes, room, divisor)
    bands = dimensions(shapes, found, place)
    column = sheet_of.right_column(sheet, column_mm)
    items: list[Item] = [
        panel_view.background(shapes, place),
        *layers(shapes, place),
        panel_view.outline(shapes, place),
        *(Group(band.items, name="dimensions", layer="dimension") for band in bands),
        sheet_of.heading(shapes, place.box(shapes.box), divisor),
    ]
    items += labels(shapes, place, room, items, band_boxes(bands, shapes, place.box(shapes.box)))
    items += table_items(bodies, (column.x0, column.y1))
    rest = Box(column.x0, column.y0, column.x1, max(column.y1 - bodies.size_mm()[1] - 6.0, column.y0))
    part, following = table_columns(terminals, rest) if terminals.rows else ((), 0)
    pages = [[*items, *part, *sheet_of.caution_corner(sheet)]]
    while following < len(terminals.rows):
        whole = Box(room.x0, room.y0, column.x1, column.y1)
        part, following = table_columns(terminals, whole, first=following)
        pages.append([*part, *sheet_of.caution_corner(sheet)])
    block = sheet_of.title_block(project, shapes, "Rear view", f"1:{divisor}")
    return sheet_of.finish(pages, sheet, block, section=shapes.name, errors=errors, titles=("Rear view", "Terminals"))


def layers(shapes: PanelShapes, place: panel_view.View) -> list[Item]:
    """Return faces behind the sheet (dashed), tail room, bodies, cut-outs and terminals."""
    items: list[Item] = []
    for device in shapes.devices:
        paths: list[Item] = [StrokePath(place.path(device.face), pens.BODY)]
        paths += [StrokePath(place.path(path), pens.ADJACENT) for path in device.tails]
        for path, _ in device.bodies:
            paths += [FillPath(place.path(path), colours.TINT), StrokePath(place.path(path), pens.CUT)]
        paths += [StrokePath(place.path(path), pens.OUTLINE) for path in device.cutouts]
        paths += [
            StrokePath(circle(f.drill * place.scale, at=place.point(at)), pens.OUTLINE) for at, f in device.fixings
        ]
        paths += [FillPath(circle(TERMINAL_MM, at=place.point(at))) for at, _ in device.terminals]
        items.append(Group(tuple(paths), name=device.device.id, layer="rear"))
    return items


def labels(
    shapes: PanelShapes, place: panel_view.View, room: Box, drawn: Sequence[Item], beside: Sequence[Box]
) -> list[Item]:
    """Return names of devices and terminals where they found room; the tables have all of them.

    ``drawn`` and the boxes ``beside`` are kept clear of.
    """
    taken = [*beside, *(text_box(item) for item in leaves(drawn) if isinstance(item, Text))]
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
    ends = [
        LabelWish(lines=(terminal.name or terminal.id,), at=place.point(at), clear_mm=TERMINAL_MM / 2, height_mm=2.5,
                  colour=colours.LEAD)
        for device in shapes.devices
        for at, terminal in device.terminals
    ]  # fmt: skip
    more, _ = place_labels(ends, room=room, taken=boxes, lines=(), reach_mm=8)
    items: list[Item] = [item for label in (*placed, *more) for item in label.items()]
    items += [
        Text(wish.at, wish.lines[0].split()[0].rstrip(":"), 2.5, "centre", "middle", halo=True) for wish in homeless
    ]
    return items


def body_table(shapes: PanelShapes) -> Table:
    """Return the bodies: size, depth behind the sheet, tail room."""
    rows = []
    for device in shapes.devices:
        tail = device.device.plug_room
        behind = "not known" if tail is None or tail.depth is None else mm(tail.depth)
        for path, body in device.bodies:
            box = path.bounds()
            size = f"{mm(box.width)} × {mm(box.height)}"
            rows.append((str(device.number), device.name, size, _depth(body), behind))
        if not device.bodies:
            rows.append((str(device.number), device.name, "no body stated", "", behind if tail else ""))
    columns = (
        Column(title="No"),
        Column(title="Device", most_mm=36.0),
        Column(title="Body"),
        Column(title="Depth", align="right"),
        Column(title="Tail", align="right"),
    )
    return Table(columns=columns, rows=tuple(rows), heading="Bodies behind the sheet, tail room behind them, mm")


def terminal_table(shapes: PanelShapes) -> Table:
    """Return the terminals: device, name, place from the datum, depth, what they take."""
    rows = []
    for device in shapes.devices:
        for at, terminal in device.terminals:
            x, y = shapes.coordinates(at)
            depth = "not known" if terminal.depth is None else mm(terminal.depth)
            takes = " ".join(filter(None, (terminal.takes, terminal.stud)))
            rows.append((device.name, terminal.name or terminal.id, mm(x), mm(y), depth, takes))
    columns = (
        Column(title="Device", most_mm=36.0),
        Column(title="Terminal"),
        Column(title="X", align="right"),
        Column(title="Y", align="right"),
        Column(title="Depth", align="right"),
        Column(title="Takes"),
    )
    return Table(
        columns=columns, rows=tuple(rows), heading="Terminals, X and Y from the datum, depth from the rear face"
    )


def _depth(body: Behind) -> str:
    if body.depth is None:
        return "not known"
    return f"{mm(body.from_depth)} to {mm(body.depth)}" if body.from_depth else mm(body.depth)
