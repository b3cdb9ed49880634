"""From the plane that was measured to the frame of the thing: level, and with its datum at zero."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from layout.trace.result import TracedFrame, What

if TYPE_CHECKING:
    from layout.trace.arrays import Floats
    from layout.trace.outline import Outline


def traced_frame(outline: Outline, what: What, *, turned: bool = True) -> TracedFrame:
    """Return how to bring an outline to its frame.

    Its longest straight side comes to lie level or upright, whichever is nearer; unless it is not to be turned, because
    it lies as its maker meant. A panel's datum is the lower left
    corner of its box; a cut-out's and a zone's is the middle of its box.
    """
    turn = _turn_deg(outline) if turned else 0.0
    box = outline.turned(turn).path().bounds()
    at = (box.x0, box.y0) if what is What.OUTLINE else box.centre
    return TracedFrame(turn_deg=turn, dx_mm=-at[0], dy_mm=-at[1])


def level(outline: Outline) -> Outline:
    """Return the outline with its longest straight side level or upright."""
    return outline.turned(_turn_deg(outline))


def _turn_deg(outline: Outline) -> float:
    if outline.round:
        return 0.0
    count = len(outline.corners)
    sides = [
        (math.dist(outline.corners[k], outline.corners[(k + 1) % count]), k)
        for k in range(count)
        if outline.bulges[k] is None
    ]
    if not sides:
        return 0.0
    _, k = max(sides)
    (xa, ya), (xb, yb) = outline.corners[k], outline.corners[(k + 1) % count]
    angle = math.degrees(math.atan2(yb - ya, xb - xa))
    return -math.remainder(angle, 90.0)


def in_frame(points: Floats, frame: TracedFrame) -> Floats:
    """Return points (rows) of the measured plane in the frame."""
    c, s = math.cos(math.radians(frame.turn_deg)), math.sin(math.radians(frame.turn_deg))
    made: Floats = points @ np.array([[c, s], [-s, c]]) + np.array([frame.dx_mm, frame.dy_mm])
    return made


def out_of_frame(points: Floats, frame: TracedFrame) -> Floats:
    """Return points (rows) of the frame in the measured plane."""
    c, s = math.cos(math.radians(frame.turn_deg)), math.sin(math.radians(frame.turn_deg))
    made: Floats = (points - np.array([frame.dx_mm, frame.dy_mm])) @ np.array([[c, -s], [s, c]])
    return made
