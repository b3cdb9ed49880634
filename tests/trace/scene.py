"""Photographs made up from known panels, holes, sheets and cameras, with what spoils real ones.

Written without a look at how tracing models a camera: projection is OpenCV's, edges are covered by exact distances.
Not made up here: tone mapping, correction of the lens in the telephone, refocusing, chamfered edges, colour.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from functools import cache
from typing import TYPE_CHECKING

import cv2
import numpy as np
from scipy.interpolate import RectBivariateSpline
from scipy.spatial import cKDTree

from layout.trace.marks import CELL_MM, CELLS, is_dark, marks_of

if TYPE_CHECKING:
    from layout.geometry.path import Path

SHEET_PX_MM = 8
"""Pixels to the millimetre of the printed sheet's own picture."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Camera:
    """Where a camera stands and how it draws; pixels for a picture ``width`` wide."""

    width: int
    height: int
    focal_px: float
    centre: tuple[float, float]
    bend: tuple[float, float, float]
    turn: np.ndarray
    shift: np.ndarray

    @property
    def matrix(self) -> np.ndarray:
        """Return the camera's matrix."""
        return np.array([[self.focal_px, 0, self.centre[0]], [0, self.focal_px, self.centre[1]], [0, 0, 1.0]])

    def seen(self, points: np.ndarray) -> np.ndarray:
        """Return the pixels of points (rows of x, y, z in mm)."""
        k1, k2, k3 = self.bend
        rows, _ = cv2.projectPoints(
            points.astype(np.float64),
            cv2.Rodrigues(self.turn)[0],
            self.shift,
            self.matrix,
            np.array([k1, k2, 0, 0, k3]),
        )
        return rows[:, 0]


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """A sheet as it lies: its middle, turn, and how its middle bows up, mm."""

    number: int
    x: float
    y: float
    turn: float
    bow: tuple[float, float] = (0.0, 0.0)

    def at(self, local: np.ndarray) -> np.ndarray:
        """Return points of the sheet (rows) in the scene."""
        c, s = math.cos(self.turn), math.sin(self.turn)
        flat = local @ np.array([[c, s], [-s, c]]) + np.array([self.x, self.y])
        up = self.bow[0] * (1 - (local[:, 0] / 105) ** 2) + self.bow[1] * (1 - (local[:, 1] / 148) ** 2)
        return np.column_stack([flat, up])


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """What is photographed.

    Attributes
    ----------
    path
        True outline in the scene, mm; the marks lie at z = 0.
    thick_mm
        The face of a panel stands so high; the wall of a hole goes so deep.
    hole
        Whether it is a hole in the face that the marks lie on.
    face, ground, wall
        Brightness in linear light; ``ground`` is what is seen through a hole.
    print_scale
        Across and up.
    """

    path: Path
    thick_mm: float
    hole: bool
    sheets: tuple[Laid, ...]
    print_scale: tuple[float, float] = (1.0, 1.0)
    face: float = 0.5
    ground: float = 0.12
    wall: float = 0.25
    grain: float = 0.03
    cameras: tuple[Camera, ...] = ()
    covered: tuple[tuple[float, float, float, float], ...] = field(default=())
    """Boxes that lie over the edge: x0, y0, x1, y1."""

    @property
    def edge_mm(self) -> float:
        """How far the edge stands above the marks."""
        return 0.0 if self.hole else self.thick_mm

    def distance_mm(self, first: int, second: int) -> float:
        """Return the distance between the crosses of two sheets."""
        at = {sheet.number: sheet.at(np.zeros((1, 2)))[0] for sheet in self.sheets}
        return float(np.linalg.norm(at[first] - at[second]))


@dataclass(frozen=True, slots=True, kw_only=True)
class Spoil:
    """What the lens, the light and the telephone do to a picture; for one 4000 pixels wide."""

    blur_px: float = 0.9
    noise: float = 0.006
    sharpen: float = 0.5
    quality: int = 90
    light: float = 0.35
    shadow: float = 0.25


def photographed(scene: Scene, camera: Camera, spoil: Spoil, rng: np.random.Generator) -> np.ndarray:
    """Return the picture as a telephone stores it: blue, green, red, 0 to 255."""
    light = _painted(scene, camera, spoil, rng)
    light = cv2.GaussianBlur(light, (0, 0), spoil.blur_px * max(camera.width / 4000, 0.6))
    noise = rng.standard_normal(light.shape, dtype=np.float32)
    light = light + noise * (spoil.noise * np.sqrt(np.maximum(light, 0.02)) * 1.4)
    light = np.clip(light, 0, 1)
    stored = np.where(light <= 0.0031308, light * 12.92, 1.055 * np.power(np.maximum(light, 1e-6), 1 / 2.4) - 0.055)
    if spoil.sharpen:
        stored = stored + spoil.sharpen * (stored - cv2.GaussianBlur(stored, (0, 0), 1.2))
    grey = np.clip(stored * 255 + 0.5, 0, 255).astype(np.uint8)
    colour = cv2.cvtColor(grey, cv2.COLOR_GRAY2BGR)
    return cv2.imdecode(cv2.imencode(".jpg", colour, [cv2.IMWRITE_JPEG_QUALITY, spoil.quality])[1], cv2.IMREAD_COLOR)


