"""The planner against brute force, and what it promises."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layout.network.bus_planning.bus_planner import plan_backbone
from layout.network.bus_planning.bus_problem import Limits, cost_mm, figures, steps_per_mm, steps_per_tap
from tests.network.brute import brute_force, problem_of, random_case, tightened


def tight_case(seed: int, devices: int):
    """Return a case and what it costs without limits; the limit is one that leaves a dearer plan, if one does."""
    case = random_case(seed, devices=devices)
    free = plan_backbone(problem_of(case, free=True))
    if free.figures is None:
        return case, None
    options = [tightened(case, free.figures, seed + 1000 * turn) for turn in range(5)]
    for option in options:
        cost = plan_backbone(problem_of(option)).cost_mm
        if cost is not None and cost > free.cost_mm:
            return option, free.cost_mm
    return options[0], free.cost_mm


def compare(seeds: range, devices: int = 4) -> tuple[int, int]:
    """Compare planner and brute force; return how many limits bound, and how many of these left a dearer plan."""
    bound, dearer = 0, 0
    for seed in seeds:
        case, free_cost = tight_case(seed, devices)
        planned = plan_backbone(problem_of(case))
        least = brute_force(case)
        assert planned.cost_mm == least, f"seed {seed}"
        assert planned.proof == ("none exists" if least is None else "optimal"), f"seed {seed}"
        bound += planned.cost_mm != free_cost
        dearer += planned.cost_mm is not None and planned.cost_mm != free_cost
    return bound, dearer


def test_optimal_on_small_graphs():
    """On random graphs of 6 to 10 nodes with 4 devices the planner's cost is brute force's; limits bind in half."""
    bound, dearer = compare(range(2, 7))
    assert bound >= 3
    assert dearer >= 3


@pytest.mark.long
def test_optimal_on_40_small_graphs():
    """The same on 40 graphs with 4 devices, a binding limit in at least half of them leaving a dearer plan."""
    bound, dearer = compare(range(40))
    assert bound >= 20
    assert dearer >= 20


@pytest.mark.long
def test_optimal_with_five_devices():
    """The same on 6 graphs with 5 devices."""
    compare(range(500, 506), devices=5)


@given(seed=st.integers(0, 10_000))
@settings(max_examples=5)
def test_plan_keeps_its_limits(seed):
    """A plan that is found keeps every limit, costs what it says and holds each device and the tap once."""
    case, _ = tight_case(seed, 4)
    problem = problem_of(case)
    planned = plan_backbone(problem)
    if planned.plan is None:
        assert planned.proof == "none exists"
        return
    assert figures(problem, planned.plan).keeps(problem.limits)
    assert cost_mm(problem, planned.plan) == planned.cost_mm
    tees = [tee for station in planned.plan.stations for tee in station.tees]
    assert sorted(tee for tee in tees if tee is not None) == sorted(hook.id for hook in problem.hooks)
    assert tees.count(None) == 1


def test_same_problem_same_plan():
    """Planning twice gives the same plan, station by station."""
    problem = problem_of(random_case(5))
    assert plan_backbone(problem) == plan_backbone(problem)


def test_too_much_load_for_two_sides():
    """More LEN than both sides of the tap may carry is refused without a search."""
    case = random_case(3)
    problem = problem_of(case)
    assert problem.load_units > 2
    assert plan_backbone(replace(problem, limits=Limits(side_lens=1))).proof == "none exists"


def test_steps_are_exact():
    """Steps of 0.1 microvolt hold the published worst case exactly: 69, 15 and 15 a mm, 5000 a tap."""
    assert [steps_per_mm(kind) for kind in ("light", "mid", "heavy")] == [69, 15, 15]
    assert steps_per_tap() == 5000
