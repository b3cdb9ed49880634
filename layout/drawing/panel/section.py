"""The section through one device: sheet, body, tail room, and the hull or lining behind."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.elements import colours, pens
from layout.drawing.elements.dimension import Stop, dimension_band
from layout.drawing.elements.label_placing import LabelWish, place_labels
from layout.drawing.elements.metrics import text_box
from layout.drawing.elements.numerals import measure
from layout.drawing.elements.scene import (
    FillPath,
    Group,
    HatchPath,
    Item,
    Scene,
    StrokePath,
    Text,
    box_path,
    line,
    polyline_path,
    scene_leaves,
)
from layout.drawing.elements.scene_table import SceneColumn, SceneTable, table_items
from layout.drawing.panel import panel_drawing as sheet_of
from layout.drawing.panel.panel_view import View, strokes
from layout.drawing.panel.placed_panel import DeviceShapes, PanelShapes, drawn_shapes
from layout.drawing.panel.rebates import rebates
from layout.drawing.panel.sheet_choice import right_column, view_room
from layout.drawing.paper.drawing_sheets import Sheet, drawing_sheets, table
from layout.drawing.paper.stamp import cutting_errors, panel_subjects
from layout.geometry.distance import contains_point
from layout.geometry.path import Box
from layout.placing.judge.depth import depth_under_mm
from layout.placing.judge.placed_form import form_of, placed_form
from layout.placing.translation.shallow import triangles

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from layout.findings import Finding
    from layout.geometry.path import Path, Point
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.panel import Panel
    from layout.project.model.project import Project

_COLUMN_MM = 110.0
FRONT_MM = 60.0
"""Room shown before the sheet when nothing says more, mm."""

_STEP_MM = 5.0
"""The line behind is drawn through points this far apart, mm."""

UNKNOWN_DEPTH_MM = 150.0
"""Room shown behind the sheet where no depth is known, mm."""


def section_drawing(
    project: Project,
    arrangement: Arrangement,
    panel_id: str,
    device_id: str,
    *,
    findings: Iterable[Finding] = (),
    series: str = "iso",
) -> Scene:
    """Return the upright section of a panel through the middle of one device, seen from the right.

    The viewer's side is at the left: a point lies at its depth behind the sheet's front face, so the
    sheet is cut at the left and bodies reach to the right.

    Raises
    ------
    ValueError
        The device does not stand on the panel.
    """
    shapes = drawn_shapes(project, arrangement, panel_id)
    device = next((d for d in shapes.devices if d.device.id == device_id), None)
    if device is None:
        raise ValueError(f"device {device_id!r} does not stand on panel {panel_id!r}")
    behind = lining(shapes, device.at[0])
    extent = _extent(shapes, device, behind)
    sheet, divisor = _choose(extent, series)
    room = view_room(sheet, _COLUMN_MM)
    scale = 1 / divisor
    origin = (
        room.x0 + 30.0 + (room.width - 50.0 - extent.width * scale) / 2 - extent.x0 * scale,
        room.y0 + 30.0 + max(0.0, room.height - 55.0 - extent.height * scale) / 2 - extent.y0 * scale,
    )

    place = View(scale=scale, at=origin)
    items = _section_items(shapes, device, behind, place)
    items += _words(shapes, device, behind, place, items)
    items.append(_heading(device, room, divisor))
    column = right_column(sheet, _COLUMN_MM)
    items += table_items(_facts(shapes, device, behind), (column.x0, column.y1))
    items += sheet_of.caution_corner(sheet)
    block = sheet_of.title_block(project, shapes, "Section", f"1:{divisor:g}")
    errors = cutting_errors(findings, panel_subjects(project, panel_id))
    title = f"Section through {device.name}"
    return sheet_of.finish([items], sheet, block, section=shapes.name, errors=errors, titles=(title,))[0]


def lining(shapes: PanelShapes, x: float) -> tuple[Point, ...]:
    """Return (depth behind the rear face, y) of what lies behind the panel along an upright line; empty if unknown."""
    box = shapes.box
    count = max(1, round(box.height / _STEP_MM))
    points = []
    for index in range(count + 1):
        y = box.y0 + box.height * index / count
        depth = free_depth_mm(shapes.panel, (x, y))
        if depth is not None:
            points.append((depth, y))
    return tuple(points)


def free_depth_mm(panel: Panel, at: Point) -> float | None:
    """Return the free depth behind one point: the least of what the panel says of it, None where it says nothing.

    Depth points span a surface, flat over the triangles of their Delaunay triangulation; beyond them
    their least depth counts.
    """
    known = [] if panel.depth is None else [panel.depth]
    known += [step.depth for step in panel.depth_steps if contains_point(step.shape.to_path(), at, touch_mm=1e-6)]
    if panel.depth_at:
        inside = [depth for spots in triangles(panel.depth_at) if (depth := _on_triangle(spots, at)) is not None]
        known.append(inside[0] if inside else min(point.depth for point in panel.depth_at))
    return min(known, default=None)


def least_free_mm(panel: Panel, device: DeviceShapes) -> float | None:
    """Return the least free depth anywhere under a device's bodies and their tail room; None where it is not known."""
    parts = device.tails or tuple(path for path, _ in device.bodies) or device.cutouts
    depths = [depth_under_mm(panel, placed_form(device.device.id, form_of(path))) for path in parts]
    known = [depth for depth in depths if depth is not None]
    return min(known) if known and len(known) == len(depths) else None