def _painted(scene: Scene, camera: Camera, spoil: Spoil, rng: np.random.Generator) -> np.ndarray:
    size = (camera.height, camera.width)
    rough = _texture(size, rng)
    under = scene.face if scene.hole else scene.ground
    light = under * (1 + scene.grain * rough)
    for sheet in scene.sheets:
        light = _with_sheet(light, scene, sheet, camera)
    outline = np.array(scene.path.points(0.01))
    if scene.hole:
        front = _cover(outline, 0.0, camera)
        through = front.copy()
        for depth in np.arange(1.5, scene.thick_mm + 1.5, 1.5):
            through = np.minimum(through, _cover(outline, -min(depth, scene.thick_mm), camera))
        inner = scene.wall * (1 - through) + scene.ground * through
        light = light * (1 - front) + inner * front
    else:
        cast = _cover(outline + np.array([0.6, -0.8]) * scene.thick_mm, 0.0, camera)
        light = light * (1 - spoil.shadow * cv2.GaussianBlur(cast, (0, 0), 6 * camera.width / 4000))
        for height in np.arange(0, scene.thick_mm, 1.5):
            side = _cover(outline, float(height), camera)
            light = light * (1 - side) + scene.wall * side
        face = _cover(outline, scene.thick_mm, camera)
        light = light * (1 - face) + scene.face * (1 + scene.grain * _texture(size, rng)) * face
    for x0, y0, x1, y1 in scene.covered:
        over = _cover(np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]]), scene.edge_mm + 1, camera)
        light = light * (1 - over) + 0.3 * over
    return (light * _lit(size, spoil, rng)).astype(np.float32)


def _texture(size: tuple[int, int], rng: np.random.Generator) -> np.ndarray:
    total = np.zeros(size, np.float32)
    for cells, weight in ((6, 0.6), (30, 0.4), (250, 0.4), (1200, 0.3)):
        small = rng.standard_normal((max(2, cells * size[0] // size[1]), cells), dtype=np.float32)
        total += weight * cv2.resize(small, (size[1], size[0]), interpolation=cv2.INTER_CUBIC)
    return total


def _lit(size: tuple[int, int], spoil: Spoil, rng: np.random.Generator) -> np.ndarray:
    y, x = np.mgrid[-1 : 1 : size[0] * 1j, -1 : 1 : size[1] * 1j].astype(np.float32)
    slope = rng.uniform(-1, 1, 2)
    slope *= spoil.light / max(float(np.hypot(*slope)), 1e-6)
    even = 1 + slope[0] * x * 0.6 + slope[1] * y * 0.6
    angle, at, soft = rng.uniform(0, 2 * math.pi), rng.uniform(-0.4, 0.4), rng.uniform(0.15, 0.4)
    dim = 1 - spoil.light * 0.5 / (1 + np.exp(-(x * math.cos(angle) + y * math.sin(angle) - at) / soft))
    return even * dim * (1 - 0.18 * (x * x + y * y) / 2)


def _cover(outline: np.ndarray, z: float, camera: Camera) -> np.ndarray:
    """Return which share of each pixel lies inside an outline at a height."""
    dense = _fine(outline, 3.0)  # a straight edge is bent by the lens
    seen = _fine(camera.seen(np.column_stack([dense, np.full(len(dense), z)])))
    cover = np.zeros((camera.height, camera.width), np.float32)
    cv2.fillPoly(cover, [np.round(seen).astype(np.int32)], 1.0)
    band = np.zeros(cover.shape, np.uint8)
    cv2.polylines(band, [np.round(seen).astype(np.int32)], True, 1, 5)
    rows, columns = np.nonzero(band)
    px = np.column_stack([columns, rows]).astype(np.float64)
    _, nearest = cKDTree(seen).query(px)
    along = np.roll(seen, -1, axis=0) - np.roll(seen, 1, axis=0)
    along /= np.hypot(*along.T)[:, None]
    to = px - seen[nearest]
    left = along[nearest, 0] * to[:, 1] - along[nearest, 1] * to[:, 0]
    way = np.sign((seen[:, 0] * np.roll(seen[:, 1], -1) - seen[:, 1] * np.roll(seen[:, 0], -1)).sum())
    cover[rows, columns] = np.clip(0.5 + way * left, 0, 1)
    return cover


def _fine(chain: np.ndarray, step: float = 0.25) -> np.ndarray:
    """Return a closed chain with its own points and more between, at most a step (a quarter of a pixel) apart."""
    closed = np.vstack([chain, chain[:1]])
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))])
    at = np.unique(np.concatenate([np.arange(0, run[-1], step), run[:-1]]))
    return np.stack([np.interp(at, run, closed[:, 0]), np.interp(at, run, closed[:, 1])], axis=1)


