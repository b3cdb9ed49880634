"""Room made for what is new by moving as little as can be; and one device moved by hand."""

from __future__ import annotations

import math
import random
from dataclasses import replace
from itertools import combinations
from typing import TYPE_CHECKING

import pytest

from layout.placing.engine.cpsat.hard_part import exact_model
from layout.placing.engine.cpsat.solver import run_cpsat
from layout.placing.fewest_moves import fewest_moves, moves_words
from layout.placing.fits import fits, of_size
from layout.placing.given_positions import still_at
from layout.placing.judge import judge, refusals
from layout.placing.keeping import kept_too_much
from layout.placing.move import AlignLine, aligned_at, move
from layout.placing.translation.pieces import Rounding
from layout.placing.translation.translate import translate
from layout.project.model.arrangement import Arrangement, Placed
from layout.project.model.device import Pin
from layout.project.model.panel import Reserved
from tests.conftest import FULL
from tests.placing.projects import arrangement, device, panel, project

if TYPE_CHECKING:
    from layout.project.model.project import Project

BESIDE = project(device("a", 60, 40), device("b", 60, 40), panels=(panel(200, 100),))
STAND = arrangement(a=(50.0, 50.0), b=(150.0, 50.0))


def scattered(seed: int) -> tuple[Project, Arrangement]:
    """Return a panel with three devices where a judge passes them, and a fourth that stands nowhere yet."""
    chance = random.Random(seed)
    while True:
        made = [device(f"d{k}", chance.choice((50, 60, 80)), chance.choice((40, 50))) for k in range(3)]
        one = project(*made, panels=(panel(240, 130),))
        spots = {each.id: (chance.randrange(80, 400) / 2, chance.randrange(60, 200) / 2) for each in made}
        at = arrangement(**spots)
        if plainly_apart([each.face.rect for each in made], list(spots.values())) and not refusals(judge(one, at)):
            new = device("new", chance.choice((50, 70, 90)), chance.choice((40, 60)))
            return replace(one, devices={**one.devices, "new": new}), at


def plainly_apart(sizes: list[tuple[float, float]], spots: list[tuple[float, float]]) -> bool:
    """Tell whether no face lies over another; whatever a judge passes is so, and this is told quickly."""
    return all(
        abs(a[0] - b[0]) >= (first[0] + second[0]) / 2 or abs(a[1] - b[1]) >= (first[1] + second[1]) / 2
        for (first, a), (second, b) in combinations(zip(sizes, spots, strict=True), 2)
    )


def fewest_by_trying_all(one: Project, at: Arrangement) -> int | None:
    """Return how few have to move, by an exact search for every set of movers."""
    for size in range(len(at.placed) + 1):
        for movers in combinations(at.placed, size):
            held = still_at({name: place for name, place in at.placed.items() if name not in movers})
            built = translate(one, side=Rounding.SAFE, held=held)
            if built.problem is None:
                continue
            if run_cpsat(exact_model(built.problem), work=5.0, workers=1).arrangement is not None:
                return size
    return None


def test_no_set_of_movers_is_smaller() -> None:
    """On chance panels the number of movers is that of a search through all sets; what is called fewest is."""
    sizes = []
    for seed in range(8 if not FULL else 12):
        one, at = scattered(seed)
        least, moves = fewest_by_trying_all(one, at), fewest_moves(one, at, held={})
        if moves is None:
            assert least is None or least >= 2
            continue
        assert least is not None
        assert len(moves.movers) >= least
        assert not moves.fewest or len(moves.movers) == least
        assert not refusals(judge(one, Arrangement(placed=moves.placed)))
        sizes.append(len(moves.movers))
    assert {0, 1} <= set(sizes)


def test_cause_is_keeping_and_the_move_is_named() -> None:
    """Between two kept devices 105 mm apart one of 90 with 10 mm to both sides lacks 5: one of them moves by 5."""
    one = project(device("a"), device("b"), device("new", 90, 40, hole_gap=10.0), panels=(panel(265, 80),))
    eased = kept_too_much(one, arrangement(a=(50.0, 40.0), b=(215.0, 40.0)), ("a", "b"))
    assert eased is not None
    assert eased.findings[0].rule == "fit 14"
    assert "moves 5 mm (no fewer moves will do)" in eased.findings[0].message
    assert eased.arrangement is not None
    assert not refusals(judge(one, eased.arrangement))


def test_keeping_is_no_cause_where_all_fits() -> None:
    """With 110 mm between them nothing has to move, and keeping is not blamed."""
    one = project(device("a"), device("b"), device("new", 90, 40, hole_gap=10.0), panels=(panel(270, 80),))
    assert kept_too_much(one, arrangement(a=(45.0, 40.0), b=(215.0, 40.0)), ("a", "b")) is None


def test_reserved_room_can_be_given_up() -> None:
    """A device as large as reserved room fits where that is, if it is given up, and only so."""
    full = project(device("a", 100, 60), panels=(panel(300, 100, reserved={"r": Reserved(id="r", size=(100, 50))}),))
    rooms = {"panels.main.reserved.r": Placed(device="panels.main.reserved.r", panel="main", x=225.0, y=50.0)}
    at = replace(arrangement(a=(70.0, 50.0)), rooms=rooms)
    found = fits(full, at, of_size(full, 100, 50))
    assert found.spots == ()
    assert list(found.given_up) == ["panels.main.reserved.r"]


def test_move_keeps_all_rules_or_says_which_breaks() -> None:
    """A move to the very limit is made, half a millimetre more is not, and the rule that breaks is named."""
    assert not move(BESIDE, STAND, "b", (120.0, 50.0)).broken
    assert [finding.rule for finding in move(BESIDE, STAND, "b", (119.5, 50.0)).broken] == ["panel 2"]


def test_move_takes_a_pin_along() -> None:
    """The pin of a moved device is where it is now; what the pin leaves free stays free."""
    pinned = project(device("a", pin=Pin(x=50.0)), device("b"), panels=(panel(200, 100),))
    moved = move(pinned, STAND, "a", (51.0, 52.0))
    assert not moved.broken
    assert moved.project.devices["a"].pin == Pin(x=51.0)
    assert moved.arrangement.placed["a"].y == 52.0


@pytest.mark.parametrize(
    ("line", "at"),
    [
        ("left", (160.0, 60.0)),
        ("right", (140.0, 60.0)),
        ("top", (50.0, 60.0)),
        ("middle", (50.0, 50.0)),
        ("bottom", (50.0, 40.0)),
        ("centre", (150.0, 60.0)),
    ],
)
def test_aligned_faces_have_the_line_in_common(line: AlignLine, at: tuple[float, float]) -> None:
    """A face of 60 x 40 goes straight to where its edge or centre line is that of one of 40 x 60."""
    two = project(device("a", 60, 40), device("b", 40, 60))
    assert aligned_at(two, arrangement(a=(50.0, 60.0), b=(150.0, 50.0)), "a", line, "b") == at


def test_words_of_moves() -> None:
    """What moves is named with how far, rounded up to a tenth."""
    moves = fewest_moves(BESIDE, STAND, held={})
    assert moves is not None
    assert moves.movers == {}
    told = moves_words(BESIDE, replace(moves, movers={"a": 3.01, "b": math.inf}))
    assert told == "a moves 3.1 mm and b to another turn or panel"
