"""Fault currents of devices: hand calculation, and a circuit simulator on systems made by chance."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from layout.wiring.system.device_faults import device_faults
from tests.conftest import needs_program
from tests.wiring.laws.fault_systems import chance_system, one_panel, simulated

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
    for guard in system.guards:
        for foot in _feet(system, guard):
            for state in system.states:
                cases += [(system, state, guard.key, side, foot) for side in (guard.a, guard.b)]
                where += [guard.device] * 2
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
