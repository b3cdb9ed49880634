"""Rows of whole numbers say, on either side, what the true shapes say."""

from __future__ import annotations

import math

from hypothesis import given
from hypothesis import strategies as st

from layout.geometry.polygon import inside_polygon, outside_polygon
from layout.placing.engine.problem import AllowedRoom, ForbiddenRegion
from layout.placing.translation.pieces import Piece, Rounding, apart_rows, box_piece, hull, inside_rows, normal
from layout.placing.translation.shape_pieces import pieces_of
from layout.project.model.shape import Shape
from tests.placing.projects import disc, rect

SHAPES = [
    rect(40, 25),
    rect(60.3, 33.35, radius=6),
    disc(52),
    Shape(slot=(50, 20), turn=30),
    Shape(polygon=((-30, -20), (30, -20), (30, 0), (0, 25), (-30, 10))),
    rect(40, 20, (5, -3)),
]

shapes = st.sampled_from(SHAPES)
steps = st.integers(-170, 170)


def too_near(first: Piece, second: Piece, gap_mm: float, side: Rounding) -> ForbiddenRegion | None:
    """Return the offsets at which two pieces come nearer than a gap; None where there are none."""
    return ForbiddenRegion(rows, "gap") if (rows := apart_rows(first, second, gap_mm, side)) else None


@given(first=shapes, second=shapes, gap=st.sampled_from([0.0, 7.5, 12.0, 45.0]), dx=steps, dy=steps)
def test_regions_lie_round_and_within_the_truth(first: Shape, second: Shape, gap: float, dx: int, dy: int) -> None:
    """No pair that is too near passes the safe rows, and none that is far enough is caught by the loose ones."""
    outer = [outside_polygon(shape.to_path()) for shape in (first, second)]
    inner = [inside_polygon(shape.to_path()) for shape in (first, second)]
    import shapely.affinity

    def distance(pair: list) -> float:
        return pair[0].distance(shapely.affinity.translate(pair[1], dx / 2, dy / 2))

    def caught(side: Rounding) -> bool:
        pieces = [pieces_of(shape, side) for shape in (first, second)]
        regions = [too_near(a, b, gap, side) for a in pieces[0] for b in pieces[1]]
        return any(region is not None and region.holds(dx, dy) for region in regions)

    overlap = inner[0].intersection(shapely.affinity.translate(inner[1], dx / 2, dy / 2)).area > 1e-6
    if distance(inner) < gap - 1e-6 or (gap == 0 and overlap):
        assert caught(Rounding.SAFE)
    if distance(outer) > max(gap, 1e-9):
        assert not caught(Rounding.LOOSE)


@given(shape=shapes, x=steps, y=steps, margin=st.sampled_from([0.0, 11.0]))
def test_room_rows_keep_a_piece_inside(shape: Shape, x: int, y: int, margin: float) -> None:
    """A position that the safe rows allow has the whole shape inside the hull, the margin from its sides."""
    corners = hull([(-80.0, -60.0), (80.0, -60.0), (80.0, 40.0), (30.0, 70.0), (-80.0, 70.0)])
    rows = [
        row
        for piece in pieces_of(shape, Rounding.SAFE)
        for row in inside_rows(corners, piece, margin_mm=margin, side=Rounding.SAFE)
    ]
    import shapely
    import shapely.affinity

    stands = shapely.affinity.translate(outside_polygon(shape.to_path(), 0.2), x / 2, y / 2)
    within = shapely.Polygon(corners).buffer(-margin, join_style="mitre").buffer(0.25).covers(stands)
    if AllowedRoom(tuple(rows)).holds(x, y):
        assert within


def test_touching_is_allowed_on_both_sides() -> None:
    """Two boxes exactly the gap apart are free, one step nearer they are not."""
    box = box_piece(-10, -10, 10, 10)
    for side in Rounding:
        region = too_near(box, box, 5.0, side)
        assert region is not None
        assert not region.holds(50, 0)
        assert region.holds(49, 0)


@given(angle=st.floats(0, math.tau))
def test_whole_number_directions_are_close(angle: float) -> None:
    """A direction of whole numbers is off the true one by less than a thousandth of a radian."""
    a, b = normal(math.cos(angle), math.sin(angle))
    off = math.atan2(math.sin(math.atan2(b, a) - angle), math.cos(math.atan2(b, a) - angle))
    assert abs(off) < 1e-3


@given(quarter=st.sampled_from([0, 90, 180, 270]), a=st.integers(-5, 5), b=st.integers(-5, 5))
def test_turned_piece_reaches_as_far_in_the_turned_direction(quarter: int, a: int, b: int) -> None:
    """Turning a piece turns its reach with it."""
    piece = Piece(((0.0, 0.0), (30.0, 0.0), (10.0, 20.0)), 2.0)
    turned = {0: (a, b), 90: (-b, a), 180: (-a, -b), 270: (b, -a)}[quarter]
    assert math.isclose(piece.turned(quarter).reach(*turned), piece.reach(a, b), abs_tol=1e-9)
