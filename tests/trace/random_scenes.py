"""Random panels, holes, cameras and light for tests and for the benchmark."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from layout.geometry.shapes import circle, path_through, rectangle
from tests.trace.scene import Camera, Laid, Scene, Spoil

if TYPE_CHECKING:
    from layout.geometry.path import Path


def a_panel(rng: np.random.Generator) -> Path:
    """Return a panel of 0.6 m to 1.1 m: a rectangle, one with slanted sides, or a stepped one; rounded corners."""
    w, h = rng.uniform(600, 1100), rng.uniform(400, 650)
    kind = rng.integers(3)
    if kind == 0:
        made = rectangle(w, h, radius_mm=float(rng.choice([0, 5, 10, 20, 40])))
    elif kind == 1:
        a, b, c = rng.uniform(0.0, 0.25, 3)
        corners = [(0, 0), (w, h * a * 0.3), (w * (1 - b), h), (w * c * 0.6, h * 0.92)]
        made = path_through([("corner", at, float(rng.choice([0, 8, 15, 30]))) for at in corners])
    else:
        x, y = w * rng.uniform(0.4, 0.7), h * rng.uniform(0.5, 0.75)
        corners = [(0, 0), (w, 0), (w, y), (x, y), (x, h), (0, h)]
        made = path_through([("corner", at, float(rng.choice([5, 10, 20]))) for at in corners])
    return _centred(made.turned(float(rng.uniform(-6, 6))))


def a_hole(rng: np.random.Generator) -> Path:
    """Return a cut-out of about 100 mm: round or a rounded rectangle."""
    if rng.random() < 0.5:
        return circle(float(rng.uniform(60, 110)))
    w, h = rng.uniform(70, 130), rng.uniform(50, 110)
    return _centred(rectangle(w, h, radius_mm=float(rng.choice([3, 5, 8, 12]))).turned(float(rng.uniform(-8, 8))))


def _centred(path: Path) -> Path:
    x, y = path.bounds().centre
    return path.moved(-x, -y)


def a_scene(
    rng: np.random.Generator, *, hole: bool = False, sheets: int = 4, photographs: int = 1, width: int = 4000
) -> Scene:
    """Return a thing with sheets round it and the cameras that see it all."""
    path = a_hole(rng) if hole else a_panel(rng)
    box = path.bounds()
    away_x, away_y = box.width / 2 + rng.uniform(150, 190), box.height / 2 + rng.uniform(190, 230)
    if hole:
        away_x, away_y = rng.uniform(265, 290), box.height / 2 + rng.uniform(150, 180)
    lying = rng.uniform(-0.15, 0.15, 6)
    places = [
        (-away_x, 0.25 * box.height),
        (away_x, -0.2 * box.height),
        (0.15 * box.width, away_y),
        (-0.1 * box.width, -away_y),
    ]
    turned = [0.0, 0.0, math.pi / 2, math.pi / 2]
    laid = tuple(
        Laid(
            number=k + 1,
            x=places[k][0] + rng.uniform(-15, 15),
            y=places[k][1] + rng.uniform(-15, 15),
            turn=turned[k] + lying[k],
            bow=(float(np.clip(rng.normal(0.5, 0.5), 0, 2)), float(np.clip(rng.normal(0.5, 0.5), 0, 2))),
        )
        for k in range(sheets)
    )
    scale = 1 + rng.normal(0, 0.0012)
    differ = rng.normal(0, 0.0005)
    scene = Scene(
        path=path, thick_mm=float(rng.uniform(6, 15)), hole=hole, sheets=laid,
        print_scale=(scale + differ / 2, scale - differ / 2), face=float(rng.uniform(0.35, 0.65)),
        ground=float(rng.uniform(0.03, 0.12)), wall=float(rng.uniform(0.12, 0.3)), grain=float(rng.uniform(0.01, 0.05)),
    )  # fmt: skip
    return replace(scene, cameras=cameras(rng, scene, photographs, width))


def cameras(rng: np.random.Generator, scene: Scene, count: int, width: int) -> tuple[Camera, ...]:
    """Return cameras of one telephone, each so near that all sheets just fit."""
    height = width * 3 // 4
    focal = width * rng.uniform(0.72, 0.85) * (1.6 if rng.random() < 0.3 else 1.0)
    centre = (width / 2 - 0.5 + rng.normal(0, 0.004) * width, height / 2 - 0.5 + rng.normal(0, 0.004) * width)
    bend = (float(rng.normal(0, 0.03)), float(rng.normal(0, 0.03)), float(rng.normal(0, 0.01)))
    corners = np.array([(sx * 105, sy * 148.5) for sx in (-1, 1) for sy in (-1, 1)])
    shown = np.vstack([sheet.at(corners) for sheet in scene.sheets] + [_box(scene)])
    lens = {"width": width, "height": height, "focal_px": focal, "centre": centre, "bend": bend}
    made = []
    for k in range(count):
        spread = 1.0 if count == 1 else 1.6
        tilt, bearing = rng.uniform(0.05, 0.22) * spread, rng.uniform(0, 2 * math.pi) if count == 1 else k * 2.1
        made.append(_seeing(shown, lens, (tilt, bearing, rng.uniform(-0.06, 0.06))))
    return tuple(made)


def _box(scene: Scene) -> np.ndarray:
    box = scene.path.bounds()
    corners = [(box.x0, box.y0), (box.x1, box.y0), (box.x1, box.y1), (box.x0, box.y1)]
    return np.array([(x, y, scene.edge_mm) for x, y in corners])


def _seeing(shown: np.ndarray, lens: dict, aim: tuple[float, float, float]) -> Camera:
    """Return the camera from as near as all points are seen from."""
    size = np.array([lens["width"], lens["height"]])
    lo, hi = 200.0, 20000.0
    for _ in range(40):
        away = (lo + hi) / 2
        px = _standing(shown, away, lens, aim).seen(shown)
        fits = (px > 0.02 * size[0]).all() and (px < size - 0.02 * size[0]).all()
        lo, hi = (lo, away) if fits else (away, hi)
    return _standing(shown, hi, lens, aim)


def _standing(shown: np.ndarray, away: float, lens: dict, aim: tuple[float, float, float]) -> Camera:
    middle = (shown.max(axis=0) + shown.min(axis=0)) / 2
    tilt, bearing, roll = aim
    eye = middle + away * np.array(
        [math.sin(tilt) * math.cos(bearing), math.sin(tilt) * math.sin(bearing), math.cos(tilt)]
    )
    forward = (middle - eye) / np.linalg.norm(middle - eye)
    right = np.cross(forward, np.array([math.sin(roll), math.cos(roll), 0.0]))
    right /= np.linalg.norm(right)
    turn = np.stack([right, np.cross(forward, right), forward])
    return Camera(turn=turn, shift=-turn @ eye, **lens)


def a_spoil(rng: np.random.Generator) -> Spoil:
    """Return light and lens of an ordinary day."""
    return Spoil(
        blur_px=float(rng.uniform(0.7, 1.3)), noise=float(rng.uniform(0.003, 0.01)), sharpen=float(rng.uniform(0, 0.8)),
        quality=int(rng.integers(85, 96)), light=float(rng.uniform(0.1, 0.5)), shadow=float(rng.uniform(0, 0.4)),
    )  # fmt: skip
