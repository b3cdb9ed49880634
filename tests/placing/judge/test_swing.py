"""What an opening panel sweeps, against many small steps."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.geometry.box import Box
from layout.placing.judge.swing import swept_clearance_mm

STEPS = 361


@st.composite
def boxes(draw: st.DrawFn, *, out: int) -> Box:
    """Boxes near the pin."""
    x, y = draw(st.integers(0, out)), draw(st.integers(-out, out // 2))
    return Box(x, y, x + draw(st.integers(0, 60)), y + draw(st.integers(1, 60)))


def stepped_mm(moving: Box, still: Box, opens: float) -> float:
    """Distance at the nearest of many openings, each by the corners of one box and the sides of the other."""
    best = math.inf
    corners = np.array([(moving.x0, moving.y0), (moving.x1, moving.y0), (moving.x1, moving.y1), (moving.x0, moving.y1)])
    spots = np.array([(still.x0, still.y0), (still.x1, still.y0), (still.x1, still.y1), (still.x0, still.y1)])
    for angle in np.radians(np.linspace(0, opens, STEPS)):
        turn = np.array([[math.cos(angle), math.sin(angle)], [-math.sin(angle), math.cos(angle)]])
        best = min(best, _off(corners @ turn, still), _off(spots @ turn.T, moving))
    return best


def _off(points: np.ndarray, box: Box) -> float:
    dx = np.maximum(np.maximum(box.x0 - points[:, 0], points[:, 0] - box.x1), 0)
    dy = np.maximum(np.maximum(box.y0 - points[:, 1], points[:, 1] - box.y1), 0)
    return float(np.hypot(dx, dy).min())


@given(boxes(out=200), boxes(out=300), st.sampled_from([30.0, 90.0, 135.0, 180.0]))
def test_sweep_is_the_least_of_many_steps(moving: Box, still: Box, opens: float) -> None:
    """The exact clearance is never more than the least of 361 openings, and less only by what a step can hide."""
    exact, steps = swept_clearance_mm(moving, still, opens), stepped_mm(moving, still, opens)
    radius = max(math.hypot(x, y) for box in (moving, still) for x in (box.x0, box.x1) for y in (box.y0, box.y1))
    assert exact <= steps + 1e-6
    assert steps - exact <= math.radians(opens) / (STEPS - 1) * radius + 1e-6


def test_corner_on_the_pin_stays_there() -> None:
    """A box that touches the pin keeps its distance to what is beside the pin."""
    assert swept_clearance_mm(Box(0, -10, 50, 0), Box(-30, 5, -20, 15), 45) == pytest.approx(math.hypot(20, 5))
