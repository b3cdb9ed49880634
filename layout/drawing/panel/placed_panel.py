"""A panel with its devices in place: every layer as paths in panel coordinates, seen from front or rear."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from layout.drawing.elements.numerals import Units, length_text
from layout.drawing.elements.scene import box_path
from layout.geometry.offset import CornerJoin, offset
from layout.geometry.path import Box, Path, Point
from layout.geometry.segment import turned_point
from layout.light_dataclass import dataclass
from layout.project.model.reserved_room import room_key, room_places

if TYPE_CHECKING:
    from collections.abc import Callable

    from layout.project.model.arrangement import Arrangement, Placed
    from layout.project.model.device import Behind, ClearAround, Device, Fixing, Terminal
    from layout.project.model.panel import NoGo, OldHole, Panel, Reserved
    from layout.project.model.project import Project

_ROW_MM = 25.0
"""Devices whose centres lie in the same stripe of this height are numbered from left to right."""

PanelSide = Literal["front", "rear"]


@dataclass(frozen=True, slots=True, kw_only=True)
class DeviceShapes:
    """One device in panel coordinates, mm.

    Attributes
    ----------
    number
        Position in reading order as seen from the front: rows from the top, each from the left.
    at
        The device's origin.
    rebate
        Outline of the step that the face is let into.
    tails
        Outline of each body with the side room that its plugs and cables need.
    """

    number: int
    device: Device
    at: Point
    turn: int
    face: Path
    cutouts: tuple[Path, ...] = ()
    rebate: Path | None = None
    fixings: tuple[tuple[Point, Fixing], ...] = ()
    bodies: tuple[tuple[Path, Behind], ...] = ()
    tails: tuple[Path, ...] = ()
    terminals: tuple[tuple[Point, Terminal], ...] = ()
    clear_around: tuple[tuple[Path, ClearAround], ...] = ()

    @property
    def name(self) -> str:
        """The name people read; the id where there is none."""
        return self.device.name or self.device.id


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelShapes:
    """One panel with what stands on it, as seen from ``side``.

    ``reserved`` holds each room at the place that is declared or that the arrangement gives it.
    Seen from the rear everything is mirrored about the panel's upright centre line, so the datum lies
    at the lower right. ``units`` are those in which a drawing prints lengths.
    """

    panel: Panel
    side: PanelSide
    outline: Path
    openings: tuple[Path, ...]
    no_go: tuple[tuple[Path, NoGo], ...]
    old_holes: tuple[tuple[Path, OldHole], ...]
    reserved: tuple[tuple[Path, Reserved], ...]
    devices: tuple[DeviceShapes, ...]
    units: Units = "mm"

    @property
    def name(self) -> str:
        """The panel's name; its id where there is none."""
        return self.panel.name or self.panel.id

    @property
    def box(self) -> Box:
        """Bounding box of the outline."""
        return self.outline.bounds()

    @property
    def datum(self) -> Point:
        """Where the datum lies as seen from this side."""
        box = self.box
        return (box.x0, box.y0) if self.side == "front" else (box.x1, box.y0)

    def coordinates(self, point: Point) -> Point:
        """Return X and Y of a point, measured from the datum (X to the right as seen from the front)."""
        x = point[0] - self.datum[0]
        return (x if self.side == "front" else -x, point[1] - self.datum[1])

    def mirrored(self) -> PanelShapes:
        """Return the panel as seen from the other side."""
        axis = self.box.centre[0]

        def flip(path: Path) -> Path:
            return path.mirrored_x(axis)

        def point(at: Point) -> Point:
            return (2 * axis - at[0], at[1])

        return replace(
            self,
            side="rear" if self.side == "front" else "front",
            outline=flip(self.outline),
            openings=tuple(flip(p) for p in self.openings),
            no_go=tuple((flip(p), k) for p, k in self.no_go),
            old_holes=tuple((flip(p), k) for p, k in self.old_holes),
            reserved=tuple((flip(p), r) for p, r in self.reserved),
            devices=tuple(_moved(d, flip, point) for d in self.devices),
        )


def at_words(shapes: PanelShapes, point: Point) -> str:
    """Return where a point lies, as a label says it: ``at X 120, Y 85``."""
    x, y = shapes.coordinates(point)
    return f"at X {length_text(x, shapes.units)}, Y {length_text(y, shapes.units)}"