def _on_triangle(spots: tuple[tuple[float, float, float], ...], at: Point) -> float | None:
    (xa, ya, da), (xb, yb, db), (xc, yc, dc) = spots
    whole = (xb - xa) * (yc - ya) - (xc - xa) * (yb - ya)
    b = ((at[0] - xa) * (yc - ya) - (xc - xa) * (at[1] - ya)) / whole
    c = ((xb - xa) * (at[1] - ya) - (at[0] - xa) * (yb - ya)) / whole
    if min(b, c, 1 - b - c) < -1e-9:
        return None
    return da + b * (db - da) + c * (dc - da)


def _extent(shapes: PanelShapes, device: DeviceShapes, behind: tuple[Point, ...]) -> Box:
    """Return what has to be shown: depth from the front face (behind positive) across, y up."""
    thick, model = shapes.panel.thickness, device.device
    deepest = max((body.depth or 0.0) for _, body in device.bodies) if device.bodies else 0.0
    tail = (model.plug_room.depth or 0.0) if model.plug_room else 0.0
    far = max([depth for depth, _ in behind], default=max(UNKNOWN_DEPTH_MM, deepest + tail))
    near = max(model.front_height or 0.0, FRONT_MM)
    box = shapes.box
    return Box(-near, box.y0, thick + max(far, deepest + tail) + 10.0, box.y1)


def _choose(extent: Box, series: str) -> tuple[Sheet, float]:
    divisors = [float(d) for d in table()["scales"]["reduce"]]
    sheets = drawing_sheets(series)[1:]
    for paper in sheets:
        room = view_room(paper, _COLUMN_MM)
        for divisor in divisors:
            if extent.width / divisor <= room.width - 60 and extent.height / divisor <= room.height - 60:
                return paper, divisor
    return sheets[-1], divisors[-1]


def _section_items(shapes: PanelShapes, device: DeviceShapes, behind: tuple[Point, ...], place: View) -> list[Item]:
    thick, box, x = shapes.panel.thickness, shapes.box, device.at[0]
    items: list[Item] = []
    gaps = sorted(
        (hole.bounds().y0, hole.bounds().y1)
        for other in shapes.devices
        for hole in other.cutouts
        if hole.bounds().x0 < x < hole.bounds().x1
    )
    solids, low = [], box.y0
    for start, end in gaps:
        if start > low:
            solids.append((low, start))
        low = max(low, end)
    solids.append((low, box.y1))
    for path in (place.path(solid) for low_y, high_y in solids for solid in _solid(shapes, low_y, high_y, x)):
        items += [HatchPath(path, spacing_mm=1.2, turn_deg=45), StrokePath(path, pens.CUT)]
    for other in shapes.devices:
        face = other.face.bounds()
        if not face.x0 < x < face.x1:
            continue
        mine = other is device
        items += _device_items(other, thick, place, mine=mine)
    if len(behind) > 1:
        items.append(StrokePath(polyline_path([place.point((thick + depth, y)) for depth, y in behind]), pens.EDGE))
        spare = [place.point((thick + depth + 6.0, y)) for depth, y in reversed(behind)]
        hull = polyline_path([*(place.point((thick + depth, y)) for depth, y in behind), *spare], closed=True)
        items.append(HatchPath(hull, spacing_mm=2.0, turn_deg=-45))
    items.append(line(place.point((0.0, box.y0 - 8)), place.point((0.0, box.y1 + 8)), pens.HAIR))
    y = device.face.bounds().centre[1]
    items.append(line(place.point((-30.0, y)), place.point((thick + 60.0, y)), pens.CENTRE))
    return [Group(tuple(items), name="section", layer="section")]


