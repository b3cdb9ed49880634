"""The compiled kernel: the same on every machine, stopped when asked, done without."""

from __future__ import annotations

import sys
from dataclasses import replace
from typing import TYPE_CHECKING

from layout.placing.engine import recount
from layout.placing.engine.anneal import Halt, anneal_side_by_side, first_valid, main_law, one_run
from layout.placing.engine.kernel import runtime
from layout.placing.engine.kernel.problem_block import kernel_tables
from layout.placing.engine.problem import AbsTerm, FixedAt, Linear
from layout.placing.engine.stage_result import Limit, Progress, Status
from layout.placing.engine.stages import run_stages
from tests.benchmarks.placing.panels import known, make, problem
from tests.placing.engine.instances import SMALL, boxes

if TYPE_CHECKING:
    import pytest

EXPECTED = 26936
"""Cost at which one run ends, as it came out when the kernel was built; it changes only when the kernel does."""


def test_one_seed_one_arrangement_on_every_machine() -> None:
    """A run ends at the cost written here, whatever the machine: only whole numbers are calculated with."""
    stated = problem(make(12, 0.75, 1), wishes="points", seed=1)
    made = kernel_tables(stated)
    best = one_run(made, 11, 60_000, main_law(made), halt=Halt(), shown=[])
    assert (best.valid, best.cost) == (True, EXPECTED)
    assert recount.value(stated, best.arrangement) == best.cost
    assert recount.broken(stated, best.arrangement) == ()


def test_pieces_do_not_change_the_outcome() -> None:
    """A run cut into pieces of odd sizes ends as one in a single piece."""
    made = kernel_tables(problem(make(8, 0.7, 2), seed=2))
    outcomes = []
    for piece in (50_000, 777):
        one = runtime.Machine(made)
        one.begin(5, 20_000, main_law(made))
        while one.run(piece):
            pass
        outcomes.append(one.best())
    assert outcomes[0] == outcomes[1]


def test_full_panels_get_a_first_layout() -> None:
    """Panels cut to 90 % load, whose fit is known, get a valid layout from the search that ignores wishes."""
    for devices in (8, 16, 30):
        panel = make(devices, 0.9, 4)
        stated = problem(panel, wishes="none")
        assert recount.broken(stated, known(panel)) == ()
        best = first_valid(kernel_tables(stated), 1, 4_000_000, Halt())
        assert best.valid
        assert recount.broken(stated, best.arrangement) == ()


def test_pins_never_move() -> None:
    """A pinned item is where its pin says after any run."""
    terms = (AbsTerm(name="left", weight=3, expr=Linear(terms=((0, 0, 1),))),)
    free = boxes([(4, 4), (3, 3), (2, 5)], 14, 12, terms=terms)
    pinned = replace(free, items=(replace(free.items[0], pin=FixedAt(x=7, y=5)), *free.items[1:]))
    made = kernel_tables(pinned)
    for best in anneal_side_by_side(made, (0, 1), 3_000, 1, halt=Halt()):
        assert best.arrangement.positions[0] == (7, 5)


def test_watch_that_says_stop_keeps_the_best() -> None:
    """When the watch says stop, the chain ends early with a valid arrangement and claims nothing about it."""
    stated = problem(make(12, 0.75, 1), seed=1)
    seen: list[Progress] = []

    def watch(progress: Progress) -> bool:
        seen.append(progress)
        return True

    result = run_stages(stated, Limit(runs=4, moves=2_000_000), watch=watch).result
    assert result.arrangement is not None
    assert recount.broken(stated, result.arrangement) == ()
    assert result.status in (Status.NO_BOUND, Status.ORDER_OPTIMAL)
    assert seen[0].value is not None


def test_without_the_runtime_the_exact_search_works_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where wasmtime cannot be loaded the chain still solves, and its notes say what was missing."""
    runtime._module.cache_clear()
    monkeypatch.setitem(sys.modules, "wasmtime", None)
    terms = (AbsTerm(name="left", weight=3, expr=Linear(terms=((0, 0, 1), (1, 0, 1)))),)
    result = run_stages(boxes([(4, 4), (3, 3)], 9, 4, terms=terms), SMALL).result
    assert (result.status, result.value) == (Status.OPTIMAL, 9)
    assert "annealing was not possible" in result.notes[0]
