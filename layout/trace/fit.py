"""The outline that lies best through edge points: a circle if it is one, else lines and arcs, no more than needed."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from scipy.optimize import least_squares

from layout.light_dataclass import dataclass
from layout.trace.arrays import cross
from layout.trace.outline import Outline, track
from layout.trace.start import first_outline
from layout.trace.variants import fewer, rounder, sharper

if TYPE_CHECKING:
    from collections.abc import Callable

    from layout.trace.arrays import Floats

MOST_CORNERS = 16
"""A panel has fewer; more is a rag, and would take long."""
FAR = 2.0
"""Deviations beyond so many times the noise pull less and less (Cauchy's loss)."""
MOST_TRIED = 80
"""Changes of one kind that are tried; it bounds the time."""
MOST_POLISH, SETTLED = 6, 0.3
"""A fit is settled again so often, until it gains less than this."""
MOST_BULGE = 2.5
"""An arc of more than three quarters of a turn between two corners is none that anybody saws."""
LEAST_POINTS = 40
"""Fewer edge points are no outline."""
NUMBER_PRICE = 9.0
"""What one more fitted number must gain in squared deviations, in units of the noise."""
ROUND_ENOUGH = 1.15
"""A circle is taken when its noise is at most this much more than that of lines and arcs."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """An outline, and how the points lie about it.

    Attributes
    ----------
    off_mm
        Signed distance of every point, outside positive.
    used
        Which points the fit holds to; the others are strays.
    sigma_mm
        Noise of those points about the outline.
    spread
        Covariance of the outline's numbers from that noise, were each point's its own.
    """

    outline: Outline
    off_mm: Floats
    used: Floats
    sigma_mm: float
    spread: Floats

    def radius_sd_mm(self) -> tuple[float, ...]:
        """Return one standard deviation of each fitted radius, in order."""
        if self.outline.round:
            return (math.sqrt(abs(self.spread[2, 2])),)
        first = 2 * len(self.outline.corners)
        count = sum(radius is not None for radius in self.outline.radii)
        return tuple(math.sqrt(abs(self.spread[k, k])) for k in range(first, first + count))


def fitted_outline(points: Floats, sigma_mm: float) -> Fit:
    """Return the outline through a closed chain of points.

    Parameters
    ----------
    points
        Evenly spaced, counter-clockwise, mm; at least 40 rows. Strays may be among them.
    sigma_mm
        What a point's place is good for; deviations below mean nothing.

    Raises
    ------
    ValueError
        When the chain is a rag that no outline of at most ``MOST_CORNERS`` corners fits.
    """
    middle = points.mean(axis=0)
    centred = points - middle
    sigma = max(sigma_mm, 1e-3)
    made = _as_circle(centred, sigma)
    if made is None or made.sigma_mm > 2 * sigma:
        rest = _as_outline(centred, sigma)
        if made is None or rest.sigma_mm * ROUND_ENOUGH < made.sigma_mm:
            made = rest
    return replace(made, outline=made.outline.moved(float(middle[0]), float(middle[1])))


def _without_strays(points: Floats, sigma: float) -> Floats:
    """Return the points that do not leap from their neighbours; those of sharp corners may go too."""
    around = np.stack([np.roll(points, shift, axis=0) for shift in (3, 2, 1, -1, -2, -3)])
    before, after = np.median(around[:3], axis=0), np.median(around[3:], axis=0)
    chord = after - before
    leap = cross(chord, points - before) / np.maximum(np.hypot(*chord.T), 1e-9)
    usual = np.median(np.stack([np.roll(leap, shift) for shift in range(-3, 4)]), axis=0)
    keep = np.abs(leap - usual) < 5 * sigma
    return points[keep] if keep.sum() > max(LEAST_POINTS, len(points) / 2) else points


def _as_circle(points: Floats, sigma: float) -> Fit | None:
    x, y = points.T
    q = x * x + y * y
    (a2, b2, c), *_ = np.linalg.lstsq(np.stack([x, y, np.ones_like(x)], axis=1), q, rcond=None)
    radius2 = c + (a2 * a2 + b2 * b2) / 4
    if radius2 <= 0:
        return None
    fit = settled(points, Outline(round=(a2 / 2, b2 / 2, math.sqrt(radius2))), sigma)
    inside = np.mean(np.abs(fit.off_mm) < max(4 * sigma, 0.004 * math.sqrt(radius2)))
    return fit if inside > 0.9 else None


def _as_outline(points: Floats, sigma: float) -> Fit:
    clean = _without_strays(points, sigma)
    for coarse in (1.0, 3.0):
        outline = first_outline(clean, coarse * sigma)
        if len(outline.corners) > MOST_CORNERS:
            continue
        best = settled(points, outline, sigma)
        if not _is_sound(best.outline):
            best = replace(best, outline=outline, off_mm=track(outline).distances(points)[0])
        for changes in (fewer, rounder, sharper, fewer):
            best = _bettered(best, changes, points, sigma)
        if _is_sound(best.outline):
            return best
    raise ValueError("no outline of lines and arcs runs through the edge points")


def _bettered(best: Fit, changes: Callable[[Outline], list[Outline]], points: Floats, sigma: float) -> Fit:
    """Return the fit after changes of one kind that pay, each taken when it is found; the number tried is bounded."""
    tried = 0
    best = _polished(best, points, sigma)
    while tried < MOST_TRIED:
        for changed in changes(best.outline):
            tried += 1
            one = settled(points, changed, sigma)
            if _is_better(one, best, sigma):
                best = _polished(one, points, sigma)
                break
        else:
            return best
    return best


def _polished(fit: Fit, points: Floats, sigma: float) -> Fit:
    """Return the fit settled further while that gains: only what has settled can be compared with less."""
    for _ in range(MOST_POLISH):
        further = settled(points, fit.outline, sigma)
        if not _is_better(further, fit, sigma):
            return fit
        gained = _price(fit, sigma) - _price(further, sigma)
        fit = further
        if gained < SETTLED:
            return fit
    return fit


def _is_better(one: Fit, best: Fit, sigma: float) -> bool:
    if _is_sound(best.outline) != _is_sound(one.outline):
        return _is_sound(one.outline)
    return _price(one, sigma) < _price(best, sigma) - 1e-6


def _is_sound(outline: Outline) -> bool:
    if any(bulge is not None and abs(bulge) > MOST_BULGE for bulge in outline.bulges):
        return False
    try:
        outline.path()
    except ValueError:
        return False
    return True


def _price(fit: Fit, sigma: float) -> float:
    cost = FAR**2 * np.log1p((fit.off_mm / sigma / FAR) ** 2)
    return float(cost.sum()) / 2 + NUMBER_PRICE * fit.outline.size


def settled(points: Floats, outline: Outline, sigma: float) -> Fit:
    """Return the outline of the same make that lies best through the points; far strays hardly pull."""

    def off(numbers: Floats) -> Floats:
        return track(outline.with_numbers(numbers)).distances(points)[0] / sigma

    found = least_squares(off, outline.numbers(), loss="cauchy", f_scale=FAR, max_nfev=25, x_scale="jac", xtol=1e-6)
    best = outline.with_numbers(found.x)
    off_mm = off(found.x) * sigma
    used = np.abs(off_mm) < max(3 * float(np.median(np.abs(off_mm))) * 1.4826, 2 * sigma)
    noise = float(np.sqrt(np.mean(off_mm[used] ** 2))) if used.any() else math.inf
    jacobian = found.jac * sigma
    spread = np.linalg.pinv(jacobian.T @ jacobian, hermitian=True) * noise**2
    return Fit(outline=best, off_mm=off_mm, used=used.astype(np.float64), sigma_mm=noise, spread=spread)
