"""Small problems by hand and by hypothesis, and a brute force that knows nothing of the stages."""

from __future__ import annotations

from itertools import product
from typing import TYPE_CHECKING

from hypothesis import strategies as st

from layout.placing.engine import recount
from layout.placing.engine.anneal import Halt, main_law, one_run
from layout.placing.engine.kernel.problem_block import kernel_tables
from layout.placing.engine.look_terms import LinesTerm, Seat
from layout.placing.engine.precheck import prechecks
from layout.placing.engine.problem import (
    AbsTerm,
    AnyZeroTerm,
    ForbiddenRegion,
    HingeTerm,
    Linear,
    LinearRule,
    OneOf,
    PackItem,
    Problem,
    StepBox,
    Term,
    TurnOption,
)
from layout.placing.engine.stage_result import Limit, Positions
from tests.placing.engine.boxes import BoxPairs, box_room

if TYPE_CHECKING:
    from layout.placing.engine.kernel.runtime import Best

SMALL = Limit(runs=2, moves=3_000, moves_per_item=0, exact=2.0, proof=8.0)
"""Enough for the small problems here."""


def boxes(
    sizes: list[tuple[int, int]],
    width: int,
    height: int,
    *,
    gap: int = 0,
    turned: bool = False,
    terms: tuple[Term, ...] = (),
    rules: tuple[LinearRule, ...] = (),
    one_of: tuple[OneOf, ...] = (),
    forbidden: tuple[ForbiddenRegion, ...] = (),
    optional: dict[int, int] | None = None,
) -> Problem:
    """Return the problem of boxes with their lower left corner as position, in a box from (0, 0)."""
    items, faces = [], []
    for k, (w, h) in enumerate(sizes):
        forms = [(w, h), (h, w)] if turned and w != h else [(w, h)]
        faces.append(tuple(StepBox(0, 0, a, b) for a, b in forms))
        turns = tuple(
            TurnOption(
                degrees=90 * n,
                rooms=(box_room(0, 0, width - a, height - b),),
                forbidden=forbidden,
                core=StepBox(0, 0, a + gap, b + gap),
            )
            for n, (a, b) in enumerate(forms)
        )
        items.append(PackItem(name=f"K{k + 1}", turns=turns, absent_cost=(optional or {}).get(k)))
    return Problem(
        items=tuple(items),
        pairs=BoxPairs(faces=tuple(faces), gap=gap),
        terms=terms,
        rules=rules,
        one_of=one_of,
    )


def annealed(problem: Problem, *, moves: int = 300, seed: int = 5) -> Best | None:
    """Return the best state of one short run, or None where an item has no place at all."""
    if prechecks(problem):
        return None
    made = kernel_tables(problem)
    return one_run(made, seed, moves, main_law(made), halt=Halt(), shown=[])


def valid_start(problem: Problem, *, seed: int = 5) -> Positions | None:
    """Return a valid arrangement of one short run, if it found one."""
    best = annealed(problem, seed=seed)
    return best.arrangement if best is not None and best.valid else None


def brute_force(problem: Problem, width: int, height: int) -> int | None:
    """Return the least value over every arrangement with positions from 0 to the size, or None if there is none."""
    spots = []
    for item in problem.items:
        mine = [
            (x, y, t, True)
            for t, turn in enumerate(item.turns)
            for x in range(width + 1)
            for y in range(height + 1)
            if turn.allows(x, y)
        ]
        spots.append(mine + ([(0, 0, 0, False)] if item.absent_cost is not None else []))
    least: int | None = None
    for chosen in product(*spots):
        arrangement = Positions(
            positions=tuple((x, y) for x, y, _, _ in chosen),
            turns=tuple(t for _, _, t, _ in chosen),
            present=tuple(p for _, _, _, p in chosen),
        )
        if not recount.broken(problem, arrangement):
            value = recount.value(problem, arrangement)
            least = value if least is None else min(least, value)
    return least


coefs = st.sampled_from([-2, -1, 1, 2])


