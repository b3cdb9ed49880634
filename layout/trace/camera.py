"""How a camera draws: a pinhole with radial distortion (Brown 1966, Photogramm. Eng. 32; the form of OpenCV)."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from layout.trace.arrays import Floats

NEWTON_STEPS = 8
"""Enough for distortion to be undone to far below a pixel."""


@dataclass(frozen=True, slots=True)
class CameraView:
    """A camera in the place from which it took one photograph.

    Attributes
    ----------
    focal_px, centre_px
        Focal length and optical centre.
    bend
        k1, k2, k3.
    turn, shift
        From the plane of the marks (z towards the viewer) to the camera: turn, then shift in mm.
    """

    focal_px: float
    centre_px: tuple[float, float]
    bend: tuple[float, float, float]
    turn: Floats
    shift: Floats

    def seen(self, points: Floats) -> Floats:
        """Return the pixels of points (rows of x, y, z in mm)."""
        at = points @ self.turn.T + self.shift
        flat = at[:, :2] / at[:, 2:]
        r2 = (flat**2).sum(axis=1, keepdims=True)
        k1, k2, k3 = self.bend
        bent = flat * (1 + r2 * (k1 + r2 * (k2 + r2 * k3)))
        made: Floats = bent * self.focal_px + np.array(self.centre_px)
        return made

    def on_plane(self, pixels: Floats, z_mm: float) -> Floats:
        """Return where rays through pixels meet the plane at a height, rows of x and y in mm."""
        bent = (pixels - np.array(self.centre_px)) / self.focal_px
        rays = np.column_stack([bent * self._straightened(bent)[:, None], np.ones(len(bent))]) @ self.turn
        eye = self.eye
        made: Floats = eye[:2] + rays[:, :2] * ((z_mm - eye[2]) / rays[:, 2])[:, None]
        return made

    @property
    def eye(self) -> Floats:
        """Where the camera stands, mm."""
        made: Floats = -self.turn.T @ self.shift
        return made

    def _straightened(self, bent: Floats) -> Floats:
        """Return the factors that undo distortion."""
        k1, k2, k3 = self.bend
        far = np.hypot(bent[:, 0], bent[:, 1])
        r = far.copy()
        for _ in range(NEWTON_STEPS):
            r2 = r * r
            over = r * (1 + r2 * (k1 + r2 * (k2 + r2 * k3))) - far
            slope = 1 + r2 * (3 * k1 + r2 * (5 * k2 + r2 * 7 * k3))
            r = r - over / np.where(np.abs(slope) < 0.2, 0.2, slope)
        return np.where(far > 1e-9, r / np.maximum(far, 1e-9), 1.0)


def turn_of(vector: Floats) -> Floats:
    """Return the rotation about a vector by its length in radians (Rodrigues)."""
    angle = float(np.linalg.norm(vector))
    if angle < 1e-12:
        return np.eye(3)
    x, y, z = vector / angle
    skew = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    made: Floats = np.eye(3) + np.sin(angle) * skew + (1 - np.cos(angle)) * (skew @ skew)
    return made
