"""Outlines of a simpler or a rounder make, to be tried against the one at hand."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from layout.geometry.path import Point
    from layout.trace.outline import Outline

RADII_TRIED_MM = (3.0, 15.0)
"""A sharp corner is tried with roundings that start here."""
SHORT = 0.12
"""Only sides shorter than this share of all are tried to be left out."""
LONGEST_RUN = 3
"""So many of them in a row."""


def sharper(outline: Outline) -> list[Outline]:
    """Return the outline with each small rounding taken away."""
    return [
        replace(outline, radii=(*outline.radii[:k], None, *outline.radii[k + 1 :]))
        for k, radius in enumerate(outline.radii)
        if radius is not None and radius < 2 * min(RADII_TRIED_MM)
    ]


def rounder(outline: Outline) -> list[Outline]:
    """Return the outline with all sharp corners between lines rounded, and with each of them alone."""
    sharp = [
        k
        for k, radius in enumerate(outline.radii)
        if radius is None and outline.bulges[k - 1] is None and outline.bulges[k] is None
    ]
    sets = [sharp, *([k] for k in sharp)] if len(sharp) > 1 else [[k] for k in sharp]
    return [
        replace(outline, radii=tuple(start if k in chosen else radius for k, radius in enumerate(outline.radii)))
        for chosen in sets
        for start in RADII_TRIED_MM
    ]


def fewer(outline: Outline) -> list[Outline]:
    """Return the outline with each run of short sides left out: its neighbours run on and meet, rounded there."""
    count = len(outline.corners)
    lengths = [math.dist(outline.corners[k], outline.corners[(k + 1) % count]) for k in range(count)]
    short = [length < SHORT * sum(lengths) for length in lengths]
    return [
        made
        for run in range(1, min(LONGEST_RUN, count - 3) + 1)
        for k in range(count)
        if all(short[(k + i) % count] for i in range(run)) and (made := _left_out(outline, k, run)) is not None
    ]


def _left_out(outline: Outline, k: int, run: int) -> Outline | None:
    """Return the outline without the sides from k on: their ends made one corner, between lines rounded."""
    count = len(outline.corners)
    before, after = (k - 1) % count, (k + run) % count
    start, stop = outline.corners[k], outline.corners[after]
    straight = outline.bulges[before] is None and outline.bulges[after] is None
    at: Point = ((start[0] + stop[0]) / 2, (start[1] + stop[1]) / 2)
    radius = None
    gone = {(k + i) % count for i in range(1, run + 1)}
    if straight:
        meeting = _meeting(outline.corners[before], start, stop, outline.corners[(after + 1) % count])
        if meeting is None:
            gone |= {k}
        else:
            at, radius = meeting
    if count - len(gone) < 3 or run > count - 3:
        return None
    kept = [i for i in range(count) if i not in gone]
    return replace(
        outline,
        corners=tuple(at if i == k else outline.corners[i] for i in kept),
        radii=tuple(radius if i == k else outline.radii[i] for i in kept),
        bulges=tuple(outline.bulges[after] if i == k else outline.bulges[i] for i in kept),
    )


def _meeting(far: Point, start: Point, stop: Point, end: Point) -> tuple[Point, float] | None:
    """Return where far-start and end-stop meet beyond their ends, and the radius that reaches from end to end."""
    into = (start[0] - far[0], start[1] - far[1])
    out = (end[0] - stop[0], end[1] - stop[1])
    turned = into[0] * out[1] - into[1] * out[0]
    if abs(turned) < 0.02 * math.hypot(*into) * math.hypot(*out):
        return None
    along = ((stop[0] - start[0]) * out[1] - (stop[1] - start[1]) * out[0]) / turned
    at = (start[0] + along * into[0], start[1] + along * into[1])
    turn = math.atan2(turned, into[0] * out[0] + into[1] * out[1])
    reach = (math.dist(at, start) + math.dist(at, stop)) / 2
    return at, max(reach / abs(math.tan(turn / 2)), 0.5)
