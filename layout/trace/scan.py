"""A flat scan of a maker's paper template, or its PDF: the printed line, scaled by a printed dimension on each axis."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import cv2
import numpy as np

from layout.light_dataclass import dataclass
from layout.trace.contour import rim, sampled, stations
from layout.trace.finish import finished
from layout.trace.fit import fitted_outline
from layout.trace.frame import level
from layout.trace.result import TraceError, What

if TYPE_CHECKING:
    from layout.geometry.box import Box
    from layout.trace.arrays import Floats, Picture
    from layout.trace.fit import Fit
    from layout.trace.picture import Photo
    from layout.trace.result import Traced

DPI_ALONE_MM = 0.3
"""What a scan is good for by dots per inch alone, or by one dimension for both axes (measured on made-up scans)."""
DPI_ALONE_SHARE = 0.002
"""The same as a share of the size: scanners feed the paper some tenths of a per cent off."""
SCANNER_MM = 0.03
"""Unevenness of a scanner's feed that two dimensions do not tell; from memory, no single source."""
_LEAST_SHARE = 0.002
"""A shape smaller than this share of the scan is a letter or a stain."""
REACH_PX = 14
"""How far from the rough edge the printed line is looked for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """A printed dimension.

    Attributes
    ----------
    length_mm
        What is printed.
    ends_px
        The two points it runs between, in pixels from the scan's upper left; None is the whole shape.
    """

    length_mm: float
    ends_px: tuple[tuple[float, float], tuple[float, float]] | None = None

    def __post_init__(self) -> None:
        if not 1 <= self.length_mm <= 5000:
            raise TraceError(f"a printed dimension of {self.length_mm:g} mm can't be", "give one from 1 mm to 5000 mm")


def from_scan(
    photo: Photo,
    what: What,
    *,
    across: Known | None = None,
    up: Known | None = None,
    inside: tuple[float, float] | None = None,
) -> Traced:
    """Return the shape that a closed printed line, or a dark area, has on a flat scan.

    Parameters
    ----------
    across, up
        A printed dimension along each axis of the scan.
    inside
        A pixel inside the shape; without it the largest closed shape counts.

    Raises
    ------
    TraceError
        When no closed shape is found, or nothing tells the scale.
    """
    edge = _edge_px(photo, inside)
    scale = _start_scale(photo, across, up)
    for _ in range(4):
        points = edge * np.array([scale[0], -scale[1]])
        fit = _fitted(points)
        scale = _scaled(scale, level(fit.outline).path().bounds(), across, up)
    sure = across is not None and up is not None
    size = float(np.ptp(points, axis=0).max())
    error = _line_error(fit)
    if not sure:
        error += max(DPI_ALONE_MM, DPI_ALONE_SHARE * size)
    remarks = () if sure else ("scaled without a printed dimension on each axis: measure before cutting",)
    return finished(fit, points, what, uncertainty_mm=error, edge_sd_mm=error / 4, for_cutting=sure, remarks=remarks)


def _line_error(fit: Fit) -> float:
    """Return the 95 % error of the shape with its scale known: noise that neighbours share, and the scanner's feed."""
    return 2 * math.hypot(fit.sigma_mm / 4, SCANNER_MM)


def _fitted(points: Floats) -> Fit:
    try:
        fit = fitted_outline(points, 0.05)
    except ValueError as error:
        raise TraceError(str(error), "scan it flat and clean, and give a pixel inside with --inside") from None
    if np.mean(np.abs(fit.off_mm) < 0.25) < 0.9:
        raise TraceError(
            "the printed line is not made of lines and arcs, or is broken by others",
            "paint over what crosses the line, or give a pixel inside with --inside",
        )
    return fit


def _edge_px(photo: Photo, inside: tuple[float, float] | None) -> Floats:
    """Return points on the middle of the printed line (or on the edge of a dark area), pixels."""
    stored = np.sqrt(photo.light)
    grey = cv2.GaussianBlur((stored * 255).astype(np.uint8), (5, 5), 0)
    level, _ = cv2.threshold(grey, 0, 255, cv2.THRESH_BINARY + cv2.THRESH_OTSU)
    chain = rim(_region(grey < level, inside, photo))
    points, out = stations(chain * np.array([1.0, -1.0]), smooth=1.5)
    along = np.arange(-REACH_PX, REACH_PX + 0.01, 0.25)
    places = points[:, None, :] + along[None, :, None] * out[:, None, :]
    dark = level / 255 - sampled(stored.astype(np.float32), places * np.array([1.0, -1.0]))
    off, found = _middles(dark, along)
    if found.mean() < 0.8:
        raise TraceError("the printed line is too faint to be followed", "scan darker, or draw over the line")
    edge = points + off[:, None] * out
    made: Floats = edge[found] * np.array([1.0, -1.0])
    return made


