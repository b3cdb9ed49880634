"""Two devices one behind the other: which opens first, as far as ratings show it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.wiring.laws.selectivity import selectivity
from layout.wiring.system.graph import Consumer, System
from tests.wiring.laws.fault_systems import battery, guard, node, one_panel


def with_feeder(rating_a: float, *, branches: bool = True) -> System:
    """Return the panel with its way of 10 A, a feeder's fuse of some rating, and perhaps a second way."""
    system = one_panel(ohm=0.005)
    fuse = replace(system.guards[0], rating_a=rating_a)
    second = (guard("panel/bar", "panel/2", "+", rating_a=5.0),) if branches else ()
    return replace(system, guards=(fuse, system.guards[1], *second), nodes=(*system.nodes, node("panel/2", "+", "way")))


@pytest.mark.parametrize(
    ("rating_a", "rules"), [(10.0, ["fuse 13"]), (9.0, ["fuse 13"]), (15.9, ["fuse 14"]), (16.0, []), (100.0, [])]
)
def test_a_way_behind_its_feeder(rating_a: float, rules: list[str]) -> None:
    """Up to its own rating both can open, below 1.6 times nothing is shown, from there the way opens first."""
    found = [breach for breach in selectivity(with_feeder(rating_a)) if breach.entry.endswith("panel/1")]
    assert [breach.rule for breach in found] == rules
    assert all("device lead/1b" in breach.message for breach in found)


def test_two_devices_in_one_conductor_part_the_same_things() -> None:
    """With nothing else between them it does not matter which of two opens."""
    assert list(selectivity(with_feeder(10.0, branches=False))) == []


def test_a_load_between_them_is_a_branch() -> None:
    """What hangs on the bar between two devices goes dark with the feeder's."""
    system = with_feeder(10.0, branches=False)
    at_bar = Consumer(key="b", entry="circuits.b", name="At the bar", live="panel/bar", back="panel/-")
    told = [breach.rule for breach in selectivity(replace(system, consumers=(*system.consumers, at_bar)))]
    assert told == ["fuse 13"]


def test_behind_a_source_that_limits_itself_nothing_is_told() -> None:
    """A converter limits itself before any device behind it opens at once."""
    system = with_feeder(10.0)
    converter = replace(battery("bank", kind="converter", limit_a=30.0, chemistry=None))
    assert list(selectivity(replace(system, sources=(converter,)))) == []
