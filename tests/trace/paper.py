"""Scans of a maker's paper template, made up: a printed line, dimension lines and words; noise, blur, uneven feed."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import cv2
import numpy as np

if TYPE_CHECKING:
    from layout.geometry.path import Path

FINE = 3
"""Drawn so many times finer than it is scanned."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scanner:
    """How a scan goes wrong.

    Attributes
    ----------
    across, up
        True dots per inch as a share of what the file says.
    turn_deg, blur_px, noise
        How the sheet lies, and how soft and grainy the picture is (of 255).
    """

    dpi: float = 300.0
    across: float = 1.0
    up: float = 1.0
    turn_deg: float = 0.0
    blur_px: float = 0.8
    noise: float = 4.0


def scanned(path: Path, scanner: Scanner, rng: np.random.Generator, *, line_mm: float = 0.35) -> np.ndarray:
    """Return the scan of a sheet that shows ``path`` in its middle, as stored pixels."""
    box = path.bounds()
    turned = path.moved(-box.centre[0], -box.centre[1]).turned(scanner.turn_deg)
    wide, tall = box.width + 60.0, box.height + 60.0
    px = np.array([scanner.across, scanner.up]) * scanner.dpi / 25.4 * FINE
    size = (math.ceil(wide * px[0]), math.ceil(tall * px[1]))
    sheet = np.full((size[1], size[0]), 245, np.uint8)

    def at(points: np.ndarray) -> np.ndarray:
        places = (points + np.array([wide / 2, tall / 2])) * np.array([1.0, -1.0]) + np.array([0.0, tall])
        return np.round((places * px - 0.5) * 256).astype(np.int32)

    outline = at(np.array(turned.points(0.002)))
    thick = max(1, round(line_mm * float(px.mean())))
    cv2.polylines(sheet, [outline], True, 30, thick, cv2.LINE_AA, 8)
    inside = turned.bounds()
    for y in (inside.y0 - 8.0, inside.y1 + 8.0):
        ends = at(np.array([[inside.x0, y], [inside.x1, y]]))
        cv2.line(sheet, tuple(ends[0]), tuple(ends[1]), 60, max(1, thick // 2), cv2.LINE_AA, 8)
    for x in (inside.x0, inside.x1):
        ends = at(np.array([[x, inside.y0 - 10.0], [x, inside.y0 - 2.0]]))
        cv2.line(sheet, tuple(ends[0]), tuple(ends[1]), 60, max(1, thick // 2), cv2.LINE_AA, 8)
    word = (at(np.array([[-15.0, 0.0]])) // 256)[0]
    cv2.putText(sheet, "CUT OUT", tuple(int(v) for v in word), cv2.FONT_HERSHEY_SIMPLEX, 4.0, 40, 12, cv2.LINE_AA)
    small = cv2.resize(sheet, None, fx=1 / FINE, fy=1 / FINE, interpolation=cv2.INTER_AREA)
    soft = cv2.GaussianBlur(small.astype(np.float32), (0, 0), scanner.blur_px)
    noisy = soft + rng.normal(0, scanner.noise, soft.shape)
    return cv2.cvtColor(np.clip(np.round(noisy), 0, 255).astype(np.uint8), cv2.COLOR_GRAY2BGR)
