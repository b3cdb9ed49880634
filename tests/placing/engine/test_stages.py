"""The chain of stages does no work that gains nothing."""

from __future__ import annotations

from dataclasses import replace

from layout.placing.engine.problem import AbsTerm, Linear
from layout.placing.engine.stages import run_stages
from tests.placing.engine.instances import SMALL, boxes


def test_runs_that_agree_end_the_annealing() -> None:
    """Two boxes side by side, each held towards the left: every run ends the same, so a hundred are not done."""
    pulls = tuple(AbsTerm(name=f"left {k}", weight=1, expr=Linear(terms=((k, 0, 1),))) for k in range(2))
    stated = boxes([(30, 10), (20, 12)], 60, 12, terms=pulls)
    few, many = (run_stages(stated, replace(SMALL, runs=runs, proof=0.0)).result for runs in (6, 100))
    assert few.value == many.value == 20
    assert many.work <= few.work