@cache
def sheet_picture(number: int) -> np.ndarray:
    """Return a printed sheet, white 0.85, ink 0.04, with bars and words."""
    wide, tall = 210 * SHEET_PX_MM, 297 * SHEET_PX_MM
    paper = np.full((tall, wide), 0.85, np.float32)
    for mark in marks_of(number):
        left, top = mark.corners()[0]
        for row, cells in enumerate(is_dark(mark.number)):
            for column, dark in enumerate(cells):
                if dark:
                    x = round((left + column * CELL_MM + 105) * SHEET_PX_MM)
                    y = round((148.5 - top + row * CELL_MM) * SHEET_PX_MM)
                    paper[y : y + round(CELL_MM) * SHEET_PX_MM, x : x + round(CELL_MM) * SHEET_PX_MM] = 0.04
    assert CELLS == 7
    words = np.zeros(paper.shape, np.uint8)
    cv2.putText(words, f"{number}  Sheet with marks", (110, 800), cv2.FONT_HERSHEY_SIMPLEX, 3.0, 255, 8)
    paper[words > 0] = 0.04
    cv2.line(paper, (wide // 2 - 100, tall // 2), (wide // 2 + 100, tall // 2), 0.3, 2)
    cv2.line(paper, (wide // 2, tall // 2 - 100), (wide // 2, tall // 2 + 100), 0.3, 2)
    return cv2.GaussianBlur(paper, (0, 0), 0.1 * SHEET_PX_MM)


def _with_sheet(light: np.ndarray, scene: Scene, sheet: Laid, camera: Camera) -> np.ndarray:
    paper = sheet_picture(sheet.number)
    half = np.array([105.0, 148.5])
    u, v = np.meshgrid(np.linspace(-half[0], half[0], 22), np.linspace(-half[1], half[1], 31))
    seen = camera.seen(sheet.at(np.column_stack([u.ravel(), v.ravel()])))
    x0, y0 = np.maximum(np.floor(seen.min(axis=0)).astype(int) - 3, 0)
    x1, y1 = np.minimum(np.ceil(seen.max(axis=0)).astype(int) + 4, [camera.width, camera.height])
    if x0 >= x1 or y0 >= y1:
        return light
    shape = (y1 - y0, x1 - x0)
    coarse_y, coarse_x = np.arange(y0, y1 + 16, 16.0), np.arange(x0, x1 + 16, 16.0)
    px = np.stack(np.meshgrid(coarse_x, coarse_y), axis=-1).reshape(-1, 2)
    local = _on_sheet(px, sheet, camera).reshape(len(coarse_y), len(coarse_x), 2) / np.array(scene.print_scale)
    fine_y, fine_x = np.arange(y0, y1), np.arange(x0, x1)
    at = [RectBivariateSpline(coarse_y, coarse_x, local[..., k])(fine_y, fine_x) for k in (0, 1)]
    slopes = [np.gradient(one) for one in at]
    total, cover = np.zeros(shape, np.float32), np.zeros(shape, np.float32)
    for dx in (-1 / 3, 0, 1 / 3):
        for dy in (-1 / 3, 0, 1 / 3):
            u, v = (one + dy * slope[0] + dx * slope[1] for one, slope in zip(at, slopes, strict=True))
            inside = (np.abs(u) <= half[0]) & (np.abs(v) <= half[1])
            across = ((u + half[0]) * SHEET_PX_MM - 0.5).astype(np.float32)
            down = ((half[1] - v) * SHEET_PX_MM - 0.5).astype(np.float32)
            got = cv2.remap(paper, across, down, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
            total += np.where(inside, got, 0) / 9
            cover += inside / np.float32(9)
    light = light.copy()
    light[y0:y1, x0:x1] = light[y0:y1, x0:x1] * (1 - cover) + total
    return light


def _on_sheet(px: np.ndarray, sheet: Laid, camera: Camera) -> np.ndarray:
    """Return where rays through pixels meet a bowed sheet, in the sheet's own frame."""
    rays = _rays(px, camera)
    eye = -camera.turn.T @ camera.shift
    ways = rays @ camera.turn
    c, s = math.cos(sheet.turn), math.sin(sheet.turn)
    up = np.zeros(len(px))
    for _ in range(4):
        flat = eye[:2] + ways[:, :2] * ((up - eye[2]) / ways[:, 2])[:, None] - np.array([sheet.x, sheet.y])
        local = flat @ np.array([[c, -s], [s, c]])
        up = sheet.bow[0] * (1 - (local[:, 0] / 105) ** 2) + sheet.bow[1] * (1 - (local[:, 1] / 148) ** 2)
    return local


def _rays(px: np.ndarray, camera: Camera) -> np.ndarray:
    bent = (px - np.array(camera.centre)) / camera.focal_px
    straight = bent.copy()
    k1, k2, k3 = camera.bend
    for _ in range(12):
        r2 = (straight**2).sum(axis=1, keepdims=True)
        straight = bent / (1 + r2 * (k1 + r2 * (k2 + r2 * k3)))
    return np.column_stack([straight, np.ones(len(px))])


def without_spoil() -> Spoil:
    """Return a picture as clean as can be."""
    return replace(Spoil(), blur_px=0.6, noise=0.001, sharpen=0.0, quality=98, light=0.0, shadow=0.0)
