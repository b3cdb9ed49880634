"""Each law on paths against its second way, on systems by chance."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

import pytest

from layout.wiring.laws.closed_path import closed_path
from layout.wiring.laws.converted import converted
from layout.wiring.laws.dead_when_off import dead_when_off
from layout.wiring.laws.poles import poles
from layout.wiring.laws.residual import residual
from layout.wiring.laws.voltages import voltages
from layout.wiring.system.graph import Guard
from tests.conftest import FULL
from tests.wiring.laws import second_way
from tests.wiring.laws.chance_boats import chance_boat

if TYPE_CHECKING:
    from layout.wiring.system.graph import System

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


def test_nothing_feeds_itself() -> None:
    """Rings of sources that each feed the next, in any order and of any length."""
    found = []
    for seed in SEEDS:
        told = [b for b in converted(boat(seed)) if b.rule == "fuse 131"]
        found.append({entry for b in told for entry in (b.entry, *b.related)})
        assert found[-1] == second_way.by_itself_told(boat(seed)), seed
    assert any(found)
    assert not all(found)


def with_a_device_in_each_return(system: System) -> System:
    """Return a system with a device of one pole in every conductor of a return, and in a sense wire from the first."""
    returns = [line for line in system.conductors if line.pole in ("-", "N") and not line.is_tail]
    like = replace(system.nodes[0], kind="inner", pole=None, declared=False)
    cut = {line.key: f"{line.key} cut" for line in returns}
    guards = tuple(
        Guard(key=f"{line.key} device", device=f"{line.key} device", entry=f"{line.key} device", name=line.name,
              a=line.start, b=cut[line.key], pole=line.pole, kind="link fuse", rating_a=10.0)
        for line in returns
    )  # fmt: skip
    if guards:
        guards += (replace(guards[0], key="sense", device="sense", entry="sense", b="sensed"),)
    nodes = tuple(replace(like, key=key, owner=key, name=key) for key in (*cut.values(), "sensed"))
    lines = tuple(replace(c, start=cut[c.key]) if c.key in cut else c for c in system.conductors)
    return replace(system, nodes=system.nodes + nodes, conductors=lines, guards=system.guards + guards)


def test_no_return_is_opened_alone() -> None:
    """Each device by itself: what is left on both its sides; one that nothing comes home through is not told."""
    counts = [0, 0]
    for seed in list(SEEDS)[:10]:
        made = with_a_device_in_each_return(boat(seed))
        told = {b.entry for b in dead_when_off(made) if b.rule == "fuse 133"}
        assert told == second_way.return_alone_told(made), seed
        counts[0] += len(told)
        counts[1] += sum(guard.pole in ("-", "N") and guard.kind == "link fuse" for guard in made.guards) - len(told)
    assert min(counts) > 0
