"""A panel drawn at a scale: the lines and labels that front view, rear view and template share."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import hypot
from typing import TYPE_CHECKING

from layout.drawing.elements import colours, pens
from layout.drawing.elements.label_placing import LINE_PITCH_PER_CAP, LabelWish, label_size_mm
from layout.drawing.elements.metrics import width_mm, wrapped
from layout.drawing.elements.scene import FillPath, Group, HatchPath, Item, StrokePath, Text, line, scaled_path
from layout.drawing.panel.placed_panel import at_words
from layout.geometry.path import Arc, Box
from layout.geometry.shapes import as_circle
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Container, Iterable, Iterator

    from layout.drawing.elements.pens import Pen
    from layout.drawing.panel.holes import Hole
    from layout.drawing.panel.placed_panel import DeviceShapes, PanelShapes
    from layout.drawing.panel.rebates import SheetRebate
    from layout.geometry.path import Path, Point

CENTRE_MARK_MM = 2.0
"""How far the arms of a centre mark reach beyond their hole, on paper."""


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """Where a panel's coordinates come to lie on paper.

    Attributes
    ----------
    scale
        Paper mm per panel mm.
    at
        Where the panel's origin (its outline's lower left as drawn) lies on paper.
    """

    scale: float
    at: Point

    def point(self, point: Point) -> Point:
        """Return a panel point on paper."""
        return (point[0] * self.scale + self.at[0], point[1] * self.scale + self.at[1])

    def path(self, path: Path) -> Path:
        """Return a panel path on paper."""
        return scaled_path(path, self.scale).moved(*self.at)

    def box(self, box: Box) -> Box:
        """Return a panel box on paper."""
        return Box(*self.point((box.x0, box.y0)), *self.point((box.x1, box.y1)))


def strokes(path: Path) -> list[tuple[Point, Point]]:
    """Return a path as straight strokes, arcs as their chords to 0.2 mm, for labels to avoid."""
    chain: list[tuple[Point, Point]] = []
    for segment in path.segments:
        points = [*segment.points(0.2), segment.end] if isinstance(segment, Arc) else [segment.start, segment.end]
        chain += list(pairwise(points))
    return chain


def centre_mark(at: Point, reach_mm: float, pen: pens.Pen = pens.RULE_PEN) -> tuple[Item, ...]:
    """Return a cross of two strokes through a centre."""
    x, y = at
    return (line((x - reach_mm, y), (x + reach_mm, y), pen), line((x, y - reach_mm), (x, y + reach_mm), pen))


def background(shapes: PanelShapes, view: View) -> Group:
    """Return keep-outs, reserved rooms and old holes of the panel."""
    items: list[Item] = []
    for path, _ in shapes.no_go:
        shown = view.path(path)
        items += [
            HatchPath(shown, pens.coloured(pens.HATCH, colours.ALARM_PALE), spacing_mm=2.0),
            StrokePath(shown, pens.KEEP_OUT),
        ]
    items += [StrokePath(view.path(path), pens.ADJACENT) for path, _ in (*shapes.old_holes, *shapes.reserved)]
    return Group(tuple(items), name="keep-outs", layer="keep_out")


def outline(shapes: PanelShapes, view: View, pen: pens.Pen = pens.EDGE) -> Group:
    """Return the panel's outline and its own openings."""
    items: tuple[Item, ...] = (
        StrokePath(view.path(shapes.outline), pen),
        *(StrokePath(view.path(path), pens.CUT) for path in shapes.openings),
    )
    return Group(items, name="outline", layer="outline")


def faces(shapes: PanelShapes, view: View, *, tinted: bool = True) -> Group:
    """Return the devices' faces and the zones they keep clear in front."""
    items: list[Item] = []
    for device in shapes.devices:
        face = view.path(device.face)
        if tinted:
            items.append(FillPath(face, colours.TINT))
        items.append(StrokePath(face, pens.OUTLINE))
    for device in shapes.devices:
        items += [StrokePath(view.path(path), pens.ADJACENT) for path, _ in device.clear_around]
    return Group(tuple(items), name="faces", layer="face")


def _cut_into(cut: Hole | SheetRebate, path: Path, pen: Pen, *, spacing_mm: float) -> Iterator[Item]:
    """Yield the line of what is cut into the sheet, thin where it is there already; hatched where it must wait."""
    if not cut.confirmed and not cut.done:
        yield HatchPath(path, pens.coloured(pens.HATCH, colours.ALARM, width_mm=0.18), spacing_mm=spacing_mm)
    yield StrokePath(path, pens.ADJACENT if cut.done else pen)


def rebate_items(steps: Iterable[SheetRebate], view: View) -> Group:
    """Return the lines of rebates; those whose size is not confirmed are hatched as holes are."""
    items = [item for step in steps for item in _cut_into(step, view.path(step.path), pens.REBATE, spacing_mm=3.0)]
    return Group(tuple(items), name="rebates", layer="rebate")


def hole_items(holes: Iterable[Hole], view: View, *, mark_from_mm: float = 0.0) -> Group:
    """Return cut lines, centre marks and the hatching of what must not be cut yet.

    Parameters
    ----------
    mark_from_mm
        Holes smaller than this on paper get no centre mark.
    """
    items: list[Item] = []
    for hole in holes:
        path = view.path(hole.path)
        items += _cut_into(hole, path, pens.CUT, spacing_mm=1.5)
        box = path.bounds()
        if min(box.width, box.height) >= mark_from_mm:
            centre = view.point(hole.at)
            reach = CENTRE_MARK_MM if hole.diameter_mm is None else hole.diameter_mm * view.scale / 2 + CENTRE_MARK_MM
            items += centre_mark(centre, min(reach, 4.0) if hole.kind != "fixing" else reach, pens.HAIR)
    return Group(tuple(items), name="holes", layer="cut")


