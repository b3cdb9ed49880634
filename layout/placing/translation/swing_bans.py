"""Where a hinged panel's parts would hit what stands still when the panel is opened.

In the plane square to the hinge pin the obstacle is turned back about the pin instead of turning the panel: it
sweeps an area that parts fixed to the panel may not enter. Coordinates there: ``s`` inwards from the pin,
``z`` towards the viewer from it.
"""

from __future__ import annotations

import math
from functools import cache
from typing import TYPE_CHECKING

from layout.placing.engine.problem import SCALE
from layout.placing.translation.pieces import FUZZ, Rounding, hull

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from layout.geometry.box import Point
    from layout.placing.engine.problem import HalfPlane
    from layout.placing.translation.turned_shapes import TurnedShapes
    from layout.project.model.panel import Obstacle, Panel

STEP_DEG = 0.5
"""Angle by which the sweep is cut; each cut is rounded to the declared side."""

CORNER = 16
"""Sides of the polygon that stands for a quarter round corner of the spare distance."""


class Swing:
    """What a panel's hinge forbids."""

    def __init__(self, panel: Panel, size: Point, *, spare_mm: float, side: Rounding) -> None:
        if panel.hinge is None:
            raise ValueError(f"panel {panel.id} has no hinge")
        self.hinge, self.size, self.side = panel.hinge, size, side
        self.thickness = panel.thickness
        self.upright = self.hinge.side in ("left", "right")
        self.swept = [
            (
                _along(obstacle, axis=1 if self.upright else 0),
                _sweep(self._section(obstacle), self.hinge.opens, spare_mm, side),
            )
            for obstacle in self.hinge.obstacles.values()
        ]

    def rows(self, stand: TurnedShapes) -> list[tuple[HalfPlane, ...]]:
        """Return rows of forbidden positions, in the panel's own steps."""
        back = -self.thickness
        solids = [(solid.piece.bounds, back - solid.high, back - solid.low) for solid in stand.bodies]
        solids += [(piece.bounds, 0.0, stand.front_height or 0.0) for piece in stand.face]
        found = []
        for bounds, low, high in solids:
            for along, area in self.swept:
                found += [self._box(bounds, along, hit) for hit in _project(area, self._z(low), self._z(high))]
        return found

    def _z(self, z: float) -> float:
        return max(z, -1e6) - self.hinge.pin[1]

    def _section(self, obstacle: Obstacle) -> tuple[float, float, float, float]:
        low, high = (obstacle.low[0], obstacle.high[0]) if self.upright else (obstacle.low[1], obstacle.high[1])
        s0, s1 = sorted((self._inward(low), self._inward(high)))
        return s0, self._z(obstacle.low[2]), s1, self._z(obstacle.high[2])

    def _inward(self, across: float) -> float:
        far = self.size[0] if self.upright else self.size[1]
        near = self.hinge.side in ("left", "bottom")
        return (across if near else far - across) + self.hinge.pin[0]

    def _box(
        self, bounds: tuple[float, float, float, float], along: tuple[float, float], hit: tuple[float, float]
    ) -> tuple[HalfPlane, ...]:
        """Return the positions at which a box about them meets both the hit stretch and the stretch along the pin."""
        far = self.size[0] if self.upright else self.size[1]
        near = self.hinge.side in ("left", "bottom")
        low, high = (h - self.hinge.pin[0] for h in hit)
        if not near:
            low, high = far - high, far - low
        x0, y0, x1, y1 = bounds
        if self.upright:
            limits = (low - x1, along[0] - y1, high - x0, along[1] - y0)
        else:
            limits = (along[0] - x1, low - y1, along[1] - x0, high - y0)
        left, bottom, right, top = limits
        return tuple(
            (a, b, math.ceil(SCALE * limit - FUZZ))
            for a, b, limit in ((1, 0, right), (-1, 0, -left), (0, 1, top), (0, -1, -bottom))
        )


def _along(obstacle: Obstacle, *, axis: int) -> tuple[float, float]:
    return obstacle.low[axis], obstacle.high[axis]


@cache
def _sweep(
    section: tuple[float, float, float, float], opens_deg: float, spare_mm: float, side: Rounding
) -> BaseGeometry:
    import shapely

    # The polygon of a round corner lies inside the true one; grown by the cosine it lies outside.
    reach = spare_mm / math.cos(math.pi / 4 / CORNER) if side is Rounding.SAFE else spare_mm
    grown = shapely.buffer(shapely.box(*section), reach, quad_segs=CORNER) if spare_mm else shapely.box(*section)
    corners = [(x, z) for x, z in shapely.get_coordinates(grown)[:-1].tolist()]
    count = math.ceil(opens_deg / STEP_DEG)
    step = math.radians(opens_deg / count)
    turned = [_turned(corners, -step * k, 1.0) for k in range(count + 1)]
    if side is Rounding.LOOSE:
        return shapely.union_all([shapely.Polygon(ring) for ring in turned])
    middles = [_turned(corners, -step * (k + 0.5), 1 / math.cos(step / 2)) for k in range(count)]
    parts = [
        shapely.Polygon(hull([*before, *middle, *after]))
        for before, middle, after in zip(turned, middles, turned[1:], strict=False)
    ]
    return shapely.union_all(parts)


def _turned(corners: list[Point], angle: float, scale: float) -> list[Point]:
    cos, sin = scale * math.cos(angle), scale * math.sin(angle)
    return [(cos * s - sin * z, sin * s + cos * z) for s, z in corners]


def _project(area: BaseGeometry, low: float, high: float) -> list[tuple[float, float]]:
    """Return the stretches of ``s`` that an area takes between two heights."""
    import shapely

    s0, z0, s1, z1 = area.bounds
    if low >= z1 or high <= z0:
        return []
    slab = shapely.box(s0 - 1, low, s1 + 1, max(high, low + 1e-6))
    found: list[tuple[float, float]] = []
    parts = [part.bounds for part in shapely.get_parts(area.intersection(slab)) if not part.is_empty]
    for left, _, right, _ in sorted(parts):
        if found and left <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], right))
        else:
            found.append((left, right))
    return found
