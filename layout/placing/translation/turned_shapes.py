"""A device as it stands at one turn: its layers as convex pieces about its position."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from layout.light_dataclass import dataclass
from layout.placing.translation.pieces import Piece, Rounding, box_piece
from layout.placing.translation.shape_pieces import pieces_of
from layout.project.model.device import PlugRoom
from layout.project.model.panel import Layer

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layout.geometry.box import Point
    from layout.project.model.device import Device, Turn
    from layout.project.model.shape import Dimensions

ENDLESS = math.inf
"""Depth of a body whose depth is not known: it is taken to reach everything."""


@dataclass(frozen=True, slots=True)
class SolidPiece:
    """A convex piece from ``low`` to ``high`` mm behind the sheet's rear face; ``own`` leaves the tail's depth out."""

    piece: Piece
    low: float
    high: float
    own: float

    def meets(self, other: SolidPiece) -> bool:
        """Say whether the two share depth."""
        return self.low < other.high and other.low < self.high


@dataclass(frozen=True, kw_only=True, eq=False)
class TurnedShapes:
    """One way a thing may stand; all pieces about its position. Each is its own: what is known of two is kept by them.

    Attributes
    ----------
    turn
        Degrees.
    face, cutouts, fixings
        Front and sheet; a fixing is its drill hole.
    bodies, bare
        Behind the sheet, with tail room in depth; with side tail room, and without.
    clear_front, clear_sheet, clear_rear
        Keep-clear zones by layer.
    front_height
        How far it stands out, mm; None is not known.
    """

    turn: Turn = 0
    face: tuple[Piece, ...] = ()
    cutouts: tuple[Piece, ...] = ()
    fixings: tuple[Piece, ...] = ()
    bodies: tuple[SolidPiece, ...] = ()
    bare: tuple[SolidPiece, ...] = ()
    clear_front: tuple[Piece, ...] = ()
    clear_sheet: tuple[Piece, ...] = ()
    clear_rear: tuple[SolidPiece, ...] = ()
    front_height: float | None = None
    shift: Point = (0.0, 0.0)

    def at(self, point: Point) -> Point:
        """Return where a point of the thing's own frame lies about the position, mm."""
        (x, y), (dx, dy) = Piece((point,)).turned(self.turn).points[0], self.shift
        return x + dx, y + dy

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Bounding box of the face about the position: x0, y0, x1, y1."""
        return bounds_of(self.face)

    @property
    def everything(self) -> tuple[Piece, ...]:
        """Face, cut-outs and bodies with tail room, as seen from the front."""
        return (*self.face, *self.cutouts, *(solid.piece for solid in self.bodies))


def bounds_of(pieces: Iterable[Piece]) -> tuple[float, float, float, float]:
    """Return the upright box around some pieces, at least one."""
    boxes = [piece.bounds for piece in pieces]
    return (
        min(box[0] for box in boxes),
        min(box[1] for box in boxes),
        max(box[2] for box in boxes),
        max(box[3] for box in boxes),
    )


@lru_cache(maxsize=2048)
def turned_shapes(device: Device, turn: Turn, side: Rounding, *, shift: Point = (0.0, 0.0)) -> TurnedShapes:
    """Return a device at a turn: the same each time, so that what is known of two holds in every project they are in.

    Parameters
    ----------
    shift
        Where its own origin lies off its position on the grid, mm (a pinned device that is not on the grid).
    """
    sheet = [piece for shape in device.cutout for piece in pieces_of(shape, side)]
    fixings = [Piece((fixing.at,), fixing.drill / 2) for fixing in device.fixings]
    clear = {layer: _clear(device, layer, side) for layer in (Layer.FRONT, Layer.SHEET, Layer.REAR)}

    def flat(pieces: Iterable[Piece]) -> tuple[Piece, ...]:
        return tuple(piece.turned(turn).moved(*shift) for piece in pieces)

    def deep(solids: Iterable[SolidPiece]) -> tuple[SolidPiece, ...]:
        return tuple(replace(solid, piece=solid.piece.turned(turn).moved(*shift)) for solid in solids)

    return _shared(
        turn=turn,
        face=flat(pieces_of(device.face, side) if device.face else ()),
        cutouts=flat(sheet),
        fixings=flat(fixings),
        bodies=deep(_bodies(device, side, roomy=True)),
        bare=deep(_bodies(device, side, roomy=False)),
        clear_front=flat(solid.piece for solid in clear[Layer.FRONT]),
        clear_sheet=flat(solid.piece for solid in clear[Layer.SHEET]),
        clear_rear=deep(clear[Layer.REAR]),
        front_height=device.front_height,
        shift=shift,
    )


@lru_cache(maxsize=2048)
def _shared(**shapes: Any) -> TurnedShapes:
    """Return the same object for the same shapes: of many devices of one kind two are worked out, not every pair."""
    return TurnedShapes(**shapes)


def room_shapes(size: Dimensions, layers: Iterable[Layer], depth_mm: float | None) -> TurnedShapes:
    """Return reserved room of a size as something that stands: a face, a cut-out and a body, as its layers say."""
    piece = box_piece(-size[0] / 2, -size[1] / 2, size[0] / 2, size[1] / 2)
    taken = set(layers)
    every = Layer.ALL in taken
    return TurnedShapes(
        face=(piece,) if every or Layer.FRONT in taken else (),
        cutouts=(piece,) if every or Layer.SHEET in taken else (),
        bodies=(SolidPiece(piece, 0.0, depth_mm or ENDLESS, depth_mm or ENDLESS),)
        if every or Layer.REAR in taken
        else (),
    )


def _bodies(device: Device, side: Rounding, *, roomy: bool) -> list[SolidPiece]:
    tail = device.plug_room or PlugRoom()
    found = []
    for body in device.behind:
        own = ENDLESS if body.depth is None else body.depth
        for bare in pieces_of(body.shape, side):
            wide = bare.widened(left=tail.left, right=tail.right, above=tail.above, below=tail.below)
            found.append(SolidPiece(wide if roomy else bare, body.from_depth, own + (tail.depth or 0.0), own))
    return found


def _clear(device: Device, layer: Layer, side: Rounding) -> list[SolidPiece]:
    found = []
    for zone in device.clear_around:
        if layer in zone.layer or Layer.ALL in zone.layer:
            high = ENDLESS if zone.depth is None else zone.depth
            found += [SolidPiece(piece, zone.from_depth, high, high) for piece in pieces_of(zone.shape, side)]
    return found
