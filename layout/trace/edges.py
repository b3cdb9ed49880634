"""The edge of the flat face in the original photograph: the first significant step from the face outwards.

The strongest step is often another one: the back rim of a hole, the foot of a wall, the border of a shadow.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from scipy.ndimage import gaussian_filter1d

from layout.light_dataclass import dataclass
from layout.trace.arrays import turned_left
from layout.trace.contour import sampled

if TYPE_CHECKING:
    from layout.trace.arrays import Floats
    from layout.trace.camera import CameraView
    from layout.trace.picture import Photo

SIGNIFICANT = 6.0
"""A step is one when it is so many times as steep as what the face itself shows."""
LEAST_STEP = 0.02
"""Share of the face's brightness per pixel; a step that is less steep is none, however smooth the face."""
TAKEN_PX = 0.33
"""Distance of samples along a profile, in pixels of the photograph."""
BESIDE_PX = (-1.5, -0.5, 0.5, 1.5)
"""Profiles taken side by side for one station."""
MOST_SAMPLES = 600
"""Along one profile; it bounds time and memory."""
SMOOTH_PX = 0.8
DARKEST = 0.004
"""Added to brightness before it is divided by: what is darker than this is black."""


@dataclass(frozen=True, slots=True)
class Sight:
    """A photograph, the camera that took it, and the height of the plane that is looked at, mm above the marks."""

    photo: Photo
    view: CameraView
    z_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Profiles:
    """Brightness across the edge at every station, from the face outwards.

    Attributes
    ----------
    along_mm
        Where samples lie, out from the station.
    light, steep
        Linear brightness, and how steeply it changes per sample, as a share of the face's own.
    """

    along_mm: Floats
    light: Floats
    steep: Floats


def profiles(sight: Sight, points: Floats, out: Floats, low_mm: float, high_mm: float) -> Profiles:
    """Return the brightness from ``low_mm`` (on the face, below zero) to ``high_mm`` beyond each station."""
    pitch = px_mm(sight, points)
    count = min(MOST_SAMPLES, round((high_mm - low_mm) / (TAKEN_PX * pitch)) + 1)
    along = np.linspace(low_mm, high_mm, max(count, 8))
    beside = np.array(BESIDE_PX) * pitch
    sideways = turned_left(out)
    places = (
        points[:, None, None, :]
        + along[None, :, None, None] * out[:, None, None, :]
        + beside[None, None, :, None] * sideways[:, None, None, :]
    )
    flat = places.reshape(-1, 2)
    pixels = sight.view.seen(np.column_stack([flat, np.full(len(flat), sight.z_mm)]))
    at = pixels.reshape(len(points), len(along) * len(beside), 2)
    light = sampled(sight.photo.light, at).reshape(len(points), len(along), len(beside)).mean(axis=2)
    face = np.median(light[:, : max(3, light.shape[1] // 4)], axis=1, keepdims=True) + DARKEST
    steep = gaussian_filter1d(light / face, SMOOTH_PX / TAKEN_PX, axis=1, order=1, mode="nearest")
    return Profiles(along_mm=along, light=light, steep=steep)


def px_mm(sight: Sight, points: Floats) -> float:
    """Return the size of a pixel in the plane near some points."""
    middle = np.median(points, axis=0)
    corners = np.array([[0.0, 0.0, 0.0], [10.0, 0.0, 0.0], [0.0, 10.0, 0.0]]) + np.array([*middle, sight.z_mm])
    a, b, c = sight.view.seen(corners)
    return 10.0 / max(float(np.sqrt(abs((b - a)[0] * (c - a)[1] - (b - a)[1] * (c - a)[0]))), 1e-6)


def first_steps(taken: Profiles, *, face_mm: float, lasting: float = SIGNIFICANT) -> tuple[Floats, Floats]:
    """Return where each profile has its first significant step, and how steep it is; nan where there is none.

    Parameters
    ----------
    face_mm
        Samples nearer to the beginning than this show the face, and tell its own unrest.
    """
    strength = np.abs(taken.steep)
    face = taken.along_mm < taken.along_mm[0] + face_mm
    unrest = np.median(strength[:, face]) * 1.4826
    least = max(lasting * unrest, LEAST_STEP * TAKEN_PX)
    inner = strength[:, 1:-1]
    peaks = (inner >= strength[:, :-2]) & (inner > strength[:, 2:]) & (inner > least)
    first = np.argmax(peaks, axis=1) + 1
    found = peaks.any(axis=1)
    at, steep = _finer(taken, first), strength[np.arange(len(first)), first]
    return np.where(found, at, np.nan), np.where(found, steep, np.nan)


def _finer(taken: Profiles, peak: Floats) -> Floats:
    """Return where brightness changes most steeply near a peak, between samples (a parabola through three)."""
    strength = np.abs(taken.steep)
    rows = np.arange(len(peak))
    a, b, c = (strength[rows, peak + k] for k in (-1, 0, 1))
    bend = np.minimum(a - 2 * b + c, -1e-12)
    pitch = taken.along_mm[1] - taken.along_mm[0]
    made: Floats = taken.along_mm[peak] + np.clip(0.5 * (a - c) / bend, -1, 1) * pitch
    return made
