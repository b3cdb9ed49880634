"""A panel as the solver sees it: a convex hull to stay in, and convex pieces to stay out of."""

from __future__ import annotations

import math
from functools import cache
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.translation.pieces import Piece, Rounding, hull
from layout.placing.translation.shape_pieces import ARC_MM, area_of, pieces_of, polygon_pieces
from layout.project.model.panel import Layer

if TYPE_CHECKING:
    from layout.geometry.box import Point
    from layout.project.model.panel import NoGo, Panel
    from layout.project.model.shape import Shape


@dataclass(frozen=True, slots=True)
class GroundZone:
    """Pieces of one zone of the panel; in the rear it lies between two depths, mm behind the sheet's rear face."""

    pieces: tuple[Piece, ...]
    rule: str
    low: float = 0.0
    high: float = math.inf


@dataclass(frozen=True, slots=True, kw_only=True)
class Area:
    """A closed shape: the corners of its convex hull, and the pieces of the hull that do not belong to it."""

    corners: tuple[Point, ...]
    pockets: tuple[Piece, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """What the sheet is and what lies on it, in panel coordinates, mm.

    Attributes
    ----------
    outline, openings
        The sheet, and the holes in it that stay.
    front, sheet, rear
        Zones that faces, cut-outs with fixing holes, and bodies stay out of.
    """

    outline: Area
    openings: tuple[Piece, ...]
    front: tuple[GroundZone, ...]
    sheet: tuple[GroundZone, ...]
    rear: tuple[GroundZone, ...]


def ground_of(panel: Panel, side: Rounding) -> Ground:
    """Return a panel's ground, rounded to a side."""
    openings = [*panel.holes, *(old.shape for old in panel.old_holes.values() if old.fate == "open")]
    zones: dict[Layer, list[GroundZone]] = {Layer.FRONT: [], Layer.SHEET: [], Layer.REAR: []}
    for keep_out in panel.no_go.values():
        zone = GroundZone(pieces_of(keep_out.shape, side), "keep-out", keep_out.from_depth)
        for layer in _layers(keep_out):
            zones[layer].append(zone)
    return Ground(
        outline=area_pieces(panel.outline, side),
        openings=tuple(piece for shape in openings for piece in pieces_of(shape, side)),
        front=tuple(zones[Layer.FRONT]),
        sheet=tuple(zones[Layer.SHEET]),
        rear=tuple(zones[Layer.REAR]),
    )


def _layers(keep_out: NoGo) -> list[Layer]:
    taken = set(keep_out.layer) | ({Layer.SHEET} if keep_out.kind == "batten" else set())
    return [layer for layer in (Layer.FRONT, Layer.SHEET, Layer.REAR) if layer in taken or Layer.ALL in taken]


@cache
def area_pieces(shape: Shape, side: Rounding) -> Area:
    """Return a shape to stay in: within the true one for the safe side, around it for the loose side."""
    import shapely

    polygon = area_of(shape, Rounding.LOOSE if side is Rounding.SAFE else Rounding.SAFE, 2 * ARC_MM)
    corners = hull((round(x, 9), round(y, 9)) for x, y in shapely.get_coordinates(polygon).tolist())
    missing = shapely.Polygon(corners).difference(polygon)
    return Area(corners=corners, pockets=() if missing.area < 1e-6 else polygon_pieces(missing))