def _solid(shapes: PanelShapes, low: float, high: float, x: float) -> Iterator[Path]:
    """Yield a solid stretch of the sheet in section, (depth, y), let back where a rebate is cut along this line."""
    thick, front = shapes.panel.thickness, [(0.0, low)]
    steps = sorted(
        (box.y0, box.y1, step.depth_mm)
        for step in rebates(shapes)
        if (box := step.path.bounds()).x0 < x < box.x1 and box.y1 > low and box.y0 < high
    )
    for begins, ends, depth in steps:
        start, end = max(begins, low), min(ends, high)
        front += [(0.0, start), (depth, start), (depth, end), (0.0, end)]
    front.append((0.0, high))
    corners = [point for at, point in enumerate(front) if at == 0 or point != front[at - 1]]
    if corners[1][1] == low:  # the rebate begins where the sheet does
        corners = corners[1:]
    if corners[-2][1] == high:
        corners = corners[:-1]
    if all(depth < thick for depth, _ in corners):
        yield polyline_path([*corners, (thick, high), (thick, low)], closed=True)


def _device_items(device: DeviceShapes, thick: float, place: View, *, mine: bool) -> list[Item]:
    items: list[Item] = []
    face, front = device.face.bounds(), device.device.front_height or 3.0
    sunk = device.device.rebate.depth if device.device.rebate else 0.0
    plate = box_path(place.box(Box(sunk - front, face.y0, sunk, face.y1)))
    pen = pens.CUT if mine else pens.ADJACENT
    if mine:
        items.append(FillPath(plate, colours.TINT))
    items.append(StrokePath(plate, pen))
    for path, body in device.bodies:
        if body.depth is None:
            continue
        bounds = path.bounds()
        start = 0.0 if body.from_depth == 0 else thick + body.from_depth
        shape = box_path(place.box(Box(start, bounds.y0, thick + body.depth, bounds.y1)))
        if mine:
            items.append(FillPath(shape, colours.TINT))
        items.append(StrokePath(shape, pen))
        tail = device.device.plug_room
        if tail and tail.depth:
            rear = thick + body.depth
            room = Box(rear, bounds.y0 - tail.below, rear + tail.depth, bounds.y1 + tail.above)
            items.append(StrokePath(box_path(place.box(room)), pens.BODY_PEN))
    for (_, y), terminal in device.terminals if mine else ():
        if terminal.depth is not None:
            x, at = place.point((thick + terminal.depth, y))
            items += [
                line((x - 1, at - 1), (x + 1, at + 1), pens.RULE_PEN),
                line((x - 1, at + 1), (x + 1, at - 1), pens.RULE_PEN),
            ]
    return items


def _heading(device: DeviceShapes, room: Box, divisor: float) -> Text:
    words = f"Section through {device.number}: {device.name}, 1:{divisor:g}, seen from the right, front at the left"
    return Text((room.x0, room.y1 - 8.0), words, 3.5, bold=True)


