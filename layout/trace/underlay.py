"""The corrected photograph, kept beside a project: turned to the thing's frame, with its scale in a file of its own."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

from layout.trace.frame import out_of_frame

if TYPE_CHECKING:
    from layout.trace.arrays import Picture
    from layout.trace.flat import Flat
    from layout.trace.result import Traced

_MARGIN = 0.05
"""Shown round the thing, as a share of its longer side."""
LONG_PX = 1600


def underlay(traced: Traced, flat: Flat) -> tuple[Picture, str]:
    """Return the picture in the thing's frame (blue, green, red), and the YAML that says where it lies.

    The YAML gives the lower left corner of the picture and the size of a pixel, in mm of the thing's frame.
    """
    box = traced.path.bounds()
    box = box.grown(_MARGIN * max(box.width, box.height))
    pitch = max(box.width, box.height) / LONG_PX
    wide, tall = round(box.width / pitch), round(box.height / pitch)
    x = box.x0 + (np.arange(wide) + 0.5) * pitch
    y = box.y0 + (tall - np.arange(tall) - 0.5) * pitch
    grid = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    at = flat.pixels(out_of_frame(grid, traced.frame)).reshape(tall, wide, 2).astype(np.float32)
    picture = cv2.remap(flat.colour, at[..., 0], at[..., 1], cv2.INTER_LINEAR)
    where = f"mm_per_pixel: {pitch:.6f}\nlower_left: [{box.x0:.3f}, {box.y0:.3f}]\n"
    return picture, where
