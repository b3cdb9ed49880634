"""A photograph as seen straight from the front: every pixel a square of the plane of the edge."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from layout.trace.arrays import Floats, Picture
    from layout.trace.camera import CameraView

MOST_SIDE = 1200
"""Pixels along the longer side."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Flat:
    """A corrected photograph.

    Attributes
    ----------
    colour
        Blue, green, red; black where the photograph does not reach.
    valid
        Where it does reach.
    left_mm, top_mm, mm_per_px
        Place of the upper left pixel's middle in the plane, and size of a pixel.
    """

    colour: Picture
    valid: Picture
    left_mm: float
    top_mm: float
    mm_per_px: float

    def pixels(self, points: Floats) -> Floats:
        """Return the pixels of points of the plane (rows of x and y, mm)."""
        made: Floats = (points - np.array([self.left_mm, self.top_mm])) * np.array([1.0, -1.0]) / self.mm_per_px
        return made

    def points(self, pixels: Floats) -> Floats:
        """Return the points of the plane of pixels."""
        made: Floats = pixels * np.array([1.0, -1.0]) * self.mm_per_px + np.array([self.left_mm, self.top_mm])
        return made


def flattened(
    colour: Picture, view: CameraView, z_mm: float, low: Floats, high: Floats, *, most_side: int = MOST_SIDE
) -> Flat:
    """Return the part of a photograph between two corners of the plane at a height.

    Parameters
    ----------
    low, high
        Lower left and upper right corner, mm.
    """
    size = high - low
    pitch = float(size.max()) / most_side
    wide, tall = max(2, round(size[0] / pitch)), max(2, round(size[1] / pitch))
    x = low[0] + (np.arange(wide) + 0.5) * pitch
    y = high[1] - (np.arange(tall) + 0.5) * pitch
    grid = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    seen = view.seen(np.column_stack([grid, np.full(len(grid), z_mm)])).reshape(tall, wide, 2)
    last = np.array([colour.shape[1] - 2, colour.shape[0] - 2])
    valid: Picture = np.asarray(((seen > 1) & (seen < last)).all(axis=2))
    at = seen.astype(np.float32)
    drawn = cv2.remap(colour, at[..., 0], at[..., 1], cv2.INTER_LINEAR)
    drawn[~valid] = 0
    return Flat(colour=drawn, valid=valid, left_mm=float(x[0]), top_mm=float(y[0]), mm_per_px=pitch)
