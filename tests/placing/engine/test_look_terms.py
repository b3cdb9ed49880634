"""Lines and rows that are found: counted as they are read, and the kernel, the exact model and a count agree."""

from __future__ import annotations

import pytest

from layout.placing.engine import recount
from layout.placing.engine.look_terms import EvenTerm, LinesTerm, Seat, distinct
from layout.placing.engine.polish import polish
from layout.placing.engine.stage_result import Positions
from tests.placing.engine.instances import boxes

SIZES = [(10, 10), (10, 10), (10, 10), (10, 20)]


def standing(*positions: tuple[int, int]) -> Positions:
    """Return an arrangement with everything there and unturned."""
    return Positions(positions=positions, turns=(0,) * len(positions), present=(True,) * len(positions))


def along(axis: int, *, marks: tuple[tuple[int, ...], ...] = ((), (), ())) -> LinesTerm:
    """Return the wish for few lines across an axis: low edge, middle, high edge."""
    seats = tuple(
        Seat(item=k, lines=tuple((offset,) for offset in (0, size[axis] // 2, size[axis])))
        for k, size in enumerate(SIZES)
    )
    return LinesTerm(name="tidy", weight=60, axes=(axis,) * 3, seats=seats, marks=marks)


EVEN = EvenTerm(name="tidy", weight=30, boxes=tuple((k, ((0, 0, *size),), (0,)) for k, size in enumerate(SIZES)))


@pytest.mark.parametrize(
    ("heights", "lines"),
    [
        ((0, 0, 0, 0), 1),  # all on one low edge
        ((5, 5, 5, 0), 1),  # all on one middle
        ((0, 0, 0, 3), 2),
        ((0, 0, 30, 30), 2),
        ((0, 1, 2, 4), 4),  # near misses are no lines
    ],
)
def test_however_many_share_a_line_they_cost_one_weight(heights: tuple[int, ...], lines: int) -> None:
    """The cost is the weight times the lines that are needed to hold all."""
    at = standing(*((20 * k, y) for k, y in enumerate(heights)))
    assert along(1).cost(at) == 60 * lines
    assert distinct([along(1).places(seat, at) for seat in along(1).seats]) == lines


def test_a_mark_counts_as_one_that_stands_there() -> None:
    """One alone on a margin costs half a weight; what is absent costs nothing and holds no line."""
    at = standing((0, 7), (20, 40), (40, 80), (60, 120))
    assert along(1, marks=((7,), (), ())).cost(at) == 30 + 3 * 60
    gone = Positions(positions=at.positions, turns=at.turns, present=(True, False, True, True))
    assert along(1).cost(gone) == 3 * 60


@pytest.mark.parametrize(
    ("places", "uneven"),
    [
        (((0, 0), (15, 0), (30, 0), (45, 0)), 0),
        (((0, 0), (15, 0), (32, 0), (200, 90)), 1),
        (((0, 0), (15, 0), (31, 0), (200, 90)), 0),  # one step, which an odd room may ask
        (((0, 0), (15, 3), (40, 0), (200, 90)), 0),  # no row: no line in common
        (((0, 0), (15, 0), (80, 0), (40, -5)), 2),  # the tall one stands between, on the same middle: one row of four
        (((0, 0), (15, 0), (80, 0), (40, -3)), 0),  # it stands between, on no line of theirs: no row
        (((0, 0), (0, 15), (0, 40), (200, 90)), 1),  # a column
    ],
)
def test_gaps_are_compared_between_neighbours_in_a_row(places: tuple[tuple[int, int], ...], uneven: int) -> None:
    """Rows and columns are found; each middle one whose gaps differ counts."""
    assert EVEN.cost(standing(*places)) == 30 * uneven


def test_the_polish_evens_a_row_and_closes_near_misses() -> None:
    """A row that is a little off stands on one line with equal gaps after the polish, and nothing is worse."""
    problem = boxes(SIZES, 200, 60, terms=(along(1), EVEN))
    start = standing((0, 3), (30, 3), (64, 3), (150, 4))
    done = polish(problem, start)
    assert done.arrangement is not None
    assert not done.order_proven
    assert recount.broken(problem, done.arrangement) == ()
    assert recount.value(problem, done.arrangement) == 60
