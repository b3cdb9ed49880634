"""The traced outline drawn over the corrected photograph, with how far each edge point lies off, much enlarged."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

from layout.trace.contour import stations
from layout.trace.frame import out_of_frame
from layout.trace.outline import track

if TYPE_CHECKING:
    from layout.trace.arrays import Floats, Picture
    from layout.trace.flat import Flat
    from layout.trace.result import Traced

ENLARGED = 200.0
"""Residuals are drawn so many times as long."""
_LONGEST_MM = 40.0
_OUTLINE, RESIDUAL, _INK = (106, 86, 23), (18, 45, 161), (40, 42, 29)
"""Blue, green, red: lead blue, alarm and ink of the house."""


def overlay_picture(traced: Traced, flat: Flat) -> Picture:
    """Return the picture, blue, green, red."""
    picture = flat.colour.copy()
    points, _ = stations(np.array(traced.path.points(0.02)), 1600, smooth=0.05)
    line = _pixels(points, traced, flat)
    cv2.polylines(picture, [np.round(line * 16).astype(np.int32)], True, _OUTLINE, 3, cv2.LINE_AA, 4)
    for start, end in zip(*_residuals(traced, flat), strict=True):
        a, b = (tuple(int(v) for v in np.round(point * 16)) for point in (start, end))
        cv2.line(picture, a, b, RESIDUAL, 1, cv2.LINE_AA, 4)
    box = traced.path.bounds()
    words = (
        f"{box.width:.1f} x {box.height:.1f} mm, 95 %: {traced.uncertainty_mm:.2f} mm, "
        f"residuals x {ENLARGED:.0f}, middle {float(np.median(np.abs(traced.off_mm))):.3f} mm"
    )
    strip = np.full((34, picture.shape[1], 3), 245, np.uint8)
    cv2.putText(strip, words, (10, 23), cv2.FONT_HERSHEY_SIMPLEX, 0.6, _INK, 1, cv2.LINE_AA)
    return np.vstack([picture, strip])


def _pixels(points: Floats, traced: Traced, flat: Flat) -> Floats:
    return flat.pixels(out_of_frame(points, traced.frame))


def _residuals(traced: Traced, flat: Flat) -> tuple[Floats, Floats]:
    """Return both ends of each whisker: from the edge point outwards by its enlarged residual."""
    edge = traced.edge_mm
    small = 1e-3
    grid = [track(traced.outline).distances(edge + step)[0] for step in np.array([[small, 0.0], [0.0, small]])]
    here = track(traced.outline).distances(edge)[0]
    out = np.stack([(one - here) / small for one in grid], axis=1)
    long = np.clip(here * ENLARGED, -_LONGEST_MM, _LONGEST_MM)
    return _pixels(edge, traced, flat), _pixels(edge + long[:, None] * out, traced, flat)


def png(picture: Picture) -> bytes:
    """Return a picture as PNG."""
    return bytes(cv2.imencode(".png", picture, [cv2.IMWRITE_PNG_COMPRESSION, 9])[1])


def jpeg(picture: Picture) -> bytes:
    """Return a picture as JPEG."""
    return bytes(cv2.imencode(".jpg", picture, [cv2.IMWRITE_JPEG_QUALITY, 85])[1])