@st.composite
def sums(draw: st.DrawFn, items: int, turns: tuple[int, ...]) -> Linear:
    """Draw a sum over one or two items, sometimes with a constant for each turn."""
    chosen = draw(st.lists(st.integers(0, items - 1), min_size=1, max_size=2, unique=True))
    axis = draw(st.integers(0, 1))
    by_turn = ()
    if draw(st.booleans()):
        by_turn = ((chosen[0], tuple(draw(st.integers(-2, 2)) for _ in range(turns[chosen[0]]))),)
    return Linear(terms=tuple((k, axis, draw(coefs)) for k in chosen), const=draw(st.integers(-6, 6)), by_turn=by_turn)


def lines(draw: st.DrawFn, name: str, weight: int, turns: tuple[int, ...]) -> LinesTerm:
    """Draw a wish for few lines over all items, with two or three kinds of line."""
    axes = draw(st.lists(st.integers(0, 1), min_size=2, max_size=3))

    def line(count: int) -> st.SearchStrategy[tuple[int, ...]]:
        return st.tuples(*[st.integers(0, 2)] * count)

    seats = tuple(
        Seat(item=k, lines=tuple(draw(st.none() | line(count)) for _ in axes)) for k, count in enumerate(turns)
    )
    marks = tuple(tuple(draw(st.lists(st.integers(0, 4), max_size=1))) for _ in axes)
    return LinesTerm(name=name, weight=weight, axes=tuple(axes), seats=seats, marks=marks)


@st.composite
def problems(draw: st.DrawFn) -> tuple[Problem, int, int]:
    """Draw a problem of two or three boxes that brute force can settle, with its width and height."""
    width, height = draw(st.integers(3, 5)), draw(st.integers(3, 4))
    count = draw(st.integers(2, 3))
    sizes = [(draw(st.integers(1, 3)), draw(st.integers(1, 3))) for _ in range(count)]
    turned = count == 2 and draw(st.booleans())
    turns = tuple(2 if turned and w != h else 1 for w, h in sizes)
    terms: list[Term] = []
    for n in range(draw(st.integers(0, 4))):
        kind, weight = draw(st.integers(0, 3)), draw(st.integers(1, 5))
        expr = draw(sums(count, turns))
        if kind == 0:
            terms.append(AbsTerm(name=f"w{n}", weight=weight, expr=expr, slack=draw(st.integers(0, 2))))
        elif kind == 1:
            terms.append(HingeTerm(name=f"w{n}", weight=weight, expr=expr))
        elif kind == 2:
            terms.append(lines(draw, f"w{n}", 12 * weight, turns))
        else:
            terms.append(AnyZeroTerm(name=f"w{n}", weight=weight, exprs=(expr, draw(sums(count, turns)))))
    rules = tuple(LinearRule(name="order", expr=draw(sums(count, turns))) for _ in range(draw(st.integers(0, 1))))
    one_of: tuple[OneOf, ...] = ()
    if draw(st.integers(0, 3)) == 0:
        x, y = draw(st.integers(0, width - 1)), draw(st.integers(0, height - 1))
        one_of = (OneOf(name="cover", options=((0, 0, box_room(x - 1, y - 1, x, y)), (1, 0, box_room(x, y, x, y)))),)
    forbidden: tuple[ForbiddenRegion, ...] = ()
    if draw(st.integers(0, 2)) == 0:
        a, b = draw(coefs), draw(coefs)
        forbidden = (
            ForbiddenRegion(((a, b, draw(st.integers(-3, 3))), (-a, b, draw(st.integers(-2, 4)))), "keep-out"),
        )
    problem = boxes(
        sizes,
        width,
        height,
        gap=draw(st.integers(0, 1)),
        turned=turned,
        terms=tuple(terms),
        rules=rules,
        one_of=one_of,
        forbidden=forbidden,
        optional={0: draw(st.integers(0, 20))} if draw(st.integers(0, 3)) == 0 else None,
    )
    return problem, width, height
