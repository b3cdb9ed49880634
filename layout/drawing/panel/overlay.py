"""One device's own template at full size, to lay on its maker's paper before cutting."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING

from layout.drawing.elements import colours, pens
from layout.drawing.elements.dimension import Band, Stop, dimension_band, parallel_band
from layout.drawing.elements.label_placing import LabelWish, place_labels
from layout.drawing.elements.metrics import text_box
from layout.drawing.elements.numerals import DRAWING_UNITS, MM_TOO, Units, mm, size
from layout.drawing.elements.scene import Group, HatchPath, Item, Scene, StrokePath, Text, scene_leaves
from layout.drawing.panel.holes import is_confirmed, size_text, whence
from layout.drawing.panel.panel_view import centre_mark, strokes
from layout.drawing.panel.placed_panel import DeviceShapes, device_shapes
from layout.drawing.paper.drawing_sheets import CAUTIONS, Sheet, cautions_items, sheet
from layout.drawing.paper.stamp import INVENTED
from layout.drawing.template.print_marks import bars, text_boxes
from layout.geometry.path import Box
from layout.geometry.shapes import circle
from layout.project.model.arrangement import Placed

if TYPE_CHECKING:
    from layout.geometry.path import Point
    from layout.project.model.project import Project

_MARGIN_MM = 15.0
_HEAD_MM = 34.0
_FOOT_MM = 62.0
_BAND_MM = 30.0
LEAST_TALL_MM = 240.0
"""The upright bar needs this between heading and cautions."""


def overlay_scene(project: Project, device_id: str) -> Scene:
    """Return face, cut-out, fixings and body of one device at full size, dimensioned from its centre.

    Raises
    ------
    KeyError
        The project has no such device.
    ValueError
        The device has no face.
    """
    device = project.devices[device_id]
    shapes = device_shapes(device, Placed(device=device_id, panel="", x=0.0, y=0.0))
    shown = Box.around(path.bounds() for path in (shapes.face, *shapes.cutouts, *(b for b, _ in shapes.bodies)))
    paper = _paper(shown)
    centre = (
        paper.width_mm / 2 - shown.centre[0] + 5.0,
        (paper.height_mm - _HEAD_MM + _FOOT_MM + _BAND_MM) / 2 - shown.centre[1],
    )
    items: list[Item] = [*_heading(project, shapes, paper), *_lines(shapes, centre)]
    units = project.workshop.dimensions
    bands = _dimensions(shapes, centre, units)
    items += [Group(band.items, name="dimensions", layer="dimension") for band in bands]
    items += [
        bars((_MARGIN_MM, 46.0), upright=False),
        bars((_MARGIN_MM + 8.0, _FOOT_MM + 4.0), upright=True),
    ]
    cautions, _ = cautions_items(CAUTIONS, (_MARGIN_MM, 42.0), paper.width_mm - 2 * _MARGIN_MM)
    items.append(Group(cautions, name="cautions", layer="cautions"))
    items += _labels(shapes, centre, paper, items, units)
    return Scene(
        width_mm=paper.width_mm,
        height_mm=paper.height_mm,
        items=tuple(items),
        title=f"Overlay of {shapes.name}",
        section="Overlays",
    )


def _paper(shown: Box) -> Sheet:
    """Return the smallest paper that takes the device with its dimensions, else a sheet made to measure."""
    wide = shown.width + 2 * (_MARGIN_MM + _BAND_MM)
    tall = max(shown.height + _HEAD_MM + _FOOT_MM + 2 * _BAND_MM, LEAST_TALL_MM)
    for name in ("A4", "A3", "A2"):
        for paper in (sheet(name), sheet(name, landscape=True)):
            if wide <= paper.width_mm and tall <= paper.height_mm:
                return paper
    size = (float(ceil(max(wide, 210) / 10) * 10), float(ceil(tall / 10) * 10))
    return Sheet(name=f"{size[0]:g} × {size[1]:g}", width_mm=size[0], height_mm=size[1])


def _heading(project: Project, shapes: DeviceShapes, paper: Sheet) -> list[Item]:
    device, head = shapes.device, project.project
    top, units = paper.height_mm - _MARGIN_MM, project.workshop.dimensions
    stated_in = "" if units == "mm" else f"{DRAWING_UNITS[units]}, "
    doubt = "" if is_confirmed(device) else ": DO NOT CUT"
    tolerance = device.cutout_tolerance
    limits = f", cut-out +{mm(tolerance.plus)} −{mm(tolerance.minus)}{MM_TOO[units]}" if tolerance else ""
    stated = ", ".join(filter(None, (head.name, head.number, f"rev. {head.revision}", head.date)))
    return [
        Text((_MARGIN_MM, top - 5.0), f"Overlay: {shapes.name}", 5.0, bold=True),
        Text(
            (_MARGIN_MM, top - 11.0),
            f"Seen from the front, full size, {stated_in}sizes {whence(device.size_from)}{doubt}{limits}",
            2.5,
        ),
        Text((_MARGIN_MM, top - 15.5), f"{stated}.  {INVENTED}" if head.example else stated, 2.5),
        Text(
            (_MARGIN_MM, top - 20.0),
            "Lay it on the maker's own template against the light: every line must agree.",
            2.5,
        ),
    ]


def _lines(shapes: DeviceShapes, at: Point) -> list[Item]:
    items: list[Item] = [StrokePath(shapes.face.moved(*at), pens.OUTLINE)]
    items += [StrokePath(path.moved(*at), pens.BODY_PEN) for path, _ in shapes.bodies]
    sure = is_confirmed(shapes.device)
    hatch = pens.coloured(pens.HATCH, colours.ALARM, width_mm=0.18)
    for path in shapes.cutouts:
        if not sure:
            items.append(HatchPath(path.moved(*at), hatch, spacing_mm=4.0))
        items += [StrokePath(path.moved(*at), pens.CUT)]
    for point, fixing in shapes.fixings:
        where = (point[0] + at[0], point[1] + at[1])
        items += [StrokePath(circle(fixing.drill, at=where), pens.CUT), *centre_mark(where, fixing.drill / 2 + 2)]
    items += centre_mark(at, 6.0, pens.CENTRE)
    return [Group(tuple(items), name="device", layer="cut")]


def _dimensions(shapes: DeviceShapes, at: Point, units: Units) -> list[Band]:
    face = shapes.face.moved(*at).bounds()
    xs = [Stop(at_mm=x + at[0], value_mm=abs(x), from_mm=y + at[1], units=units) for (x, y), _ in shapes.fixings if x]
    ys = [Stop(at_mm=y + at[1], value_mm=abs(y), from_mm=x + at[0], units=units) for (x, y), _ in shapes.fixings if y]
    for path in shapes.cutouts:
        box = path.bounds()
        xs += [Stop(at_mm=x + at[0], value_mm=abs(x), units=units) for x in (box.x0, box.x1)]
        ys += [Stop(at_mm=y + at[1], value_mm=abs(y), units=units) for y in (box.y0, box.y1)]
    bands = [
        parallel_band(
            [Stop(at_mm=face.x1, value_mm=face.width, units=units)], origin_mm=face.x0, side="above", edge_mm=face.y1
        ),
        parallel_band(
            [Stop(at_mm=face.y1, value_mm=face.height, units=units)], origin_mm=face.y0, side="right", edge_mm=face.x1
        ),
    ]
    across, up = (face.x0 - 15, face.x1 + 15), (face.y0 - 15, face.y1 + 15)
    return [
        *bands,
        dimension_band(
            xs, origin_mm=at[0], side="below", edge_mm=face.y0, low_mm=across[0], high_mm=across[1], style="running"
        ),
        dimension_band(ys, origin_mm=at[1], side="left", edge_mm=face.x0, low_mm=up[0], high_mm=up[1], style="running"),
    ]


def _labels(shapes: DeviceShapes, at: Point, paper: Sheet, items: list[Item], units: Units) -> list[Item]:
    wishes = []
    for path in shapes.cutouts:
        centre = path.moved(*at).bounds().centre
        words = size_text(path, units)
        wishes.append(LabelWish(lines=(f"cut-out {words}",), at=centre, clear_mm=7.0))
    sizes: dict[str, tuple[int, Point]] = {}
    for point, fixing in shapes.fixings:
        words = f"{size('⌀{}', fixing.drill, units=units)} {fixing.kind} {fixing.thread}".strip()
        count, first = sizes.get(words, (0, (point[0] + at[0], point[1] + at[1])))
        sizes[words] = (count + 1, first)
    wishes += [
        LabelWish(lines=(f"{count} × {words}",), at=first, clear_mm=5.0) for words, (count, first) in sizes.items()
    ]
    taken = [text_box(item) for item in scene_leaves(items) if isinstance(item, Text)] + text_boxes(tuple(items))
    lines = [s for path in (shapes.face, *shapes.cutouts) for s in strokes(path.moved(*at))]
    placed, _ = place_labels(wishes, room=paper.box.grown(-_MARGIN_MM), taken=taken, lines=lines)
    return [item for label in placed for item in label.items()]
