"""A start for the adjustment: where sheets lie and cameras stand, from the marks' corners alone."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

from layout.trace.adjust import FOCAL_SD, FOCAL_UNKNOWN_SD, Adjusted, Shot, Start, adjusted
from layout.trace.camera import turn_of
from layout.trace.result import TraceError

if TYPE_CHECKING:
    from layout.trace.arrays import Floats

_Lying = dict[int, tuple[float, float, float]]
USUAL_FOCALS = (0.65, 0.78, 1.0, 1.5, 2.2, 3.2)
"""Focal lengths of telephones as shares of the longer side, tried where the file says none."""


def placed(shots: tuple[Shot, ...], focal_px: float | None, tape: tuple[int, int, float] | None) -> Adjusted:
    """Return the adjustment of all photographs, from the best start.

    Raises
    ------
    TraceError
        When photographs share no sheet, or a taped sheet is not seen.
    """
    lying = _lying(shots)
    if tape and not {tape[0], tape[1]} <= set(lying):
        seen = ", ".join(str(number) for number in sorted(lying))
        raise TraceError(f"the tape goes to a sheet that is not seen; seen are {seen}", "name sheets in the picture")
    long_px = max(shots[0].width, shots[0].height)
    tried = [(focal_px, FOCAL_SD)] if focal_px else [(share * long_px, FOCAL_UNKNOWN_SD) for share in USUAL_FOCALS]
    found = []
    for focal, focal_sd in tried:
        start = Start(
            focal_px=focal,
            focal_sd=focal_sd,
            sheets=lying,
            poses=tuple(_pose(shot, lying, focal) for shot in shots),
        )
        found.append(adjusted(shots, start, tape))
    return min(found, key=lambda one: one.cost)


def _corners(shot: Shot, sheets: set[int] | None = None) -> tuple[Floats, Floats, list[int]]:
    """Return corners on their sheets, in the picture, and the sheet of each."""
    seen = [one for one in shot.seen if sheets is None or one.mark.sheet in sheets]
    local = np.array([corner for one in seen for corner in one.mark.corners()])
    pixels = np.vstack([one.corners for one in seen])
    return local, pixels, [one.mark.sheet for one in seen for _ in range(4)]


def _lying(shots: tuple[Shot, ...]) -> _Lying:
    """Return where all sheets lie in the plane of the first, photograph by photograph, twice for a better start."""
    first = min(one.mark.sheet for one in shots[0].seen)
    lying: _Lying = {first: (0.0, 0.0, 0.0)}
    for _ in range(2):
        waiting = list(shots)
        while waiting:
            ready = [shot for shot in waiting if any(one.mark.sheet in lying for one in shot.seen)]
            if not ready:
                raise TraceError("the photographs share no sheet", "take each so that the same sheets are in it")
            _laid_by(ready[0], lying)
            waiting.remove(ready[0])
    base = lying[min(lying)]
    return {number: _relative(base, place) for number, place in lying.items()}


def _relative(base: tuple[float, float, float], place: tuple[float, float, float]) -> tuple[float, float, float]:
    c, s = np.cos(base[2]), np.sin(base[2])
    dx, dy = place[0] - base[0], place[1] - base[1]
    return (float(c * dx + s * dy), float(-s * dx + c * dy), place[2] - base[2])


def _laid_by(shot: Shot, lying: _Lying) -> None:
    """Lay down every sheet of a photograph by those that lie already."""
    local, pixels, sheets = _corners(shot)
    known = np.array([sheet in lying for sheet in sheets])
    at = np.array([_laid(point, lying[sheet]) for point, sheet in zip(local, sheets, strict=True) if sheet in lying])
    to_plane, _ = cv2.findHomography(pixels[known], at, 0)
    if to_plane is None:
        raise TraceError("the marks of a photograph do not lie on a plane", "lay all sheets flat on one surface")
    plane = cv2.perspectiveTransform(pixels[:, None, :], to_plane)[:, 0]
    for sheet in sorted(set(sheets)):
        rows = np.array([one == sheet for one in sheets])
        a, b = local[rows] - local[rows].mean(axis=0), plane[rows] - plane[rows].mean(axis=0)
        turn = float(np.arctan2((a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]).sum(), (a * b).sum()))
        c, s = np.cos(turn), np.sin(turn)
        x, y = plane[rows].mean(axis=0) - np.array([[c, -s], [s, c]]) @ local[rows].mean(axis=0)
        lying[sheet] = (float(x), float(y), turn)


def _laid(point: Floats, place: tuple[float, float, float]) -> tuple[float, float]:
    c, s = np.cos(place[2]), np.sin(place[2])
    return (c * point[0] - s * point[1] + place[0], s * point[0] + c * point[1] + place[1])


def _pose(shot: Shot, lying: _Lying, focal: float) -> tuple[Floats, Floats]:
    local, pixels, sheets = _corners(shot, set(lying))
    flat = np.array([_laid(point, lying[sheet]) for point, sheet in zip(local, sheets, strict=True)])
    middle = flat.mean(axis=0)
    space = np.column_stack([flat - middle, np.zeros(len(flat))])
    matrix = np.array([[focal, 0, shot.width / 2 - 0.5], [0, focal, shot.height / 2 - 0.5], [0, 0, 1.0]])
    _, turns, shifts, _ = cv2.solvePnPGeneric(space, pixels, matrix, None, flags=cv2.SOLVEPNP_IPPE)
    turn, shift = np.asarray(turns[0], np.float64).ravel(), np.asarray(shifts[0], np.float64).ravel()
    return turn, shift - turn_of(turn) @ np.array([*middle, 0.0])
