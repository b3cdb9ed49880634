"""The usual shapes."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from svgelements import Path as SvgPath

from layout.geometry.path import Arc, Path
from layout.geometry.shapes import as_circle, circle, fillet_path, path_through, polygon, rectangle, slot


def svg(path: Path) -> SvgPath:
    """Give the same path to another library, by its SVG text."""
    words = [f"M {path.start[0]!r},{path.start[1]!r}"]
    for piece in path.segments:
        end = f"{piece.end[0]!r},{piece.end[1]!r}"
        if isinstance(piece, Arc):
            large = int(abs(piece.sweep) > math.pi)
            words.append(f"A {piece.radius!r},{piece.radius!r} 0 {large} {int(piece.ccw)} {end}")
        else:
            words.append(f"L {end}")
    return SvgPath(" ".join(words) + " Z")


@pytest.mark.parametrize(
    ("path", "area", "length"),
    [
        pytest.param(rectangle(100, 50), 5000, 300, id="rectangle"),
        pytest.param(
            rectangle(100, 50, radius_mm=10), 5000 - (4 - math.pi) * 100, 300 - 80 + 20 * math.pi, id="rounded"
        ),
        pytest.param(rectangle(50, 50, radius_mm=25), math.pi * 625, math.pi * 50, id="rounded to a circle"),
        pytest.param(circle(52), math.pi * 26**2, math.pi * 52, id="circle"),
        pytest.param(slot(60, 20, turn_deg=30), 800 + math.pi * 100, 80 + math.pi * 20, id="slot"),
        pytest.param(slot(20, 20), math.pi * 100, math.pi * 20, id="slot as short as it is wide"),
        pytest.param(polygon([(0, 0), (0, 30), (40, 0), (0, 0)]), 600, 120, id="clockwise and closed twice"),
    ],
)
def test_shapes_have_their_textbook_area_and_length(path: Path, area: float, length: float) -> None:
    """Area and length are those of the formulas, and every shape runs counter-clockwise."""
    assert path.area() == pytest.approx(area, rel=1e-12)
    assert path.length() == pytest.approx(length, rel=1e-12)


@pytest.mark.parametrize(
    "path",
    [
        rectangle(100, 50, radius_mm=10, at=(7, -3)),
        slot(60, 20, turn_deg=30),
        fillet_path([(0, 0), (100, 0), (100, 100), (50, 30), (0, 100)], [5, 5, 5, 8, 5]),
        path_through(
            [("corner", (0, 0), 5), ("corner", (80, 0), 0), ("arc", (80, 40), (100, 20)), ("corner", (0, 40), 3)]
        ),
    ],
    ids=["rounded", "slot", "bay", "bulge"],
)
def test_bounds_and_length_agree_with_another_library(path: Path) -> None:
    """svgelements, given the same arcs as SVG text, measures the same box and length."""
    other = svg(path)
    box = path.bounds()
    assert other.bbox() == pytest.approx((box.x0, box.y0, box.x1, box.y1), abs=1e-6)
    assert other.length(error=1e-6) == pytest.approx(path.length(), abs=1e-3)


def test_slot_lies_along_its_turn() -> None:
    """A slot turned a quarter stands upright about its centre."""
    box = slot(60, 20, at=(100, 50), turn_deg=90).bounds()
    assert (box.width, box.height, box.centre) == (pytest.approx(20), pytest.approx(60), pytest.approx((100, 50)))


def test_arc_goes_through_its_point() -> None:
    """A path with an arc passes the point that the arc was given through."""
    path = path_through([("corner", (0, 0), 0), ("arc", (100, 0), (50, -10)), ("corner", (50, 40), 0)])
    arc = next(piece for piece in path.segments if isinstance(piece, Arc))
    assert math.dist(arc.centre, (50, -10)) == pytest.approx(arc.radius)
    assert path.bounds().y0 == pytest.approx(-10)


@given(st.integers(3, 12), st.floats(0.0, 0.9))
def test_rounded_regular_polygon_loses_the_known_corners(sides: int, share: float) -> None:
    """Rounding each corner of a regular polygon by r takes n (tan(pi/n) - pi/n) r^2 off its area."""
    radius = 100.0
    corners = [(radius * math.cos(math.tau * i / sides), radius * math.sin(math.tau * i / sides)) for i in range(sides)]
    rounding = share * radius * math.cos(math.pi / sides)
    path = fillet_path(corners, [rounding] * sides)
    lost = sides * (math.tan(math.pi / sides) - math.pi / sides) * rounding**2
    assert path.area() == pytest.approx(polygon(corners).area() - lost, rel=1e-9)


def test_only_circles_are_circles() -> None:
    """A square rounded to the full is a circle; a slot, a half disc and an open half circle are not."""
    assert as_circle(rectangle(52, 52, radius_mm=26)) == (pytest.approx((0, 0)), pytest.approx(52))
    assert as_circle(slot(60, 20)) is None
    assert as_circle(rectangle(10, 10)) is None
    assert as_circle(Path((Arc((1, 0), (-1, 0), (0, 0), ccw=True),), closed=False)) is None


@pytest.mark.parametrize(
    ("make", "says"),
    [
        pytest.param(lambda: rectangle(0, 5), "width_mm", id="no width"),
        pytest.param(lambda: rectangle(5, math.nan), "height_mm", id="height not a number"),
        pytest.param(lambda: rectangle(10, 20, radius_mm=6), "radius_mm", id="radius over half"),
        pytest.param(lambda: circle(-1), "diameter_mm", id="negative circle"),
        pytest.param(lambda: slot(10, 20), "at least width_mm", id="slot wider than long"),
        pytest.param(lambda: polygon([(0, 0), (1, 0), (1, 0), (0, 0)]), "three different", id="two corners"),
        pytest.param(lambda: polygon([(0, 0), (1, 1), (2, 2)]), "no area", id="on one line"),
        pytest.param(lambda: polygon([(0, 0), (10, 10), (10, 0), (0, 20)]), "crosses", id="crossing"),
        pytest.param(lambda: fillet_path([(0, 0), (1, 0), (0, 1)], [1]), "one radius", id="radii missing"),
        pytest.param(lambda: fillet_path([(0, 0), (10, 0), (0, 10)], [5, 5, 5]), "need", id="roundings too large"),
        pytest.param(lambda: fillet_path([(0, 0), (10, 0), (0, 10)], [-1, 0, 0]), "at least 0", id="negative radius"),
        pytest.param(lambda: path_through([("curve", (0, 0), 0)]), "corner or an arc", id="unknown step"),
        pytest.param(
            lambda: path_through([("corner", (0, 0), 2), ("arc", (9, 0), (5, 5)), ("corner", (9, -9), 0)]),
            "beside an arc",
            id="rounded beside an arc",
        ),
        pytest.param(
            lambda: path_through([("corner", (0, 0), 0), ("arc", (9, 0), (5, 0)), ("corner", (9, 9), 0)]),
            "not on one line",
            id="flat arc",
        ),
    ],
)
def test_impossible_shapes_are_refused(make, says: str) -> None:
    """Each bad measure is refused with its name."""
    with pytest.raises(ValueError, match=says):
        make()
