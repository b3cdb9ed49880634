"""Fault currents of devices: hand calculation, and a circuit simulator on systems made by chance."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from layout.wiring.system.device_faults import device_faults
from layout.wiring.system.graph import System
from tests.conftest import needs_program
from tests.wiring.laws.fault_systems import battery, chance_system, guard, node, one_panel, posts, simulated, wire

if TYPE_CHECKING:
    from pathlib import Path


def test_highest_is_full_volts_over_all_that_lies_before_the_device() -> None:
    """12.8 V over 5 mΩ of bank and 2 + 2 mΩ of feeder give 1422 A at a way; its tail adds nothing at the fuse."""
    faults = device_faults(one_panel(ohm=0.005))
    assert faults["panel/bar|panel/1"].highest_a == pytest.approx(12.8 / 0.009, rel=1e-3)
    assert faults["lead/1|lead/1b"].highest_a == pytest.approx(12.8 / 0.005, rel=1e-3)


def test_lowest_is_low_volts_over_the_hot_circuit_to_its_far_end() -> None:
    """10.8 V over 5 mΩ and 84.5 mΩ of copper, hot, reach the lamp."""
    faults = device_faults(one_panel(ohm=0.005))
    hot = 1.334 * (0.0005 + 0.002 + 0.04 + 0.04 + 0.002)
    assert faults["panel/bar|panel/1"].lowest_a == pytest.approx(10.8 / (0.005 + hot), rel=1e-3)
    assert faults["panel/bar|panel/1"].far == "lamp/+"


def test_nothing_known_is_no_figure() -> None:
    """A bank of which nothing is said gives no current at all, and its name."""
    fault = device_faults(one_panel())["panel/bar|panel/1"]
    assert fault.highest_a is None
    assert fault.lowest_a is None
    assert fault.unknown == ("bank",)


@needs_program("ngspice")
@pytest.mark.parametrize("seed", range(10))
def test_highest_equals_a_circuit_simulator(seed: int, tmp_path: Path) -> None:
    """Over systems made by chance, what flows through each device is what a circuit simulator finds, within 0.2 %."""
    system = chance_system(seed)
    told = device_faults(system)
    cases, where = [], []
    for pole in system.guards:
        for foot in _feet(system, pole):
            for state in system.states:
                cases += [(system, state, pole.key, side, foot) for side in (pole.a, pole.b)]
                where += [pole.device] * 2
    most: dict[str, float] = {}
    for device, amps in zip(where, simulated(cases, tmp_path), strict=True):
        most[device] = max(most.get(device, 0.0), amps)
    assert len(most) > 3
    for device, amps in most.items():
        assert (told[device].highest_a or 0.0) == pytest.approx(amps, rel=2e-3, abs=0.01), device


def _feet(system, guard):
    """Return the returns of the owner at which a device stands: behind its tail, else its own."""
    tails = {c.end: c.start for c in system.conductors if c.is_tail}
    owner = tails.get(guard.a, guard.a).partition("/")[0]
    own = [n.key for n in system.nodes if n.owner == owner and n.pole == "-"]
    return own or [n.key for n in system.nodes if n.pole == "-"]


def test_an_ac_source_is_a_reactance_that_adds_in_quadrature() -> None:
    """6 kA at the pontoon are 38.3 milliohm; with 2 x 20 milliohm of copper 230 V drive 4153 A, an upper bound."""
    shore = replace(
        battery("shore", kind="shore", nominal_v=230.0, chemistry=None, fault_a=6000.0), live="shore/L", back="shore/N"
    )
    system = System(
        nodes=(*posts(shore), node("ac/bar", "L", "panel"), node("ac/N", "N", "panel"), node("ac/1", "L", "way")),
        conductors=(wire("shore/L", "ac/bar", "L", 0.02), wire("shore/N", "ac/N", "N", 0.02)),
        guards=(guard("ac/bar", "ac/1", "L", kind="miniature breaker"),),
        sources=(shore,),
    )
    highest = device_faults(system)["ac/bar|ac/1"].highest_a
    assert highest == pytest.approx(230 / math.hypot(230 / 6000, 0.04), rel=1e-3)


@pytest.mark.parametrize("seed", range(12))
def test_another_source_never_lowers_the_highest(seed: int) -> None:
    """A bank more on any bar makes no short behind a way smaller (in a ring the parts of two banks may subtract)."""
    system = chance_system(seed)
    more = battery("more", ohm=0.004)
    bar = next(entry.owner for entry in system.nodes if entry.kind == "bar")
    richer = replace(
        system,
        nodes=(*system.nodes, *posts(more)),
        conductors=(
            *system.conductors,
            wire("more/+", f"{bar}/+", "+", 0.001),
            wire("more/-", f"{bar}/-", "-", 0.001),
        ),
        sources=(*system.sources, more),
    )
    before, after = device_faults(system), device_faults(richer)
    for device in (pole.device for pole in system.guards if "~" not in pole.key):
        assert (after[device].highest_a or 0.0) >= (before[device].highest_a or 0.0) * (1 - 1e-3)


@pytest.mark.parametrize("seed", range(12))
def test_an_unknown_source_keeps_every_verdict_that_it_reaches_open(seed: int) -> None:
    """With one bank's strength unknown every device that it reaches names it, and no figure is made up for it."""
    system = chance_system(seed)
    blank = replace(system.sources[0], ohm=None)
    asked = device_faults(replace(system, sources=(blank, *system.sources[1:])))
    for device, fault in device_faults(system).items():
        if blank.key in fault.sources:
            assert blank.key in asked[device].unknown
        if asked[device].highest_a is not None:
            assert math.isfinite(asked[device].highest_a)


def test_two_banks_alone_the_weaker_counts_for_the_lowest() -> None:
    """Banks of 5 and 20 milliohm on one bar: a short at the lamp is counted with the weaker alone."""
    system = one_panel(ohm=0.005)
    weak = battery("weak", ohm=0.020)
    system = replace(
        system,
        nodes=(*system.nodes, *posts(weak)),
        conductors=(
            *system.conductors,
            wire("weak/+", "panel/bar", "+", 0.001),
            wire("weak/-", "panel/-", "-", 0.001),
        ),
        sources=(*system.sources, weak),
    )
    lowest = device_faults(system)["panel/bar|panel/1"].lowest_a
    assert lowest == pytest.approx(10.8 / (0.020 + 1.334 * (0.002 + 0.08)), rel=1e-3)
