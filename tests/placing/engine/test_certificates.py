"""Panels with a certificate: cut up, so that a layout is known at any load, or proven to be too small."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.placing.engine import recount
from layout.placing.engine.stage_result import Limit, Status
from layout.placing.engine.stages import run_stages
from tests.benchmarks.placing.panels import known, make, problem

LOADS = (0.6, 0.7, 0.8, 0.9, 1.0)


@pytest.mark.parametrize("load", LOADS)
@pytest.mark.parametrize("devices", [6, 9])
def test_what_is_known_to_fit_is_placed(devices: int, load: float) -> None:
    """At loads up to 100 % a layout is found where one is known, and it breaks nothing."""
    panel = make(devices, load, 5)
    stated = problem(panel, wishes="none")
    assert recount.broken(stated, known(panel)) == ()
    found = run_stages(stated, Limit(runs=2, exact=20.0)).result.arrangement
    assert found is not None
    assert recount.broken(stated, found) == ()


@pytest.mark.parametrize("devices", [6, 9, 20])
def test_a_full_panel_a_millimetre_smaller_is_refused(devices: int) -> None:
    """Cut without waste, the pieces are refused by proof on a panel that is a millimetre narrower or lower."""
    full = make(devices, 1.0, 5)
    for less in (replace(full, width=full.width - 1), replace(full, height=full.height - 1)):
        assert less.load > 1.0
        assert run_stages(problem(less, wishes="none"), Limit(runs=2)).result.status is Status.INFEASIBLE


def test_stacks_that_are_a_millimetre_too_high_are_refused() -> None:
    """Devices wider than half the panel stand above each other; a millimetre too high is proof, and exactly so."""
    tall = make(6, 0.6, 5)
    sizes = ((500, 130), (520, 150), (540, 145))
    fits = replace(tall, width=900, height=130 + 150 + 145 + 4 * 15, sizes=sizes, known=((15, 15),) * 3)
    assert run_stages(problem(fits, wishes="none"), Limit(runs=2)).result.arrangement is not None
    short = replace(fits, height=fits.height - 1)
    assert run_stages(problem(short, wishes="none"), Limit(runs=2)).result.status is Status.INFEASIBLE
