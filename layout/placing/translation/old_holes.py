"""Old holes: kept under a face, under a blank, or clear of new cuts."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from layout.placing.engine.problem import SCALE
from layout.placing.translation.pieces import FUZZ, Piece, Rounding, apart_rows, box_piece, fan, hull, normal
from layout.placing.translation.shape_pieces import pieces_of
from layout.placing.translation.turned_shapes import bounds_of

if TYPE_CHECKING:
    from layout.placing.engine.problem import HalfPlane
    from layout.placing.translation.site import Ban
    from layout.placing.translation.turned_shapes import TurnedShapes
    from layout.project.model.panel import OldHole, Panel

OLD_HOLE_SIDES = 24
"""Corners of the polygon that stands for a round edge of a covering face."""


def blank_of(old: OldHole, web_mm: float, side: Rounding) -> tuple[Piece, ...]:
    """Return the plate that blanks an old hole: its declared size about the hole's middle, else the hole and a web."""
    hole = pieces_of(old.shape, side)
    if old.blank is None:
        return tuple(piece.grown(web_mm) for piece in hole)
    x0, y0, x1, y1 = bounds_of(hole)
    x, y, half_w, half_h = (x0 + x1) / 2, (y0 + y1) / 2, old.blank[0] / 2, old.blank[1] / 2
    return (box_piece(x - half_w, y - half_h, x + half_w, y + half_h),)


def hides_hole(old: OldHole, stand: TurnedShapes, side: Rounding) -> list[tuple[HalfPlane, ...]]:
    """Return sets of rows ``a*x + b*y <= c`` in each of which a face hides a whole hole.

    For the safe side it surely does, for the loose side it may. A face of several pieces surely hides a hole only
    under one of them.
    """
    hole = pieces_of(old.shape, side)
    faces = stand.face
    if side is Rounding.LOOSE and len(faces) > 1:
        faces = (Piece(hull(point for piece in faces for point in _corners(piece, side))),)
    found = []
    for face in faces:
        rows = []
        for a, b, reach in _sides(face, side):
            need = max(piece.reach(a, b) for piece in hole)
            limit = SCALE * (reach - need)
            # -n.p <= reach of the face - reach of the hole
            rows.append((-a, -b, math.floor(limit + FUZZ)))
        if all(_open(rows, a, b) for a, b in ((1, 0), (0, 1))):
            found.append(tuple(rows))
    return found


def _open(rows: list[HalfPlane], a: int, b: int) -> bool:
    """Say whether some position is left between the two rows of an axis, where both are there."""
    high = [c for p, q, c in rows if (p, q) == (a, b)]
    low = [c for p, q, c in rows if (p, q) == (-a, -b)]
    return not (high and low and high[0] + low[0] < 0)


def _sides(face: Piece, side: Rounding) -> list[tuple[int, int, float]]:
    """Return directions with how far the face reaches there: sides of a polygon inside it, or tangents to it."""
    if side is Rounding.LOOSE:
        return [(a, b, face.reach(a, b)) for a, b in fan(OLD_HOLE_SIDES)]
    corners = _corners(face, side)
    found = []
    for (x0, y0), (x1, y1) in zip(corners, (*corners[1:], corners[0]), strict=True):
        a, b = normal(y1 - y0, x0 - x1)
        found.append((a, b, min(a * x0 + b * y0, a * x1 + b * y1)))
    return found


def _corners(face: Piece, side: Rounding) -> tuple[tuple[float, float], ...]:
    if face.radius == 0:
        return face.points
    reach = face.radius if side is Rounding.SAFE else face.radius / math.cos(math.pi / OLD_HOLE_SIDES)
    arms = [
        (reach * math.cos(math.tau * k / OLD_HOLE_SIDES), reach * math.sin(math.tau * k / OLD_HOLE_SIDES))
        for k in range(OLD_HOLE_SIDES)
    ]
    return hull((x + ax, y + ay) for x, y in face.points for ax, ay in arms)


def bans(panel: Panel, stand: TurnedShapes, *, web_mm: float, plate_web_mm: float, side: Rounding) -> tuple[Ban, ...]:
    """Return where a thing may not stand because of old holes that are covered or blanked, in the panel's own steps.

    ``web_mm`` is the device's own web, ``plate_web_mm`` the rules'. A covered hole keeps off the cut-outs of
    everything but the face that hides it.
    """
    found: list[Ban] = []
    for old in panel.old_holes.values():
        hole = pieces_of(old.shape, side)
        if old.fate == "blank":
            plate = blank_of(old, plate_web_mm, side)
            found += [(apart_rows(part, piece, 0.0, side), "old-hole-hidden") for part in plate for piece in stand.face]
        if old.fate in ("cover", "blank"):
            near = [apart_rows(h, piece, web_mm, side) for h in hole for piece in stand.cutouts]
            hidden = hides_hole(old, stand, side) if old.fate == "cover" else []
            found += [(rows, "old-hole-hidden") for rows in _less(near, hidden)]
    return tuple((rows, rule) for rows, rule in found if rows)


def _less(near: list[tuple[HalfPlane, ...]], hidden: list[tuple[HalfPlane, ...]]) -> list[tuple[HalfPlane, ...]]:
    """Return the forbidden sets without the positions that hide the hole, as convex pieces that may overlap."""
    for cover in hidden:
        near = [(*rows, (-a, -b, -c)) for rows in near if rows for a, b, c in cover]
    return near
