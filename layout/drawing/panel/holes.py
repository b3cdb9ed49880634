"""Every hole of a panel as data: mark, place, size, where the size comes from, and what is done already."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING, Literal

from layout.drawing.elements.numerals import Units, size
from layout.geometry.distance import contains_point
from layout.geometry.segment import Arc, Line
from layout.geometry.shapes import as_circle, circle
from layout.geometry.union import meeting, union
from layout.light_dataclass import dataclass
from layout.project.model.aboard import Existing
from layout.project.model.panel import SizeFrom

if TYPE_CHECKING:
    from layout.drawing.panel.placed_panel import DeviceShapes, PanelShapes
    from layout.geometry.path import Path, Point
    from layout.project.model.device import Device, Fixing
    from layout.project.model.shape import Shape, Tolerance

_Kind = Literal["round", "rectangle", "slot", "odd", "fixing", "opening"]


STRAIGHT_DEG = 1e-6
"""A shape that is turned by less than this off a quarter turn stands straight."""
CONFIRMED = frozenset({SizeFrom.MAKER, SizeFrom.MEASURED, SizeFrom.TRACED})
"""Where sizes come from that may be cut without a second look."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """One hole to be made, or made already.

    Attributes
    ----------
    mark
        What the drawing, the table and the work order call it: ``3`` for the cut-out of device 3, ``3.2``
        for its second cut-out (those that overlap are one), ``3a`` for its first fixing, ``P1`` for an opening of the
        panel itself.
    device, name
        Id and name of its device; of the panel for openings.
    at
        Centre, in the coordinates of the shapes it was read from.
    xy
        Centre from the datum, X to the right as seen from the front.
    diameter_mm
        Of a round hole, else None.
    size
        As printed: ``⌀52.4`` or ``92 × 45 R6``.
    corner_mm
        Corner radius of a rounded rectangle (0: sharp).
    confirmed
        Whether its size may be cut: stated by the maker, measured, or a value read in a standard.
    done
        It is in the sheet already and is not to be cut again.
    left_mm
        Thickness of the sheet at it, where a rebate leaves less than all.
    """

    mark: str
    device: str
    name: str
    kind: _Kind
    path: Path
    at: Point
    xy: Point
    size: str
    diameter_mm: float | None = None
    corner_mm: float = 0.0
    tolerance: Tolerance | None = None
    fixing: Fixing | None = None
    size_from: SizeFrom = SizeFrom.GUESSED
    confirmed: bool = False
    done: bool = False
    left_mm: float | None = None

    @property
    def use(self) -> str:
        """What the hole is for, in a word or two."""
        if self.fixing is not None:
            return f"{self.fixing.kind} {self.fixing.thread}".strip()
        return "opening" if self.kind == "opening" else "cut-out"


def holes(shapes: PanelShapes) -> tuple[Hole, ...]:
    """Return all holes of a panel: devices in their numbers' order, then the panel's own openings."""
    found: list[Hole] = []
    for device in shapes.devices:
        found += _of_device(shapes, device)
    for number, path in enumerate(shapes.openings, start=1):
        round_one = as_circle(path)
        at = round_one[0] if round_one else path.bounds().centre
        found.append(
            Hole(
                mark=f"P{number}",
                device=shapes.panel.id,
                name=shapes.name,
                kind="opening",
                path=path,
                at=at,
                xy=shapes.coordinates(at),
                size=size_text(path, shapes.units),
                diameter_mm=round_one[1] if round_one else None,
                size_from=SizeFrom.MAKER,
                confirmed=True,
                done=shapes.panel.work_state == "cut",
            )
        )
    return tuple(found)


def depth_text(hole: Hole, thickness_mm: float, units: Units = "mm") -> str:
    """Return how deep a hole goes: through the sheet, a pilot's depth, or that it is not stated."""
    fixing = hole.fixing
    deep = fixing.depth if fixing is not None else None
    if deep is not None and deep < thickness_mm:
        return f"{size('{}', deep, units=units)} deep"
    if fixing is not None and fixing.kind == "pilot" and deep is None:
        return "" if hole.done else "depth ?"
    return size("through {}", thickness_mm if hole.left_mm is None else hole.left_mm, units=units)


def is_confirmed(device: Device) -> bool:
    """Tell whether a device's sizes may be cut without a second look."""
    return device.size_from in CONFIRMED


def whence(size_from: SizeFrom) -> str:
    """Return in words where sizes come from."""
    return {
        SizeFrom.MAKER: "from the maker's drawing",
        SizeFrom.MEASURED: "measured",
        SizeFrom.TRACED: "traced from a picture",
        SizeFrom.GUESSED: "guessed",
        SizeFrom.CATALOGUE: "only from the catalogue",
    }[size_from]


