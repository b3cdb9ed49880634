"""The stated uncertainty: the worst deviation of the outline over many draws of everything that is not known."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from layout.trace.contour import stations

if TYPE_CHECKING:
    from layout.trace.adjust import Adjusted
    from layout.trace.arrays import Floats
    from layout.trace.fit import Fit

DRAWS = 200
WIDER = 1.25
"""What the draws leave out; chosen so that 95 % of made-up photographs lie within (tests/benchmarks/trace.py)."""
EDGE_SD_PX, EDGE_SD_HOLE_PX = 0.15, 0.4
"""By how much the whole edge may be seen too far out or in; the wall of a hole blurs into its edge."""
_SHARED_POINTS = 6.0
"""So many neighbouring edge points err together."""


def stated_mm(place: Adjusted, fit: Fit, z_mm: float, z_sd_mm: float, edge_sd_mm: float) -> float:
    """Return what with 95 % no place of the outline is farther off than, once it is laid over the truth.

    Parameters
    ----------
    z_mm, z_sd_mm
        Height of the edge above the marks, and how well it is known (one standard deviation).
    edge_sd_mm
        By how much the whole edge may be seen too far out or in (one standard deviation).
    """
    points, out = _along(fit)
    space = np.column_stack([points, np.full(len(points), z_mm)])
    pixels = [view.seen(space) for view in place.views()]
    rng = np.random.default_rng(2)
    worst = []
    for numbers in place.drawn(DRAWS):
        height = z_mm + z_sd_mm * rng.standard_normal()
        bias = edge_sd_mm * rng.standard_normal()
        seen = zip(place.views(numbers), pixels, strict=True)
        back = np.mean([view.on_plane(px, height) for view, px in seen], axis=0) + bias * out
        worst.append(float(np.abs(((_laid_over(back, points) - points) * out).sum(axis=1)).max()))
    of_fit = 2 * fit.sigma_mm * np.sqrt(_SHARED_POINTS * fit.outline.size / max(1, len(fit.off_mm)))
    return WIDER * float(np.hypot(np.quantile(worst, 0.95), of_fit))


def _along(fit: Fit) -> tuple[Floats, Floats]:
    return stations(np.array(fit.outline.path().points(0.02)), 160, smooth=0.3)


def _laid_over(points: Floats, onto: Floats) -> Floats:
    """Return points turned and shifted on to others as well as can be (Kabsch 1976, Acta Cryst. A 32)."""
    a, b = points - points.mean(axis=0), onto - onto.mean(axis=0)
    turn = np.arctan2((a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]).sum(), (a * b).sum())
    c, s = np.cos(turn), np.sin(turn)
    made: Floats = a @ np.array([[c, s], [-s, c]]) + onto.mean(axis=0)
    return made
