"""The outline through edge points: lines, true arcs in corners, circles; strays do no harm."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from layout.trace.fit import fitted_outline
from tests.trace.truth import SHAPES, deviation_mm


def edge(name: str, noise_mm: float, strays: float, seed: int) -> np.ndarray:
    """Return noisy points along a shape, a share of them far off."""
    rng = np.random.default_rng(seed)
    ring = shapely.LinearRing(SHAPES[name].points(0.003))
    at = (np.arange(640) + 0.5) / 640 * ring.length
    points = shapely.get_coordinates(shapely.line_interpolate_point(ring, at))
    ahead = shapely.get_coordinates(shapely.line_interpolate_point(ring, (at + 0.01) % ring.length))
    along = (ahead - points) / np.hypot(*(ahead - points).T)[:, None]
    off = rng.normal(0, noise_mm, 640) + np.where(rng.random(640) < strays, rng.normal(0, 3, 640), 0)
    return points + off[:, None] * np.column_stack([along[:, 1], -along[:, 0]])


@pytest.mark.parametrize("name", sorted(SHAPES))
def test_outline_through_noisy_points(name: str) -> None:
    """Noise of 0.1 mm leaves sides within 0.1 mm and corners within what their few points bear."""
    fit = fitted_outline(edge(name, 0.1, 0.0, 1), 0.1)
    assert deviation_mm(fit.outline.path(), SHAPES[name]) < 0.4
    assert fit.sigma_mm < 0.13


@pytest.mark.parametrize("name", ["plain", "stepped", "gauge"])
def test_strays_do_not_pull(name: str) -> None:
    """Three of a hundred points some millimetres off change little."""
    fit = fitted_outline(edge(name, 0.1, 0.03, 2), 0.1)
    assert deviation_mm(fit.outline.path(), SHAPES[name]) < 0.6


def test_small_roundings_are_found_whichever_corner_is_first() -> None:
    """Every corner keeps its radius: a rounding is not dropped because another had not settled yet."""
    for shift in (0, 160, 320, 480):
        fit = fitted_outline(np.roll(edge("stepped", 0.02, 0.0, 3), shift, axis=0), 0.17)
        assert [radius is not None for radius in fit.outline.radii] == [True] * 6