def size_text(path: Path, units: Units = "mm") -> str:
    """Return the size of a closed path as printed: a circle's diameter, what a D is, else its box."""
    if round_one := as_circle(path):
        return size("⌀{}", round_one[1], units=units)
    box = path.bounds()
    arcs = [piece for piece in path.segments if isinstance(piece, Arc)]
    if len(path.segments) == 2 and len(arcs) == 1:
        flat = next(piece for piece in path.segments if not isinstance(piece, Arc))
        across = abs(arcs[0].radius + _off(flat, arcs[0].centre) * (1 if abs(arcs[0].sweep) > pi else -1))
        return size("D ⌀{}, {} over the flat", 2 * arcs[0].radius, across, units=units)
    return size("{} × {}", box.width, box.height, units=units)


def shape_text(shape: Shape, path: Path, turn_deg: float, units: Units = "mm") -> str:
    """Return the size of a shape as it was declared, with its angle where it stands askew; ``path`` is its outline."""
    sides = shape.rect or shape.slot
    if sides is None:
        return size_text(path, units)
    angle = (shape.turn + turn_deg) % 180
    wide, tall = (sides[1], sides[0]) if abs(angle - 90) < STRAIGHT_DEG else sides
    straight = min(angle, 180 - angle, abs(angle - 90)) < STRAIGHT_DEG
    if shape.radius and not shape.slot:
        written = size("{} × {} R{}", wide, tall, shape.radius, units=units)
    else:
        written = size("{} × {} slot" if shape.slot else "{} × {}", wide, tall, units=units)
    return written + ("" if straight else f" at {angle:g}°")


def _off(flat: Line, point: Point) -> float:
    """Return how far a point lies off the line of a flat."""
    ux, uy = flat.heading_at(0)
    return abs((point[0] - flat.start[0]) * uy - (point[1] - flat.start[1]) * ux)


def _of_device(shapes: PanelShapes, device: DeviceShapes) -> list[Hole]:
    model = device.device
    groups = meeting(device.cutouts)
    step, thick = device.rebate, shapes.panel.thickness - (model.rebate.depth if model.rebate else 0.0)
    done = model.work_state == "cut" or model.aboard is Existing.KEEP
    found = []
    for number, group in enumerate(groups, start=1):
        shape, path = model.cutout[group[0]], device.cutouts[group[0]]
        kind = _kind(shape)
        written = shape_text(shape, path, device.turn, shapes.units)
        if len(group) > 1:
            kind, path = "odd", union([device.cutouts[at] for at in group])[0].outer
            written = " and ".join(
                dict.fromkeys(
                    shape_text(model.cutout[at], device.cutouts[at], device.turn, shapes.units) for at in group
                )
            )
        round_one = as_circle(path)
        at = round_one[0] if round_one else path.bounds().centre
        corner = shape.radius if kind == "rectangle" else 0.0
        found.append(
            Hole(
                mark=f"{device.number}.{number}" if len(groups) > 1 else f"{device.number}",
                device=model.id,
                name=device.name,
                kind=kind,
                path=path,
                at=at,
                xy=shapes.coordinates(at),
                size=written,
                diameter_mm=round_one[1] if round_one else None,
                corner_mm=corner,
                tolerance=model.cutout_tolerance,
                size_from=model.size_from,
                confirmed=is_confirmed(model),
                done=done,
                left_mm=None if step is None else thick,
            )
        )
    for letter, (at, fixing) in zip(_letters(), device.fixings, strict=False):
        found.append(
            Hole(
                mark=f"{device.number}{letter}",
                device=model.id,
                name=device.name,
                kind="fixing",
                path=circle(fixing.drill, at=at),
                at=at,
                xy=shapes.coordinates(at),
                size=size("⌀{}", fixing.drill, units=shapes.units),
                diameter_mm=fixing.drill,
                fixing=fixing,
                size_from=model.size_from,
                confirmed=is_confirmed(model),
                done=done,
                left_mm=None if step is None or not contains_point(step, at) else thick,
            )
        )
    return found


def _kind(shape: Shape) -> _Kind:
    kinds: dict[str, _Kind] = {"circle": "round", "rect": "rectangle", "slot": "slot"}
    return kinds.get(shape.kind, "odd")


def _letters() -> list[str]:
    """Return a, b, ... z, aa, ab, ... without i, l and o, which read as figures."""
    single = list("abcdefghjkmnpqrstuvwxyz")
    return single + [a + b for a in single for b in single]
