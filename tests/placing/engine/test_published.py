"""Published packing instances: layouts known to fit are accepted, boxes proven too small are refused.

Sources stand in the heads of the files in tests/benchmarks/data.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
import yaml

from layout.placing.engine import recount
from layout.placing.engine.cpsat.feasible import first_layout
from layout.placing.engine.cpsat.hard_part import exact_model
from layout.placing.engine.cpsat.solver import run_cpsat
from layout.placing.engine.stage_result import Positions, Status
from layout.placing.engine.stages import run_stages
from tests.placing.engine.instances import SMALL, boxes

DATA = Path(__file__).resolve().parents[2] / "benchmarks" / "data"


def squares() -> list[tuple[int, int, int]]:
    """Return N, width and height of the smallest rectangles for the squares 1 to N."""
    lines = [line for line in (DATA / "consecutive_squares.csv").read_text().splitlines() if not line.startswith("#")]
    return [(int(row["N"]), int(row["W"]), int(row["H"])) for row in csv.DictReader(lines)]


def squared_square() -> dict[str, list[list[int]]]:
    """Return the squared square of order 21."""
    loaded: dict[str, list[list[int]]] = yaml.safe_load((DATA / "squared_square_21.yaml").read_text())
    return loaded


def test_squared_square_is_valid_and_one_step_off_is_not() -> None:
    """The published positions fill the square without a fault; any square moved by one breaks a rule."""
    square = squared_square()
    sides = [side for _, _, side in square["positions"]]
    problem = boxes([(side, side) for side in sides], 112, 112)
    exact = Positions(positions=tuple((x, y) for x, y, _ in square["positions"]), turns=(0,) * 21, present=(True,) * 21)
    assert recount.broken(problem, exact) == ()
    for k, (x, y) in enumerate(exact.positions):
        for moved in ((x + 1, y), (x, y - 1)):
            off = Positions(
                positions=(*exact.positions[:k], moved, *exact.positions[k + 1 :]),
                turns=exact.turns,
                present=exact.present,
            )
            assert recount.broken(problem, off) != ()


def test_exact_model_accepts_the_squared_square() -> None:
    """With the published positions as an order, the exact model is feasible and the only layout is that one."""
    square = squared_square()
    problem = boxes([(side, side) for _, _, side in square["positions"]], 112, 112)
    known = Positions(positions=tuple((x, y) for x, y, _ in square["positions"]), turns=(0,) * 21, present=(True,) * 21)
    answer = run_cpsat(exact_model(problem, order=known), work=5, workers=1)
    assert answer.arrangement == known


@pytest.mark.parametrize(("n", "width", "height"), [row for row in squares() if row[0] <= 9])
def test_consecutive_squares_fit_and_no_less(n: int, width: int, height: int) -> None:
    """Squares 1 to N fit into the published rectangle; with one row less it is proven that they do not."""
    sizes = [(k, k) for k in range(1, n + 1)]
    fits = run_stages(boxes(sizes, width, height), SMALL).result
    assert fits.status is Status.OPTIMAL
    assert fits.arrangement is not None
    tight = run_stages(boxes(sizes, width, height - 1), SMALL).result
    assert tight.status is Status.INFEASIBLE


@pytest.mark.parametrize(
    ("file", "name"), [("hopper_turton_c.yaml", "C1P3"), ("hopper_t_n.yaml", "T1a"), ("hopper_t_n.yaml", "N1a")]
)
def test_zero_waste_strip_at_its_optimal_height(file: str, name: str) -> None:
    """A zero-waste set of 16 or 17 pieces is placed in the height that leaves nothing free."""
    loaded = yaml.safe_load((DATA / file).read_text())
    one = next(entry for entry in loaded["instances"] if entry["name"] == name)
    sizes = [(w, h) for w, h in one["items"]]
    problem = boxes(sizes, one["strip_width"], one["opt_height"], turned=one.get("rotation") == "allowed")
    answer = first_layout(problem, work=8)
    assert answer.arrangement is not None
    assert recount.broken(problem, answer.arrangement) == ()
    shorter = boxes(sizes, one["strip_width"], one["opt_height"] - 1, turned=one.get("rotation") == "allowed")
    assert first_layout(shorter, work=8).infeasible