def name_wishes(shapes: PanelShapes, view: View, *, unsure: Container[str] = ()) -> list[LabelWish]:
    """Return the labels of a panel's devices, those that stand on their own face first.

    ``unsure`` are ids of devices that must not be cut yet, which is said in the label.
    """
    boxes = {device.number: view.box(device.face.bounds()) for device in shapes.devices}
    wishes = [
        replace(
            name_wish(device, view, more=("DO NOT CUT",) if device.device.id in unsure else ()),
            foreign=tuple(box for number, box in boxes.items() if number != device.number),
        )
        for device in shapes.devices
    ]
    return sorted(wishes, key=lambda wish: not wish.fits)


def name_wish(device: DeviceShapes, view: View, *, height_mm: float = 2.5, more: tuple[str, ...] = ()) -> LabelWish:
    """Return the label of a device: number and name, inside its cut-out (face, without one) or beside its face.

    Where that would stand in another's place, its number alone: the table of holes has the name.
    """
    box = view.box(device.face.bounds())
    number = f"{device.number}"
    full = f"{number}: {device.name}"
    room = max(device.cutouts or (device.face,), key=lambda path: path.bounds().width * path.bounds().height)
    clear = view.box(room.bounds())
    inside = _inside(full, more, height_mm, clear, is_round=as_circle(room) is not None)
    return LabelWish(
        lines=inside or (*wrapped(full, height_mm, 34.0), *more),
        at=clear.centre if inside else box.centre,
        height_mm=height_mm,
        clear_mm=0.0 if inside else min(box.width, box.height) / 2,
        others=() if inside else ((3.0, (*wrapped(full, height_mm, 20.0), *more)), (24.0, (number, *more))),
        on_point=bool(inside),
        fits=bool(inside),
        colour=colours.ALARM if more else colours.INK,
    )


def _inside(full: str, more: tuple[str, ...], height_mm: float, clear: Box, *, is_round: bool) -> tuple[str, ...]:
    """Return a name in as few lines as fit into its hole, in a round one every row by itself; nothing if none fit."""
    for share in (1.0, 0.85, 0.7, 0.55):
        lines = (*wrapped(full, height_mm, clear.width * share - 2), *more)
        wide, tall = label_size_mm(lines, height_mm)
        if wide > clear.width - 1 or tall > clear.height - 1:
            continue
        middle, pitch = (len(lines) - 1) / 2, LINE_PITCH_PER_CAP * height_mm
        ends = [hypot(width_mm(row, height_mm), 2 * abs(k - middle) * pitch + height_mm) for k, row in enumerate(lines)]
        if not is_round or max(ends) <= clear.width - 1:
            return lines
    return ()


def firm_strokes(shapes: PanelShapes, view: View) -> list[tuple[Point, Point]]:
    """Return the panel's outline and cut-outs as strokes that no label should interrupt."""
    paths = [shapes.outline, *(path for device in shapes.devices for path in device.cutouts)]
    return [stroke for path in paths for stroke in strokes(view.path(path))]


def keep_out_texts(shapes: PanelShapes, view: View, *, height_mm: float = 2.5) -> list[Text]:
    """Return the names of keep-outs that fit into their zones, along the longer side."""
    texts = []
    for path, keep_out in shapes.no_go:
        box, name = view.box(path.bounds()), keep_out.name or keep_out.kind
        if _fits_along(box, name, height_mm):
            turn = 90.0 if box.height > box.width else 0.0
            texts.append(Text(box.centre, name, height_mm, "centre", "middle", turn, colour=colours.ALARM, halo=True))
    return texts


def keep_out_wishes(shapes: PanelShapes, view: View, *, height_mm: float = 2.5) -> list[LabelWish]:
    """Return the labels of holes the sheet has already, and of keep-outs too small for their names."""
    wishes = []
    for path, keep_out in shapes.no_go:
        box = view.box(path.bounds())
        name = keep_out.name or keep_out.kind
        if _fits_along(box, name, height_mm):
            continue
        wishes.append(
            LabelWish(
                lines=(name,),
                at=box.centre,
                height_mm=height_mm,
                clear_mm=min(box.width, box.height) / 2,
                colour=colours.ALARM,
            )
        )
    for path, old in shapes.old_holes:
        box = view.box(path.bounds())
        lines = (old.name or "old hole", f"there already, {old.fate}")
        wishes.append(
            LabelWish(lines=lines, at=box.centre, height_mm=height_mm, clear_mm=box.height / 2, colour=colours.GREY)
        )
    for path, reserved in shapes.reserved:
        box = view.box(path.bounds())
        what = ("kept free:", reserved.name or reserved.id, at_words(shapes, path.bounds().centre))
        wishes.append(LabelWish(lines=what, at=box.centre, height_mm=height_mm, on_point=True, colour=colours.GREY))
    return wishes


def _fits_along(box: Box, name: str, height_mm: float) -> bool:
    long, short = max(box.width, box.height), min(box.width, box.height)
    return width_mm(name, height_mm) + 2.0 <= long and 1.2 * height_mm <= short
