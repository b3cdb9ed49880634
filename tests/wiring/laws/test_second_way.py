"""Each law on paths against its second way, on systems by chance."""

from __future__ import annotations

from functools import cache

import pytest

from layout.wiring.laws.closed_path import closed_path
from layout.wiring.laws.dead_when_off import dead_when_off
from layout.wiring.laws.poles import poles
from layout.wiring.laws.residual import residual
from layout.wiring.laws.voltages import voltages
from tests.conftest import FULL
from tests.wiring.laws import second_way
from tests.wiring.laws.chance_boats import chance_boat

SEEDS = range(60 if FULL else 20)
boat = cache(chance_boat)


@pytest.mark.parametrize("seed", SEEDS)
def test_closed_path(seed: int) -> None:
    """Codes and entries are those of all simple paths."""
    assert {(b.rule, b.entry) for b in closed_path(boat(seed))} == second_way.closed_path_told(boat(seed))


@pytest.mark.parametrize("seed", SEEDS)
def test_poles(seed: int) -> None:
    """Stray ends by entry; nets by what is wrong with them."""
    told = {
        (b.rule, b.entry) if "but it is on" in b.message else ("net", b.rule) for b in poles(boat(seed))
    }  # fmt: skip
    assert told == second_way.poles_told(boat(seed))


@pytest.mark.parametrize("seed", SEEDS)
def test_voltages(seed: int) -> None:
    """Loads and banks that do not suit what they are joined to."""
    assert {(b.rule, b.entry) for b in voltages(boat(seed))} == second_way.voltages_told(boat(seed))


@pytest.mark.parametrize("seed", SEEDS)
def test_still_live(seed: int) -> None:
    """What a battery or another source reaches with all switches open, and what none reaches and should."""
    told = list(dead_when_off(boat(seed)))
    for rule, expected in (("fuse 80", second_way.still_live_told), ("fuse 81", second_way.load_side_told)):
        here = {b.message.partition(":")[0]: set(b.subjects) for b in told if b.rule == rule}
        assert here == expected(boat(seed))
    assert {(b.rule, b.entry) for b in told if b.rule == "wire 34"} == second_way.not_live_told(boat(seed))


@pytest.mark.parametrize("seed", SEEDS)
def test_devices_and_switches_part(seed: int) -> None:
    """Each device and each switch is opened by itself."""
    told = {(b.rule, b.entry) for b in dead_when_off(boat(seed)) if b.rule in ("fuse 82", "fuse 83")}
    assert told == second_way.parts_nothing_told(boat(seed)) | second_way.way_round_told(boat(seed))


@pytest.mark.parametrize("seed", SEEDS)
def test_residual(seed: int) -> None:
    """Loads that a path reaches past all devices of 30 mA, or of two poles."""
    told = {(b.rule, b.entry) for b in residual(boat(seed)) if "it is the first device" not in b.message}
    assert told == second_way.residual_told(boat(seed))