def _words(
    shapes: PanelShapes, device: DeviceShapes, behind: tuple[Point, ...], place: View, items: list[Item]
) -> list[Item]:
    """Return the dimensions below and left, and the names of what is cut."""
    thick, model, box, units = shapes.panel.thickness, device.device, device.face.bounds(), shapes.units
    edge = place.box(shapes.box)
    zero = place.point((0.0, 0.0))[0]
    depths = {"sheet": thick}
    for _, body in device.bodies:
        if body.depth is not None:
            depths["body"] = max(depths.get("body", 0.0), thick + body.depth)
    if model.plug_room and model.plug_room.depth and "body" in depths:
        depths["tail"] = depths["body"] + model.plug_room.depth
    least = least_free_mm(shapes.panel, device)
    if least is not None:
        depths["free"] = thick + round(least, 1)
    across = [
        Stop(at_mm=place.point((z, 0.0))[0], value_mm=z, from_mm=place.point((0, box.y0))[1], units=units)
        for z in depths.values()
    ]
    up = [
        Stop(at_mm=place.point((0.0, y))[1], value_mm=y - shapes.box.y0, units=units)
        for y in (box.y0, box.y1, shapes.box.y1)
    ]
    left = place.point((-(model.front_height or 3.0), 0.0))[0] - 2.0
    bands = [
        dimension_band(across, origin_mm=zero, side="below", edge_mm=edge.y0, low_mm=zero - 20, high_mm=zero + 200),
        dimension_band(
            up, origin_mm=edge.y0, side="left", edge_mm=left, low_mm=edge.y0 - 5, high_mm=edge.y1 + 5, style="running"
        ),
    ]
    added: list[Item] = [Group(band.items, name="dimensions", layer="dimension") for band in bands]
    wishes = [
        LabelWish(lines=(f"sheet {measure(thick, units)}",), at=place.point((thick / 2, shapes.box.y1)), clear_mm=3.0)
    ]
    wishes.append(LabelWish(lines=(device.name,), at=place.point((-(model.front_height or 3.0), box.y1)), clear_mm=3.0))
    if behind:
        depth, y = behind[len(behind) * 3 // 4]
        wishes.append(LabelWish(lines=("what lies behind",), at=place.point((thick + depth, y)), clear_mm=4.0))
    taken = [text_box(item) for item in scene_leaves([*items, *added]) if isinstance(item, Text)]
    lines, firm = (
        [s for item in scene_leaves(part) if isinstance(item, StrokePath) for s in strokes(item.path)]
        for part in (items, added)
    )
    placed, _ = place_labels(wishes, room=edge.grown(60.0), taken=taken, lines=lines, firm=firm)
    return [*added, *(item for label in placed for item in label.items())]


def _facts(shapes: PanelShapes, device: DeviceShapes, behind: tuple[Point, ...]) -> SceneTable:
    """Return what the section shows in numbers; what is not known says so."""
    model, units = device.device, shapes.units
    deepest = max((body.depth for _, body in device.bodies if body.depth is not None), default=None)
    unknown = any(body.depth is None for _, body in device.bodies)
    body = "not known" if deepest is None or unknown else measure(deepest, units)
    if model.mount == "surface" and not device.bodies:
        body = "none"
    tail = model.plug_room.depth if model.plug_room else None
    least = least_free_mm(shapes.panel, device)
    rows = [
        ("Sheet", f"{shapes.panel.material}, {measure(shapes.panel.thickness, units)}"),
        ("Stands out in front", "not known" if model.front_height is None else measure(model.front_height, units)),
        ("Body behind the sheet", body),
        ("Tail room behind it", "none" if body == "none" else "not known" if tail is None else measure(tail, units)),
        ("Least free depth under it", "not known" if least is None else measure(least, units)),
    ]
    if least is not None and deepest is not None and not unknown and tail is not None:
        rows.append(("Left over where that is", measure(least - deepest - tail, units)))
    if model.rebate is not None:
        left = shapes.panel.thickness - model.rebate.depth
        rows.insert(1, ("Rebate", f"{measure(model.rebate.depth, units)} deep, {measure(left, units)} left"))
    if not behind:
        rows.append(("What lies behind", "not known: state depth"))
    return SceneTable(
        columns=(SceneColumn(title="Section"), SceneColumn(title=device.name, most_mm=50.0)), rows=tuple(rows)
    )
