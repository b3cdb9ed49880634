"""Rough edges: the rim of a region of pixels as evenly spaced stations with the way out at each."""

from __future__ import annotations

import cv2
import numpy as np
from scipy.ndimage import gaussian_filter1d

from layout.trace.arrays import Floats, Picture, cross, turned_left

STATIONS = 640
"""Places along an outline at which its edge is measured."""


def rim(region: Picture) -> Floats:
    """Return the outer rim of the largest part of a region (non-zero pixels), pixels, as it lies in the picture."""
    found, _ = cv2.findContours(region.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    longest = max(found, key=cv2.contourArea)
    return longest[:, 0, :].astype(np.float64)


def stations(
    chain: Floats, count: int = STATIONS, smooth: float = 2.0, *, closer: Floats | None = None, reach: float = 0.0
) -> tuple[Floats, Floats]:
    """Return evenly spaced points along a closed chain, counter-clockwise, and the unit vector out of each.

    Parameters
    ----------
    chain
        Rows of x and y in a frame with y up.
    smooth
        Steps between points over which the chain is evened out (one standard deviation).
    closer, reach
        Within ``reach`` of these places points stand four times as close.
    """
    around = chain if cross(chain, np.roll(chain, -1, axis=0)).sum() > 0 else chain[::-1]
    fine = _even(around, 4 * count)
    points = gaussian_filter1d(fine, 4 * smooth, axis=0, mode="wrap")
    along = np.roll(points, -4, axis=0) - np.roll(points, 4, axis=0)
    along /= np.maximum(np.hypot(*along.T), 1e-9)[:, None]
    kept = np.arange(len(points)) % 4 == 0
    if closer is not None and len(closer):
        kept |= np.min([np.hypot(*(points - place).T) for place in closer], axis=0) < reach
    return points[kept], -turned_left(along[kept])


def _even(chain: Floats, count: int) -> Floats:
    closed = np.vstack([chain, chain[:1]])
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))])
    at = np.arange(count) / count * run[-1]
    return np.stack([np.interp(at, run, closed[:, 0]), np.interp(at, run, closed[:, 1])], axis=1)


def sampled(light: Picture, at: Floats) -> Floats:
    """Return brightness at places (last axis x, y in pixels) of a picture, between pixels by straight lines."""
    shape = at.shape[:-1]
    flat = at.reshape(-1, at.shape[-2] if at.ndim > 2 else 1, 2).astype(np.float32)
    got = cv2.remap(light, flat[..., 0], flat[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    return got.reshape(shape).astype(np.float64)
