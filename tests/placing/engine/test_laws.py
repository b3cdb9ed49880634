"""Laws that hold for the whole chain and for each stage, against brute force on small problems."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given

from layout.placing.engine import recount
from layout.placing.engine.bounds.relaxation import bound
from layout.placing.engine.cpsat.hard_part import exact_model
from layout.placing.engine.cpsat.objective import objective
from layout.placing.engine.cpsat.portfolio import alone, side_by_side, strong_model
from layout.placing.engine.cpsat.solver import run_cpsat
from layout.placing.engine.look_terms import LinesTerm
from layout.placing.engine.neighbourhood import better
from layout.placing.engine.polish import polish
from layout.placing.engine.precheck import prechecks
from layout.placing.engine.problem import Problem
from layout.placing.engine.stage_result import Status
from layout.placing.engine.stages import run_stages
from tests.placing.engine.instances import SMALL, annealed, brute_force, problems, valid_start

Drawn = tuple[Problem, int, int]


@given(problems())
def test_chain_finds_the_optimum_and_never_claims_more(drawn: Drawn) -> None:
    """The chain says optimal or infeasible exactly as brute force does, and its bound is never above the optimum."""
    problem, width, height = drawn
    least = brute_force(problem, width, height)
    result = run_stages(problem, SMALL).result
    if least is None:
        assert result.status is Status.INFEASIBLE
        assert result.arrangement is None
    else:
        assert result.status is Status.OPTIMAL
        assert result.value == result.bound == least
        assert result.arrangement is not None
        assert recount.broken(problem, result.arrangement) == ()
        assert sum(cost for _, cost in result.costs) == least


@given(problems())
def test_exact_model_agrees_with_brute_force(drawn: Drawn) -> None:
    """The plain model's optimum, and the one with all rows and side costs added, are brute force's."""
    problem, width, height = drawn
    least = brute_force(problem, width, height)
    plain = exact_model(problem)
    objective(plain)
    start = valid_start(problem)
    for model in (plain, strong_model(problem, bound(problem, start), None)):
        answer = run_cpsat(model, work=5, workers=1)
        assert answer.proven
        found = None if answer.arrangement is None else recount.value(problem, answer.arrangement)
        assert found == least
        if answer.arrangement is not None:
            assert recount.broken(problem, answer.arrangement) == ()


@given(problems())
def test_kernel_counts_as_the_check_does(drawn: Drawn) -> None:
    """What the kernel calls valid is valid, with the cost that it says; what it calls invalid breaks a rule."""
    problem, _, _ = drawn
    best = annealed(problem, moves=3_000, seed=3)
    if best is not None:
        assert best.valid is (recount.broken(problem, best.arrangement) == ())
        assert best.cost == recount.value(problem, best.arrangement)


@given(problems())
def test_polish_never_worsens(drawn: Drawn) -> None:
    """Polishing a valid arrangement gives one that is valid and not worse."""
    problem, _, _ = drawn
    start = valid_start(problem)
    if start is not None:
        polished = polish(problem, start)
        assert polished.arrangement is not None
        assert recount.broken(problem, polished.arrangement) == ()
        assert recount.value(problem, polished.arrangement) <= recount.value(problem, start)
        assert polished.order_proven or any(isinstance(term, LinesTerm) for term in problem.terms)


@given(problems())
def test_freeing_a_few_never_worsens(drawn: Drawn) -> None:
    """Freeing a few items at a time keeps an arrangement valid, never worsens it, and repeats with its seed."""
    problem, _, _ = drawn
    start = valid_start(problem)
    if start is not None and sum(item.pin is None for item in problem.items) > 1:
        told: list[int] = []
        ends = [
            better(
                problem,
                start,
                rounds=12,
                seed=3,
                halted=lambda: False,
                tell=lambda one: told.append(recount.value(problem, one)),
            ).arrangement
            for _ in range(2)
        ]
        assert ends[0] == ends[1]
        assert recount.broken(problem, ends[0]) == ()
        assert recount.value(problem, ends[0]) <= recount.value(problem, start)
        assert recount.value(problem, ends[0]) == min([recount.value(problem, start), *told])


@given(problems())
def test_bound_and_prechecks_are_true(drawn: Drawn) -> None:
    """No bound is above the optimum, and prechecks only refuse what brute force refuses."""
    problem, width, height = drawn
    least = brute_force(problem, width, height)
    if prechecks(problem):
        assert least is None
    elif least is not None:
        start = valid_start(problem)
        assert bound(problem).value <= least
        assert bound(problem, start).value <= least


@given(problems())
def test_two_searches_agree_on_the_optimum(drawn: Drawn) -> None:
    """The two exact searches beside each other, from a start, reach brute force's optimum."""
    problem, width, height = drawn
    least = brute_force(problem, width, height)
    start = valid_start(problem, seed=7)
    if least is not None and start is not None:
        known = bound(problem)
        verdicts = [
            alone(problem, known, start, work=5, seed=1),
            side_by_side(problem, known, start, work=5, seed=1, tell=lambda _: False),
        ]
        for verdict in verdicts:
            assert verdict.proven
            assert verdict.bound == least
            assert verdict.arrangement is not None
            assert recount.value(problem, verdict.arrangement) == least


@pytest.mark.parametrize("seed", [1, 2])
def test_same_seed_same_arrangement(seed: int) -> None:
    """Two runs of the chain with one seed return equal results, work and all."""
    from tests.benchmarks.placing.panels import make
    from tests.benchmarks.placing.panels import problem as stated

    problem = stated(make(7, 0.7, 3), wishes="zones", seed=3)
    limit = replace(SMALL, runs=3, moves=20_000, proof=1.0)
    first, second = (run_stages(problem, limit, seed) for _ in range(2))
    assert first.result == second.result
    assert first.pool == second.pool
    assert first.result.work > 0
