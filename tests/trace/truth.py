"""Known shapes, and how far a traced one lies from them: worst deviation along the outline after rigid alignment."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely

from layout.geometry.shapes import circle, path_through, rectangle, slot

if TYPE_CHECKING:
    from layout.geometry.path import Path

SHAPES: dict[str, Path] = {
    "panel": path_through(
        [("corner", (0, 0), 15), ("corner", (800, 0), 30), ("corner", (900, 300), 0), ("corner", (700, 500), 60),
         ("corner", (0, 450), 8)]
    ),
    "plain": rectangle(900, 600, radius_mm=20),
    "arched": path_through(
        [("corner", (0, 0), 0), ("corner", (800, 0), 0), ("corner", (800, 400), 0), ("arc", (0, 400), (400, 480))]
    ),
    "stepped": path_through(
        [("corner", (0, 0), 15), ("corner", (800, 0), 15), ("corner", (800, 300), 15), ("corner", (400, 300), 25),
         ("corner", (400, 500), 15), ("corner", (0, 500), 15)]
    ),
    "radio": rectangle(182, 53, radius_mm=4),
    "gauge": circle(85),
    "slot": slot(120, 40),
}  # fmt: skip


def chain(path: Path, count: int = 400) -> np.ndarray:
    """Return evenly spaced points along a path."""
    ring = shapely.LinearRing(path.points(0.003))
    at = np.arange(count) / count * ring.length
    return shapely.get_coordinates(shapely.line_interpolate_point(ring, at))


def deviation_mm(found: Path, true: Path) -> float:
    """Return the worst distance between two outlines, either way, once one is laid over the other as well as can be."""
    ring = shapely.LinearRing(true.points(0.005))
    shapely.prepare(ring)
    whole = np.array(found.points(0.005))
    middle = (whole.max(axis=0) + whole.min(axis=0)) / 2
    starts = [(chain(found) - middle) @ spun(turn) + np.array(true.bounds().centre) for turn in (0, 90, 180, 270)]
    apart = [float(np.sum(shapely.distance(shapely.points(start), ring) ** 2)) for start in starts]
    first = starts[int(np.argmin(apart))]
    laid = laid_over(first, ring)
    spin, shift = rigid(chain(found), laid)
    there = shapely.distance(shapely.points(laid), ring).max()
    back = shapely.distance(shapely.points(chain(true)), shapely.LinearRing(whole @ spin + shift)).max()
    return float(max(there, back))


def spun(turn_deg: float) -> np.ndarray:
    """Return the matrix that turns rows counter-clockwise."""
    c, s = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    return np.array([[c, s], [-s, c]])


def rigid(points: np.ndarray, onto: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return turn and shift that bring points on to others one by one as well as can be (Kabsch 1976)."""
    a, b = points - points.mean(axis=0), onto - onto.mean(axis=0)
    u, _, vt = np.linalg.svd(a.T @ b)
    spin = u @ np.diag([1.0, np.sign(np.linalg.det(u @ vt))]) @ vt
    return spin, onto.mean(axis=0) - points.mean(axis=0) @ spin


def laid_over(points: np.ndarray, ring: shapely.LinearRing) -> np.ndarray:
    """Return points laid over an outline, nearest place by nearest place, until they lie still."""
    for _ in range(60):
        at = shapely.line_locate_point(ring, shapely.points(points))
        spin, shift = rigid(points, shapely.get_coordinates(shapely.line_interpolate_point(ring, at)))
        moved = points @ spin + shift
        still = np.abs(moved - points).max() < 1e-4
        points = moved
        if still:
            break
    return points