def _middles(dark: Floats, along: Floats) -> tuple[Floats, Floats]:
    """Return where the dark stretch nearest to the rough edge has its middle; where it is wide, its outer edge."""
    off, found = np.zeros(len(dark)), np.zeros(len(dark), dtype=bool)
    for row, profile in enumerate(dark):
        is_dark = profile > 0
        ups, downs = np.flatnonzero(~is_dark[:-1] & is_dark[1:]), np.flatnonzero(is_dark[:-1] & ~is_dark[1:])
        crossings = [(k, _crossing(profile, along, k)) for k in np.sort(np.concatenate([ups, downs]))]
        outer = [at for k, at in crossings if is_dark[k]]
        if not outer:
            continue
        end = min(outer, key=abs)
        starts = [at for k, at in crossings if not is_dark[k] and at < end]
        off[row], found[row] = ((max(starts) + end) / 2 if starts else end), True
    return off, found


def _crossing(profile: Floats, along: Floats, k: int) -> float:
    low, high = profile[k], profile[k + 1]
    return float(along[k] + (along[k + 1] - along[k]) * low / (low - high))


def _region(dark: Picture, inside: tuple[float, float] | None, photo: Photo) -> Picture:
    """Return the pixels of the shape, the printed line around it included."""
    framed = np.pad(~dark, 1, constant_values=True).astype(np.uint8)
    _, labels = cv2.connectedComponents(framed, connectivity=4)
    outside = labels == labels[0, 0]
    if inside is None:
        shapes = _opened(~outside[1:-1, 1:-1])
    else:
        x, y = round(inside[0]), round(inside[1])
        if not (0 <= x < photo.width and 0 <= y < photo.height):
            raise TraceError(f"pixel {x},{y} lies outside the scan", f"it has {photo.width} x {photo.height} pixels")
        label = labels[y + 1, x + 1]
        if outside[y + 1, x + 1]:
            raise TraceError(f"pixel {x},{y} is not inside a closed line", "give one inside; close gaps with a pen")
        here = (labels == label)[1:-1, 1:-1] if not dark[y, x] else dark
        shapes = _filled(here)
    count, parts, stats, _ = cv2.connectedComponentsWithStats(shapes.astype(np.uint8), connectivity=4)
    best = 1 + int(np.argmax(stats[1:, cv2.CC_STAT_AREA])) if count > 1 else 0
    if not best or stats[best, cv2.CC_STAT_AREA] < _LEAST_SHARE * dark.size:
        raise TraceError(
            "no closed shape is found on the scan", "scan the whole template; close gaps in its line with a pen"
        )
    x, y, wide, tall = (int(stats[best, k]) for k in range(4))
    if x == 0 or y == 0 or x + wide == photo.width or y + tall == photo.height:
        raise TraceError("the shape runs off the scan", "scan it whole, with a margin of paper all round")
    found: Picture = parts == best
    return found


def _opened(shapes: Picture) -> Picture:
    """Return shapes without what is thin: extension lines, arrows, letters."""
    size = max(5, round(min(shapes.shape) / 100)) | 1
    kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (size, size))
    return cv2.morphologyEx(shapes.astype(np.uint8), cv2.MORPH_OPEN, kernel)


def _filled(region: Picture) -> Picture:
    """Return a region with its islands, and grown by the printed line around it."""
    chain = rim(region)
    whole = np.zeros(region.shape, np.uint8)
    cv2.fillPoly(whole, [chain.astype(np.int32)], 1)
    return cv2.dilate(whole, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (5, 5)))


def _start_scale(photo: Photo, across: Known | None, up: Known | None) -> tuple[float, float]:
    """Return mm per pixel to begin with, by points, else by dots per inch, else as if the scan were A4."""
    told = photo.dpi or (0.0, 0.0)
    if not (across or up or photo.dpi):
        raise TraceError(
            f"nothing tells the scale of '{photo.name}'", "give a printed dimension on each axis: --across 182 --up 53"
        )
    both = [_by_points(known) or (25.4 / dpi if dpi else 0.0) for known, dpi in zip((across, up), told, strict=True)]
    some = both[0] or both[1] or 297.0 / max(photo.width, photo.height)
    return both[0] or some, both[1] or some


def _by_points(known: Known | None) -> float:
    if known is None or known.ends_px is None:
        return 0.0
    length = math.dist(*known.ends_px)
    if length < 50:
        raise TraceError("the two points of a dimension lie too near each other", "give points farther apart")
    return known.length_mm / length


def _scaled(scale: tuple[float, float], box: Box, across: Known | None, up: Known | None) -> tuple[float, float]:
    factors = [
        known.length_mm / size if known and known.ends_px is None else None
        for known, size in ((across, box.width), (up, box.height))
    ]
    has_points = [known is not None and known.ends_px is not None for known in (across, up)]
    first = factors[0] or (1.0 if has_points[0] or has_points[1] else factors[1] or 1.0)
    second = factors[1] or (1.0 if has_points[1] or has_points[0] else factors[0] or 1.0)
    return scale[0] * first, scale[1] * second
