"""The marks in a photograph, their corners to a tenth of a pixel: lines through the four sides, in linear light."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

from layout.light_dataclass import dataclass
from layout.trace.arrays import Floats, turned_left
from layout.trace.contour import sampled
from layout.trace.marks import all_marks, dictionary
from layout.trace.result import TraceError

if TYPE_CHECKING:
    from layout.trace.marks import PaperMark
    from layout.trace.picture import Photo

LOOKED_AT_PIXELS = 4_000_000
"""Marks are looked for in a picture of at most this size; their corners are then measured in the whole one."""
LEAST_SIDE_PX = 24.0
"""A mark with shorter sides is not measured."""
PROFILES = 24
"""Places along a side at which it is measured."""
SHARP_SHARE = 0.05
"""A side blurred over more than this share of its length (and more than ``SHARP_PX``) is blurred."""
SHARP_PX = 3.5


@dataclass(frozen=True, slots=True)
class Seen:
    """A mark as found: corners upper left, upper right, lower right, lower left, pixels; how wide its edges are."""

    mark: PaperMark
    corners: Floats
    blur_px: float


def find_marks(photo: Photo) -> tuple[Seen, ...]:
    """Return the marks of a photograph that can be measured, by number.

    Raises
    ------
    TraceError
        When there is none, or the picture is blurred.
    """
    stored = cv2.cvtColor(photo.colour, cv2.COLOR_BGR2GRAY)
    share = min(1.0, (LOOKED_AT_PIXELS / stored.size) ** 0.5)
    small = cv2.resize(stored, None, fx=share, fy=share, interpolation=cv2.INTER_AREA) if share < 1 else stored
    settings = cv2.aruco.DetectorParameters()
    settings.minMarkerPerimeterRate = 0.02
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_NONE
    corners, numbers, _ = cv2.aruco.ArucoDetector(dictionary(), settings).detectMarkers(small)
    known = all_marks()
    found: dict[int, Seen] = {}
    blurred = 0
    for number, rough in zip([] if numbers is None else numbers.ravel(), corners, strict=False):
        mark = known.get(int(number))
        if mark is None or mark.number in found:
            continue
        seen = _measured(photo, mark, (rough[0].astype(np.float64) + 0.5) / share - 0.5)
        if seen is None:
            continue
        side = float(np.hypot(*(seen.corners[0] - seen.corners[2]))) / 2**0.5
        if seen.blur_px > max(SHARP_PX, SHARP_SHARE * side):
            blurred += 1
        found[mark.number] = seen
    if not found:
        raise TraceError(
            f"no marks are found in '{photo.name}'",
            "lay sheets from spile printcheck --marks beside the thing, all in the picture, in focus, in even light",
        )
    if blurred > len(found) / 2:
        raise TraceError(f"'{photo.name}' is blurred", "hold the telephone still, tap to focus, take more light")
    return tuple(found[number] for number in sorted(found))


def _measured(photo: Photo, mark: PaperMark, rough: Floats) -> Seen | None:
    lengths = np.hypot(*(np.roll(rough, -1, axis=0) - rough).T)
    inside = (rough > 2).all() and (rough < np.array([photo.width - 3, photo.height - 3])).all()
    if lengths.min() < LEAST_SIDE_PX or lengths.max() > 3 * lengths.min() or not inside:
        return None
    sides = [_side(photo, rough[k], rough[(k + 1) % 4]) for k in range(4)]
    whole = [side for side in sides if side is not None]
    if len(whole) < 4:
        return None
    corners = np.array([_crossing(whole[k - 1][0], whole[k][0]) for k in range(4)])
    if np.hypot(*(corners - rough).T).max() > max(4.0, 0.08 * lengths.max()):
        return None
    return Seen(mark, corners, float(np.median([side[1] for side in whole])))


def _side(photo: Photo, start: Floats, end: Floats) -> tuple[Floats, float] | None:
    """Return a line (point and direction) along one side of a mark, and how wide the edge is; light is outside."""
    run = end - start
    length = float(np.hypot(*run))
    way = run / length
    out = turned_left(way)  # in a picture y points down, so this is outwards for corners that run clockwise
    reach = max(4.0, 0.11 * length)
    shares = np.linspace(0.1, 0.9, PROFILES)
    along = np.arange(-reach, reach + 0.01, 0.25)
    places = start + shares[:, None, None] * run + along[None, :, None] * -out
    light = sampled(photo.light, places)
    dark, bright = np.quantile(light, 0.1, axis=1), np.quantile(light, 0.9, axis=1)
    shares_up = (light - dark[:, None]) / np.maximum(bright - dark, 1e-6)[:, None]
    good = bright - dark > 0.02
    at = _crossed(shares_up, along, 0.5)
    good &= np.isfinite(at)
    if good.sum() < PROFILES / 2:
        return None
    width = np.nanmedian(np.abs(_crossed(shares_up, along, 0.8) - _crossed(shares_up, along, 0.2)))
    points = (start + shares[:, None] * run + at[:, None] * -out)[good].astype(np.float32)
    fit = cv2.fitLine(points, cv2.DIST_HUBER, 0, 0.01, 0.001).ravel()
    return np.array([[fit[2], fit[3]], [fit[0], fit[1]]], np.float64), float(width)


def _crossed(values: Floats, along: Floats, level: float) -> Floats:
    """Return where each row first rises past a level; nan where it does not."""
    rises = (values[:, :-1] < level) & (values[:, 1:] >= level)
    k = np.argmax(rises, axis=1)
    rows = np.arange(len(values))
    low, high = values[rows, k], values[rows, k + 1]
    at = along[k] + (level - low) / np.where(high > low, high - low, 1.0) * (along[1] - along[0])
    return np.where(rises.any(axis=1), at, np.nan)


def _crossing(first: Floats, second: Floats) -> Floats:
    (pa, da), (pb, db) = first, second
    det = da[0] * db[1] - da[1] * db[0]
    to = pb - pa
    made: Floats = pa + da * ((to[0] * db[1] - to[1] * db[0]) / (det if abs(det) > 1e-9 else 1e-9))
    return made
