"""What a photograph must bear before its sizes are believed; each failure says what to do better."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from scipy.ndimage import gaussian_filter1d

from layout.trace.contour import stations
from layout.trace.edges import TAKEN_PX, profiles, px_mm
from layout.trace.result import TraceError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.trace.adjust import Adjusted
    from layout.trace.arrays import Floats
    from layout.trace.edges import Sight
    from layout.trace.fit import Fit

MOST_RMS_PX = 0.6
"""Marks that lie farther off than this are not where, or not as large as, they should be (picture 4000 pixels wide)."""
MOST_TAPE_OFF = 0.01
"""A print that is off by more was scaled."""
MOST_FOCAL_OFF = 4.0
"""A focal length farther from the file's word (standard deviations) is not this camera's: a picture of a picture."""
_NEAR_MM, NEAR_HOLE_MM = 0.5, 0.2
NEAR_PX = 1.0
LEAST_NEAR, LEAST_HELD = 0.93, 0.97
"""Share of edge points near the outline, and of the outline that edge points hold."""
LOCAL, LOCAL_MM = 3, 3.0
"""So many neighbours on each side, or those within so many mm, must not lie off together."""
CHUNK = 20
"""Stations whose profiles are averaged to find an edge that no single one shows."""
FACE_MM, FACE_PX = (-14.0, -1.2), 6.0
"""Where on the face another edge is looked for; not nearer to the found one than its own blur reaches."""
HIDDEN = 7.0
"""Another edge is there when the averaged profile is so many times steeper than elsewhere."""
HIDDEN_LEAST = 0.006
"""Least steepness of such an edge, share of the face's brightness per pixel."""


def check_marks(place: Adjusted) -> None:
    """Refuse photographs whose marks do not agree with each other, with the tape, or with the camera.

    Raises
    ------
    TraceError
        With what to do better.
    """
    share = max(place.model.shots[0].width, place.model.shots[0].height) / 4000
    if abs(place.tape_off) > MOST_TAPE_OFF:
        raise TraceError(
            f"by the tape the marks are {place.tape_off * 100:+.1f} % of their size off",
            "print the sheets at 100 %, without fitting to the page; or measure again from cross to cross",
        )
    if place.rms_px > max(0.3, MOST_RMS_PX * share):
        raise TraceError(
            f"the marks do not lie where flat sheets would have them ({place.rms_px:.1f} pixels off)",
            "tape the sheets flat on one surface, do not move them between photographs, do not photograph a screen",
        )
    if abs(place.numbers[0]) / place.model.start.focal_sd > MOST_FOCAL_OFF:
        raise TraceError(
            "the marks do not look as this camera would show them: a photograph of a screen or of a print?",
            "photograph the thing itself, and send the picture as the telephone stored it",
        )


def check_fit(sights: Sequence[Sight], fit: Fit, edge: Floats, *, pixel_mm: float, hole: bool) -> None:
    """Refuse an outline that its edge points do not bear, or beside which another edge shows on the face.

    Raises
    ------
    TraceError
        With what to do better.
    """
    near = max(NEAR_HOLE_MM if hole else _NEAR_MM, NEAR_PX * pixel_mm)
    close = np.abs(fit.off_mm) < near
    points, out = stations(np.array(fit.outline.path().points(0.02)), smooth=0.3)
    step = float(np.median(np.hypot(*(np.roll(points, -1, axis=0) - points).T)))
    apart = np.array([np.hypot(*(edge[close] - point).T).min() for point in points])
    held = np.mean(apart < 3 * step + near)
    beside = max(LOCAL, round(LOCAL_MM / step))
    around = np.stack([np.roll(np.abs(fit.off_mm), k) for k in range(-beside, beside + 1)])
    locally = float(np.median(around, axis=0).max())
    if close.mean() < LEAST_NEAR or held < LEAST_HELD or locally > 1.2 * near:
        raise TraceError(
            f"{100 * min(close.mean(), held):.0f} % of the edge agrees with lines and arcs, and not all round",
            "free the edge of shadows, tools and tape, lay the thing on plain ground of another brightness",
        )
    for sight in sights:
        if _hidden_edge(sight, points, -out if hole else out):
            raise TraceError(
                "another edge runs along the found one: a back rim, a chamfer or the border of a shadow",
                "photograph straight from above, with light from all sides; for a hole put dark paper behind it",
            )


def _hidden_edge(sight: Sight, points: Floats, out: Floats) -> bool:
    """Tell whether profiles averaged along the outline show a step on the face that single ones do not."""
    reach = min(1.0, float(np.ptp(points, axis=0).min()) / 50)
    nearest = min(FACE_MM[1] * reach, -FACE_PX * px_mm(sight, points))
    taken = profiles(sight, points, out, FACE_MM[0] * reach + nearest, nearest)
    steep = np.stack([np.roll(taken.steep, -k, axis=0) for k in range(CHUNK)]).mean(axis=0)[:: CHUNK // 2]
    smooth = gaussian_filter1d(steep, 1.5 / TAKEN_PX, axis=1, mode="nearest")
    level = np.median(smooth, axis=1, keepdims=True)
    unrest = np.median(np.abs(smooth - level), axis=1, keepdims=True) * 1.4826
    over = np.abs(smooth - level) > np.maximum(HIDDEN * unrest, HIDDEN_LEAST * TAKEN_PX)
    return float(over.any(axis=1).mean()) > 0.15
