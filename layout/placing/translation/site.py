"""Where one thing may stand on one panel, the others aside."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.translation.pieces import Piece, Rounding, apart_rows, covered, inside_rows
from layout.placing.translation.shallow import shallow
from layout.placing.translation.turned_shapes import ENDLESS

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from layout.placing.engine.problem import HalfPlane
    from layout.placing.translation.ground import Area, Ground, GroundZone
    from layout.placing.translation.swing_bans import Swing
    from layout.placing.translation.turned_shapes import TurnedShapes
    from layout.project.model.panel import Compass, Panel

Ban = tuple[tuple["HalfPlane", ...], str]
"""Rows of forbidden positions, and the rule."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Margins:
    """What a thing keeps from its panel, mm: face and cut-out from the edge, material round a fixing, spare depth."""

    edge: float
    web: float
    fixing: float
    depth_spare: float
    compass: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AllowedSite:
    """Where a thing may stand: inside all rows, and not strictly inside any ban; in the panel's own steps."""

    rows: tuple[HalfPlane, ...]
    bans: tuple[Ban, ...]


def site(
    stand: TurnedShapes, panel: Panel, ground: Ground, *, margins: Margins, swing: Swing | None, side: Rounding
) -> AllowedSite | str:
    """Return where a thing may stand, or the name of the rule that keeps it off the whole panel."""
    if panel.front_room is not None and (stand.front_height or 0.0) > panel.front_room:
        return "front-in-room"
    bans: list[tuple[Piece, Piece, float, str]] = []
    rows: list[HalfPlane] = []
    for pieces, margin, rule in (
        (stand.face, margins.edge, "face-in-panel"),
        (stand.cutouts, margins.web, "cut-out-to-edge"),
        (stand.fixings, margins.fixing, "fixing-in-solid"),
    ):
        for piece in pieces:
            rows += inside_rows(ground.outline.corners, piece, margin_mm=margin, side=side)
            bans += [(hole, piece, margin, rule) for hole in (*ground.outline.pockets, *ground.openings)]
    bans += _zones(ground.front, stand.face)
    bans += _zones(ground.sheet, (*stand.cutouts, *stand.fixings))
    for solid in stand.bodies:
        bans += _zones(
            (zone for zone in ground.rear if zone.low < solid.high and solid.low < zone.high), (solid.piece,)
        )
        if solid.high < ENDLESS:
            found = shallow(panel, solid.high + margins.depth_spare, side)
            if found is None:
                return "body-in-depth"
            bans += [(piece, solid.piece, 0.0, "body-in-depth") for piece in found]
    if margins.compass is not None:
        for compass in panel.compasses.values():
            bans += list(_magnetic(stand, panel, compass, margins.compass))
    swept = swing.rows(stand) if swing else []
    return AllowedSite(rows=_tightest(rows), bans=(*_bans(bans, side), *((rows, "hinge-swing") for rows in swept)))


def inside_area(area: Area, stand: TurnedShapes, side: Rounding) -> AllowedSite:
    """Return where the face lies inside an area."""
    rows = [row for piece in stand.face for row in inside_rows(area.corners, piece, margin_mm=0.0, side=side)]
    bans = [(pocket, piece, 0.0, "relation") for piece in stand.face for pocket in area.pockets]
    return AllowedSite(rows=_tightest(rows), bans=_bans(bans, side))


def _tightest(rows: Iterable[HalfPlane]) -> tuple[HalfPlane, ...]:
    least: dict[tuple[int, int], int] = {}
    for a, b, c in rows:
        least[(a, b)] = min(c, least.get((a, b), c))
    return tuple((a, b, c) for (a, b), c in least.items())


def _zones(zones: Iterable[GroundZone], pieces: Iterable[Piece]) -> list[tuple[Piece, Piece, float, str]]:
    taken = tuple(pieces)
    return [(fixed, piece, 0.0, zone.rule) for zone in zones for fixed in zone.pieces for piece in taken]


def _magnetic(
    stand: TurnedShapes, panel: Panel, compass: Compass, safe_mm: float
) -> Iterator[tuple[Piece, Piece, float, str]]:
    x, y, z = compass.at
    parts = [(piece, 0.0, stand.front_height or 0.0) for piece in stand.face]
    parts += [(s.piece, -panel.thickness - s.own, -panel.thickness - s.low) for s in stand.bare]
    for piece, low, high in parts:
        off = max(low - z, z - high, 0.0)
        if off < safe_mm:
            yield Piece(((x, y),), math.sqrt(safe_mm**2 - off**2)), piece, 0.0, "compass-safe"


def _bans(found: Iterable[tuple[Piece, Piece, float, str]], side: Rounding) -> tuple[Ban, ...]:
    kept: list[tuple[tuple[HalfPlane, ...], tuple[Piece, Piece, float, str]]] = []
    for ban in found:
        fixed, piece, gap_mm, _ = ban
        if any(covered(rows, fixed, piece, gap_mm) for rows, _ in kept):
            continue
        rows = apart_rows(fixed, piece, gap_mm, side)
        if rows:
            kept.append((rows, ban))
    return tuple((rows, ban[3]) for rows, ban in kept)