def panel_shapes(project: Project, arrangement: Arrangement, panel_id: str) -> PanelShapes:
    """Return one panel of an arrangement, seen from the front.

    Devices without a position are left out: placing reports them.

    Raises
    ------
    KeyError
        The project has no such panel.
    """
    panel, rooms = project.panels[panel_id], room_places(project, arrangement)
    standing = [
        (project.devices[placed.device], placed)
        for placed in arrangement.placed.values()
        if placed.panel == panel_id and placed.device in project.devices
    ]
    standing.sort(key=lambda pair: (-round(pair[1].y / _ROW_MM), pair[1].x, pair[1].device))
    return PanelShapes(
        panel=panel,
        side="front",
        outline=panel.outline.to_path(),
        openings=tuple(shape.to_path() for shape in panel.holes),
        no_go=tuple((k.shape.to_path(), k) for k in panel.no_go.values()),
        old_holes=tuple((k.shape.to_path(), k) for k in panel.old_holes.values()),
        reserved=tuple(
            (_room((rooms[key].x, rooms[key].y), room.size), room)
            for name, room in panel.reserved.items()
            if (key := room_key(panel_id, name)) in rooms
        ),
        devices=tuple(device_shapes(device, at, number) for number, (device, at) in enumerate(standing, start=1)),
    )


def drawn_shapes(project: Project, arrangement: Arrangement, panel_id: str) -> PanelShapes:
    """Return one panel as :func:`panel_shapes` does, for a drawing that prints lengths as the project asks.

    Templates, tools and limits are in mm always.
    """
    return replace(panel_shapes(project, arrangement, panel_id), units=project.workshop.dimensions)


def device_shapes(device: Device, placed: Placed, number: int = 1) -> DeviceShapes:
    """Return a device's layers turned and moved to where it stands.

    Raises
    ------
    ValueError
        The device has no face, so it stands on no panel.
    """
    if device.face is None:
        raise ValueError(f"device {device.id!r} has no face, so it stands on no panel")

    def path(shape_path: Path) -> Path:
        return shape_path.turned(placed.turn).moved(placed.x, placed.y)

    def point(at: Point) -> Point:
        x, y = turned_point(at, placed.turn)
        return (x + placed.x, y + placed.y)

    bodies = tuple((path(body.shape.to_path()), body) for body in device.behind)
    return DeviceShapes(
        number=number,
        device=device,
        at=(placed.x, placed.y),
        turn=placed.turn,
        face=path(device.face.to_path()),
        cutouts=tuple(path(shape.to_path()) for shape in device.cutout),
        rebate=None if device.rebate is None else path(_rebate(device.face.to_path(), device.rebate.margin)),
        fixings=tuple((point(fixing.at), fixing) for fixing in device.fixings),
        bodies=bodies,
        tails=tuple(path(tail) for tail in _tails(device)),
        terminals=tuple((point(terminal.at), terminal) for terminal in device.terminals.values()),
        clear_around=tuple((path(zone.shape.to_path()), zone) for zone in device.clear_around),
    )


def _room(at: Point, size: tuple[float, float]) -> Path:
    return box_path(Box(at[0] - size[0] / 2, at[1] - size[1] / 2, at[0] + size[0] / 2, at[1] + size[1] / 2))


def _rebate(face: Path, margin_mm: float) -> Path:
    """Return a face grown by a margin; square corners stay square."""
    return offset(face, margin_mm, join=CornerJoin.MITRE)[0].outer if margin_mm else face


def _tails(device: Device) -> list[Path]:
    """Return the bodies' boxes grown by the side room of the tail, in the device's frame."""
    tail = device.plug_room
    if tail is None:
        return []
    grown = []
    for body in device.behind:
        box = body.shape.to_path().bounds()
        grown.append(Box(box.x0 - tail.left, box.y0 - tail.below, box.x1 + tail.right, box.y1 + tail.above))
    return [box_path(box) for box in grown]


def _moved(shapes: DeviceShapes, path: Callable[[Path], Path], point: Callable[[Point], Point]) -> DeviceShapes:
    return replace(
        shapes,
        at=point(shapes.at),
        face=path(shapes.face),
        cutouts=tuple(path(p) for p in shapes.cutouts),
        rebate=None if shapes.rebate is None else path(shapes.rebate),
        fixings=tuple((point(at), f) for at, f in shapes.fixings),
        bodies=tuple((path(p), b) for p, b in shapes.bodies),
        tails=tuple(path(p) for p in shapes.tails),
        terminals=tuple((point(at), t) for at, t in shapes.terminals),
        clear_around=tuple((path(p), k) for p, k in shapes.clear_around),
    )
