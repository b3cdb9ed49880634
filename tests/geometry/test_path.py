"""Paths of lines and true arcs."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.geometry.path import Arc, Box, Line, Path
from layout.geometry.shapes import as_circle, circle, rectangle
from tests.geometry.strategies import paths, spots


def close(first: Path, second: Path, slack: float = 1e-9) -> bool:
    """Two paths go through the same points."""
    return all(
        math.dist(a.point_at(s), b.point_at(s)) <= slack
        for a, b in zip(first.segments, second.segments, strict=True)
        for s in (0.0, 0.3, 1.0)
    )


def test_half_disc_has_its_true_area_and_length() -> None:
    """A half disc of radius 10 has area 50 pi and length 20 + 10 pi, no chord anywhere."""
    half = Path((Line((-10, 0), (10, 0)), Arc((10, 0), (-10, 0), (0, 0), ccw=True)), closed=True)
    assert half.area() == pytest.approx(50 * math.pi, abs=1e-12)
    assert half.length() == pytest.approx(20 + 10 * math.pi, abs=1e-12)
    assert half.bounds() == Box(-10, 0, 10, 10)


@given(paths)
def test_reversed_changes_only_the_sign_of_the_area(path: Path) -> None:
    """Travelled the other way a path encloses the same area with the other sign, and is as long."""
    assert path.reversed().area() == pytest.approx(-path.area())
    assert path.reversed().length() == pytest.approx(path.length())
    assert path.reversed().reversed() == path


@given(paths, st.floats(-300, 300))
def test_mirrored_twice_is_the_same(path: Path, x: float) -> None:
    """Mirroring twice across one line gives the path back; once turns its sense."""
    assert close(path.mirrored_x(x).mirrored_x(x), path)
    assert path.mirrored_x(x).area() == pytest.approx(-path.area())


@given(paths, spots)
def test_full_turns_are_nothing(path: Path, about: tuple[float, float]) -> None:
    """Four quarter turns, or one of 360 degrees, give the path back."""
    assert close(path.turned(360, about), path)
    quartered = path
    for _ in range(4):
        quartered = quartered.turned(90, about)
    assert close(quartered, path)


@given(paths, st.floats(-360, 360), spots)
def test_turns_and_moves_keep_area_and_length(path: Path, degrees: float, by: tuple[float, float]) -> None:
    """A rigid motion changes neither area nor length."""
    moved = path.turned(degrees, (10, -5)).moved(*by)
    assert moved.area() == pytest.approx(path.area(), rel=1e-9)
    assert moved.length() == pytest.approx(path.length(), rel=1e-9)


@given(paths, st.sampled_from([0.5, 0.05, 0.005]))
def test_chain_of_points_keeps_within_the_tolerance(path: Path, tolerance: float) -> None:
    """A chain's area misses at most tolerance times length, and each point lies on the path."""
    chain = path.points(tolerance)
    ends = zip(chain, (*chain[1:], chain[0]), strict=True)
    area = sum(Line(a, b).swept_area() for a, b in ends)
    assert abs(area - path.area()) <= tolerance * path.length() + 1e-6


@given(paths)
def test_bounds_hold_every_point_and_touch_the_path(path: Path) -> None:
    """The box holds a fine chain of the path, and is no more than the chain's error larger."""
    chain = path.points(0.001)
    box = path.bounds()
    xs, ys = [x for x, _ in chain], [y for _, y in chain]
    measured = (min(xs), min(ys), max(xs), max(ys))
    assert all(abs(a - b) <= 0.0011 for a, b in zip((box.x0, box.y0, box.x1, box.y1), measured, strict=True))
    assert box.x0 <= measured[0] + 1e-9
    assert box.x1 >= measured[2] - 1e-9


@pytest.mark.parametrize(
    ("make", "says"),
    [
        pytest.param(lambda: Path((), closed=True), "at least one", id="nothing"),
        pytest.param(lambda: Path((Line((0, 0), (1, 0)), Line((2, 0), (3, 0))), closed=False), "meet", id="apart"),
        pytest.param(lambda: Path((Line((0, 0), (1, 0)),), closed=True), "meet", id="not closed"),
        pytest.param(lambda: Arc((1, 0), (0, 2), (0, 0), ccw=True), "equally far", id="uneven radii"),
        pytest.param(lambda: Arc((1, 0), (1, 0), (0, 0), ccw=True), "two different ends", id="full circle"),
        pytest.param(lambda: Box(1, 0, 0, 1), "lower left", id="box inside out"),
        pytest.param(lambda: Path((Line((0, 0), (1, 0)),), closed=False).area(), "no area", id="open"),
        pytest.param(lambda: Box.around(()), "nothing", id="box round nothing"),
        pytest.param(lambda: circle(5).points(0), "tolerance_mm", id="no tolerance"),
    ],
)
def test_impossible_paths_are_refused(make, says: str) -> None:
    """What is no path is refused when made, with the reason."""
    with pytest.raises(ValueError, match=says):
        make()


def test_open_path_has_an_end() -> None:
    """An open chain keeps its last point; a closed one ends at its start."""
    chain = Path((Line((0, 0), (5, 0)), Line((5, 0), (5, 7))), closed=False)
    assert chain.end == (5, 7)
    assert chain.points(1) == ((0, 0), (5, 0), (5, 7))
    assert rectangle(4, 2).end == rectangle(4, 2).start


def test_circle_is_known_after_moving() -> None:
    """A circle stays one, analytically, after turns, mirrors and moves."""
    found = as_circle(circle(52, at=(3, 4)).turned(33).mirrored_x(1).moved(1, 1))
    assert found is not None
    assert found[1] == pytest.approx(52)


def test_parts_of_an_arc_add_up() -> None:
    """Two parts of an arc are as long as the whole and meet."""
    arc = Arc((10, 0), (0, -10), (0, 0), ccw=True)
    first, second = arc.part(0, 0.4), arc.part(0.4, 1)
    assert first.end == second.start
    assert first.length() + second.length() == pytest.approx(arc.length())


def test_boxes_measure_their_gap() -> None:
    """Boxes apart in both directions are a diagonal apart; overlapping ones are 0 apart."""
    box = Box(0, 0, 10, 10)
    assert box.gap_mm(Box(13, 14, 20, 20)) == pytest.approx(5)
    assert box.gap_mm(box.moved(5, 5)) == 0
    assert box.grown(2) == Box(-2, -2, 12, 12)
    assert box.centre == (5, 5)
