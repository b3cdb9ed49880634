"""Roughly where the thing is: a watershed of the corrected photograph, from its middle and from the ground about it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

from layout.trace.contour import rim
from layout.trace.result import TraceError

if TYPE_CHECKING:
    from layout.trace.arrays import Floats, Picture
    from layout.trace.flat import Flat

RING_MM = 8.0
"""The ground beside a sheet: a band of this width beyond its paper."""
SEED_SHARE = 0.03
"""Radius of the seed, as a share of the corrected photograph."""
LEAST_MM2 = 300.0
"""Nothing that is cut is smaller."""


def rough_outline(flat: Flat, papers: list[Floats], seed: Floats, rough: Floats | None, gap_mm: float) -> Floats:
    """Return the rough outline in the plane, mm.

    Parameters
    ----------
    papers
        The four corners of each sheet, mm.
    seed
        A point of the thing; its middle if nothing better is known.
    rough
        Corners of the thing as pointed at by a person, if they were; then only their neighbourhood is looked at.
    gap_mm
        How far the nearest sheet is from the seed's surroundings, at least; bounds the seed.

    Raises
    ------
    TraceError
        When the thing runs off the photograph or lies under a sheet.
    """
    marks = np.zeros(flat.valid.shape, np.int32)
    if rough is None:
        _mark_ground(marks, flat, papers)
        at = flat.pixels(seed[None])[0]
        radius = max(3, round(min(SEED_SHARE * max(flat.valid.shape), 0.3 * gap_mm / flat.mm_per_px)))
        cv2.circle(marks, (round(at[0]), round(at[1])), radius, 2, -1)
    else:
        _mark_by_hand(marks, flat.pixels(rough))
    region = cv2.watershed(_even(flat.colour), marks) == 2
    region = cv2.morphologyEx(region.astype(np.uint8), cv2.MORPH_OPEN, np.ones((5, 5), np.uint8))
    if region.sum() * flat.mm_per_px**2 < LEAST_MM2:
        raise TraceError("no edge is found round the middle", "point inside the thing with --inside")
    beyond = cv2.dilate((~flat.valid).astype(np.uint8), np.ones((7, 7), np.uint8)).astype(bool)
    beyond[:3], beyond[-3:], beyond[:, :3], beyond[:, -3:] = True, True, True, True
    if (region.astype(bool) & beyond).any():
        raise TraceError(
            "the thing runs off the photograph, or its edge is too faint to be told from the ground",
            "take it whole in the picture, on plain ground of another brightness",
        )
    return flat.points(rim(region))


def _mark_ground(marks: Picture, flat: Flat, papers: list[Floats]) -> None:
    """Mark the border and a ring about every sheet as ground (1), and the sheets as something else (3)."""
    marks[~flat.valid] = 1
    marks[:2], marks[-2:], marks[:, :2], marks[:, -2:] = 1, 1, 1, 1
    for paper in papers:
        corners = [np.round(flat.pixels(_grown(paper, by))).astype(np.int32) for by in (RING_MM, 3.0)]
        cv2.fillConvexPoly(marks, corners[0], 1)
        cv2.fillConvexPoly(marks, corners[1], 3)


def _mark_by_hand(marks: Picture, rough: Floats) -> None:
    middle = rough.mean(axis=0)
    for share, value in ((1.25, 0), (0.8, 2)):
        if value == 0:
            marks[:] = 1
        corners = np.round(middle + (rough - middle) * share).astype(np.int32)
        cv2.fillPoly(marks, [corners], value)


def _grown(corners: Floats, by_mm: float) -> Floats:
    middle = corners.mean(axis=0)
    to = corners - middle
    made: Floats = middle + to * (1 + by_mm * 2**0.5 / np.hypot(*to.T)[:, None])
    return made


def _even(colour: Picture) -> Picture:
    """Return colours by their ratios rather than their differences, so that light and shade weigh less."""
    soft = cv2.GaussianBlur(colour, (0, 0), 1.2).astype(np.float32)
    logs = np.log(soft + 8.0)
    low, high = np.quantile(logs, 0.005), np.quantile(logs, 0.995)
    made: Picture = np.clip((logs - low) / max(high - low, 1e-3) * 255, 0, 255).astype(np.uint8)
    return made
