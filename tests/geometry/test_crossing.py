"""Where pieces meet."""

from __future__ import annotations

import math
from itertools import combinations
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.geometry.box import Box
from layout.geometry.crossing import _near, crosses_itself, crossings
from layout.geometry.path import Arc, Line, Path
from layout.geometry.segment import distance_mm
from layout.geometry.shapes import circle, polygon, rectangle
from tests.geometry.strategies import paths

LINE = Line((-20, 0), (20, 0))
ARC = Arc((10, 0), (-10, 0), (0, 0), ccw=True)


@pytest.mark.parametrize(
    ("first", "second", "points"),
    [
        pytest.param(LINE, Line((5, -5), (5, 5)), [(5, 0)], id="lines cross"),
        pytest.param(LINE, Line((5, 1), (5, 5)), [], id="lines miss"),
        pytest.param(LINE, Line((-30, 0), (5, 0)), [(-20, 0), (5, 0)], id="lines share a stretch"),
        pytest.param(Line((-20, 5), (20, 5)), ARC, [(-(75**0.5), 5), (75**0.5, 5)], id="line cuts arc twice"),
        pytest.param(Line((-20, 10), (20, 10)), ARC, [(0, 10)], id="line touches arc"),
        pytest.param(Line((-20, -5), (20, -5)), ARC, [], id="line cuts the missing half"),
        pytest.param(ARC, ARC.moved(12, 0), [(6, 8)], id="arcs cross"),
        pytest.param(ARC, ARC.mirrored_x().moved(0, 20), [], id="arcs back to back, one missing"),
        pytest.param(ARC, Arc((0, 10), (0, -10), (0, 0), ccw=True), [(-10, 0), (0, 10)], id="arcs share a stretch"),
        pytest.param(ARC, Arc((20, 0), (0, 0), (10, 0), ccw=True).moved(10, 0), [(10, 0)], id="arcs touch"),
    ],
)
def test_pieces_meet_at_known_points(first, second, points) -> None:
    """Two pieces meet exactly where drawn on paper, seen from either."""
    for one, other in ((first, second), (second, first)):
        found = sorted({tuple(round(c, 6) + 0.0 for c in one.point_at(share)) for share, _ in crossings(one, other)})
        assert found == [pytest.approx(point, abs=1e-6) for point in sorted(points)]


@given(paths, paths, st.integers(-100, 100), st.integers(-100, 100))
def test_meeting_points_lie_on_both(first: Path, second: Path, dx: int, dy: int) -> None:
    """A meeting point is the same point on both pieces."""
    for one in first.segments:
        for other in second.moved(dx, dy).segments:
            for here, there in crossings(one, other):
                assert distance_mm(one.point_at(here), other.point_at(there)) < 1e-5


def test_self_crossing_is_found() -> None:
    """A bow tie crosses itself in the middle; a rectangle and a circle do not."""
    corners = [(0, 0), (10, 10), (10, 0), (0, 10)]
    bow = Path(tuple(Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)), closed=True)
    assert crosses_itself(bow) == pytest.approx((5, 5))
    assert crosses_itself(rectangle(10, 5, radius_mm=2)) is None
    assert crosses_itself(circle(8)) is None


def test_the_sweep_finds_every_pair_of_boxes_that_touch() -> None:
    """The pairs of a left-to-right sweep are those of trying all, and few on a fine ring of 3,000 corners."""
    random = Random(5)
    for _ in range(30):
        corners = [(random.uniform(0, 9), random.uniform(0, 9)) for _ in range(40)]
        boxes = [Box(x, y, x + random.uniform(0, 3), y + random.uniform(0, 3)) for x, y in corners]
        tried = [(i, j) for i, j in combinations(range(len(boxes)), 2) if boxes[i].gap_mm(boxes[j]) == 0]
        assert _near(boxes) == tried
    turns = [2 * math.pi * k / 3000 for k in range(3000)]
    ring = polygon([(400 * math.cos(turn), 400 * math.sin(turn)) for turn in turns])
    assert len(_near([segment.bounds() for segment in ring.segments])) <= 2 * 3000
