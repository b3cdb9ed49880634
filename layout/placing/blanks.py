"""The largest free rectangles that an arrangement leaves, layer by layer."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from layout.light_dataclass import dataclass
from layout.placing.translation.ground import ground_of
from layout.placing.translation.pieces import Piece, Rounding
from layout.placing.translation.shape_pieces import area_of
from layout.placing.translation.turned_shapes import turned_shapes
from layout.project.model.panel import Layer
from layout.project.model.reserved_room import room_places, stand_ins

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from layout.placing.translation.turned_shapes import TurnedShapes
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.panel import Panel
    from layout.project.model.project import Project

LAYERS = (Layer.FRONT, Layer.SHEET, Layer.REAR)

_LEAST_MM = 20.0
"""Shorter side of a rectangle that is worth listing, mm."""

PIECE_CUTS = 8
"""Cuts across a round piece, so that what its corners leave free is found too."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FreeRectangle:
    """A free upright rectangle, in panel coordinates, mm. Gaps and edge distances are not taken off."""

    panel: str
    layer: Layer
    x0: float
    y0: float
    x1: float
    y1: float

    @property
    def width(self) -> float:
        """Size along x, mm."""
        return self.x1 - self.x0

    @property
    def height(self) -> float:
        """Size along y, mm."""
        return self.y1 - self.y0


def free_rectangles(project: Project, arrangement: Arrangement, *, each: int = 3) -> tuple[FreeRectangle, ...]:
    """Return the largest free rectangles of every panel and layer, largest first, that do not overlap each other.

    Front: free of faces, keep-clears, keep-outs and reserved room there. Sheet: free of cut-outs, fixing holes and
    openings. Rear: free of bodies with their tail room, whatever their depth.

    Parameters
    ----------
    each
        Most to list for a panel and layer.
    """
    found = []
    devices = {**project.devices, **stand_ins(project)}
    places = {**arrangement.placed, **room_places(project, arrangement)}
    for key, panel in project.panels.items():
        stands = [
            (turned_shapes(devices[name], one.turn, Rounding.SAFE), one.x, one.y)
            for name, one in places.items()
            if one.panel == key and name in devices
        ]
        for layer in LAYERS:
            found += _largest(panel, layer, _taken(panel, layer, stands), each)
    return tuple(found)


def _taken(panel: Panel, layer: Layer, stands: Iterable[tuple[TurnedShapes, float, float]]) -> list[Piece]:
    ground = ground_of(panel, Rounding.SAFE)
    zones = {Layer.FRONT: ground.front, Layer.SHEET: ground.sheet, Layer.REAR: ground.rear}[layer]
    pieces = [piece for zone in zones for piece in zone.pieces]
    pieces += ground.openings
    if layer is not Layer.FRONT:
        pieces += ground.outline.pockets
    for stand, x, y in stands:
        solids = {
            Layer.FRONT: (*stand.face, *stand.clear_front),
            Layer.SHEET: (*stand.cutouts, *stand.fixings, *stand.clear_sheet),
            Layer.REAR: tuple(solid.piece for solid in (*stand.bodies, *stand.clear_rear)),
        }[layer]
        pieces += [piece.moved(x, y) for piece in solids]
    return pieces


def _largest(panel: Panel, layer: Layer, taken: Sequence[Piece], each: int) -> list[FreeRectangle]:
    import numpy as np
    import shapely

    outline = area_of(panel.outline, Rounding.LOOSE)
    x0, y0, x1, y1 = outline.bounds
    areas = [_polygon(piece) for piece in taken]
    xs = _cuts((x0, x1), [cut for piece in taken for cut in _edges(piece, 0)], outline, 0)
    ys = _cuts((y0, y1), [cut for piece in taken for cut in _edges(piece, 1)], outline, 1)
    if len(xs) < 2 or len(ys) < 2:
        return []
    left, low = np.meshgrid(np.array(xs[:-1]), np.array(ys[:-1]))
    right, high = np.meshgrid(np.array(xs[1:]), np.array(ys[1:]))
    cells = shapely.box(left + EPS, low + EPS, right - EPS, high - EPS)
    free = shapely.covers(outline, cells)
    if areas:
        free &= ~shapely.intersects(shapely.union_all(areas), cells)
    found: list[FreeRectangle] = []
    while len(found) < each:
        best = _best(free, xs, ys)
        if best is None:
            break
        (i0, i1), (j0, j1) = best
        found.append(FreeRectangle(panel=panel.id, layer=layer, x0=xs[i0], y0=ys[j0], x1=xs[i1], y1=ys[j1]))
        free[j0:j1, i0:i1] = False
    return found


EPS = 1e-6
"""By how much a cell is shrunk before it is looked at, so that touching is free, mm."""


def _polygon(piece: Piece) -> Any:
    import shapely

    core: Any = shapely.MultiPoint(piece.points).convex_hull
    return shapely.buffer(core, piece.radius, quad_segs=16) if piece.radius else core


def _edges(piece: Piece, axis: int) -> list[float]:
    low, high = piece.bounds[axis], piece.bounds[axis + 2]
    cuts = [low, high, *(point[axis] for point in piece.points)]
    if piece.radius > PIECE_CUTS:
        cuts += [low + (high - low) * k / PIECE_CUTS for k in range(1, PIECE_CUTS)]
    return cuts


def _cuts(ends: tuple[float, float], cuts: Iterable[float], outline: Any, axis: int) -> list[float]:
    import shapely

    corners = shapely.get_coordinates(outline)[:, axis].tolist()
    inside = sorted({round(value, 4) for value in (*ends, *cuts, *corners) if ends[0] <= value <= ends[1]})
    return [value for k, value in enumerate(inside) if k == 0 or value - inside[k - 1] > 1e-3]


def _best(free: Any, xs: Sequence[float], ys: Sequence[float]) -> tuple[tuple[int, int], tuple[int, int]] | None:
    """Return the free rectangle of largest area as index ranges along x and y: bars over each row, grown upwards."""
    best, largest = None, 0.0
    rows, columns = free.shape
    bottoms = [0] * columns
    for j in range(rows):
        for i in range(columns):
            if not free[j, i]:
                bottoms[i] = j + 1
        stack: list[tuple[int, int]] = []
        for i in range(columns + 1):
            bottom = bottoms[i] if i < columns else j + 1
            start = i
            while stack and stack[-1][1] < bottom:
                start, under = stack.pop()
                width, height = xs[i] - xs[start], ys[j + 1] - ys[under]
                if min(width, height) >= _LEAST_MM and width * height > largest + EPS:
                    best, largest = ((start, i), (under, j + 1)), width * height
            if not stack or stack[-1][1] > bottom:
                stack.append((start, bottom))
    return best
