"""A closed chain of points cut into straight and round pieces: the cheapest division, found over all divisions.

A division costs its squared deviations in units of the noise, and a price for each piece. Sums over any stretch come
from running sums, so every stretch is weighed as a line and as a circle (Kåsa 1976, IEEE Trans. Instrum. Meas. 25).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

import numpy as np

from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from layout.trace.arrays import Floats

LINE_PRICE, ARC_PRICE = 16.0, 26.0
"""What one more piece costs; a round one has a number more to be fitted."""
LEAST_LINE_POINTS, LEAST_ARC_POINTS = 3, 5
"""A line or a circle through fewer points says nothing."""
_FLATTEST = 20.0
"""A circle larger than this many times the whole shape is a line."""


@dataclass(frozen=True, slots=True)
class OutlinePiece:
    """A stretch of the chain from point ``first`` up to, without, ``last``, which may count beyond the chain's end."""

    kind: Literal["line", "arc"]
    first: int
    last: int

    def among(self, points: Floats) -> Floats:
        """Return the points of the stretch."""
        return points[np.arange(self.first, self.last) % len(points)]


def divided(points: Floats, sigma_mm: float) -> list[OutlinePiece]:
    """Return the cheapest division of a closed chain of evenly spaced points, in order round it.

    Parameters
    ----------
    points
        At least 12 rows of x and y, mm; the first is not repeated.
    sigma_mm
        How far a point may lie off without meaning anything.
    """
    start = _straightest(points)
    chain = np.roll(points, -start, axis=0)
    spans = _cheapest(chain, sigma_mm)
    pieces = [OutlinePiece(kind, first + start, last + start) for kind, first, last in spans]
    if len(pieces) > 1 and pieces[0].kind == pieces[-1].kind == "line":
        joined = OutlinePiece("line", pieces[-1].first, pieces[0].last + len(points))
        pieces = [*pieces[1:-1], joined]
    return pieces


def _straightest(points: Floats) -> int:
    """Return the point about which the chain is straightest; the division begins there."""
    reach = max(2, len(points) // 16)
    back, forth = np.roll(points, reach, axis=0), np.roll(points, -reach, axis=0)
    chord = forth - back
    to_here = points - back
    off = np.abs(chord[:, 0] * to_here[:, 1] - chord[:, 1] * to_here[:, 0]) / np.maximum(np.hypot(*chord.T), 1e-9)
    window = np.ones(reach) / reach
    smooth = np.convolve(np.concatenate([off[-reach:], off, off[:reach]]), window, mode="same")[reach:-reach]
    return int(np.argmin(smooth))


def _cheapest(chain: Floats, sigma_mm: float) -> list[tuple[Literal["line", "arc"], int, int]]:
    size = float(np.ptp(chain, axis=0).max())
    unit = (chain - chain.mean(axis=0)) / size
    sigma2 = (sigma_mm / size) ** 2
    sums = _running_sums(unit)
    count = len(chain)
    best = np.full(count + 1, np.inf)
    best[0] = 0.0
    came: list[tuple[int, Literal["line", "arc"]]] = [(0, "line")] * (count + 1)
    for last in range(1, count + 1):
        line, arc = _costs(sums, last, sigma2)
        as_line, as_arc = best[:last] + line, best[:last] + arc
        at_line, at_arc = int(np.argmin(as_line)), int(np.argmin(as_arc))
        if as_line[at_line] <= as_arc[at_arc]:
            best[last], came[last] = as_line[at_line], (at_line, "line")
        else:
            best[last], came[last] = as_arc[at_arc], (at_arc, "arc")
    spans: list[tuple[Literal["line", "arc"], int, int]] = []
    last = count
    while last > 0:
        first, kind = came[last]
        spans.append((kind, first, last))
        last = first
    return spans[::-1]


def _running_sums(unit: Floats) -> Floats:
    x, y = unit.T
    q = x * x + y * y
    terms = np.stack([np.ones_like(x), x, y, q, x * x, x * y, y * y, x * q, y * q, q * q], axis=1)
    return np.vstack([np.zeros((1, terms.shape[1])), np.cumsum(terms, axis=0)])


def _costs(sums: Floats, last: int, sigma2: float) -> tuple[Floats, Floats]:
    """Return the price of a line and of an arc from every earlier point up to but without ``last``."""
    n, x, y, q, xx, xy, yy, xq, yq, qq = (sums[last] - sums[:last]).T
    cxx, cxy, cyy = xx - x * x / n, xy - x * y / n, yy - y * y / n
    half, spread = (cxx + cyy) / 2, np.hypot((cxx - cyy) / 2, cxy)
    line = np.maximum(half - spread, 0.0) / sigma2 + LINE_PRICE
    cxq, cyq, cqq = xq - x * q / n, yq - y * q / n, qq - q * q / n
    det = cxx * cyy - cxy * cxy
    with np.errstate(divide="ignore", invalid="ignore"):
        a2, b2 = (cxq * cyy - cyq * cxy) / det, (cyq * cxx - cxq * cxy) / det
        off = np.maximum(cqq - a2 * cxq - b2 * cyq, 0.0)
        radius2 = (q - a2 * x - b2 * y) / n + (a2 * a2 + b2 * b2) / 4
        arc = off / (4 * radius2) / sigma2 + ARC_PRICE
    bad = ~np.isfinite(arc) | (radius2 <= 0) | (radius2 > _FLATTEST**2) | (n < LEAST_ARC_POINTS)
    return np.where(n < LEAST_LINE_POINTS, np.inf, line), np.where(bad, np.inf, arc)
