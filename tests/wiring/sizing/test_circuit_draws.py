"""Design currents by hand."""

from __future__ import annotations

import pytest

from layout.project.model.circuits import Load
from layout.project.model.supplies import Supply
from layout.wiring.sizing.circuit_draws import input_current
from layout.wiring.sizing.design_current import design_current


@pytest.mark.parametrize(
    ("load", "supply_v", "amps"),
    [
        (Load(current=5.0), None, 5.0),
        (Load(power=35.0), None, 35 / 10.8),  # 0.9 of 12 V
        (Load(power=35.0), 11.0, 35 / 11),
        (Load(power=35.0, lowest_voltage=10.0), 11.0, 3.5),  # its maker's goes first
        (Load(), None, None),
        (None, None, None),
    ],
)
def test_watts_over_lowest_voltage(load, supply_v, amps):
    """Watts are divided by the lowest working voltage; nothing said is unknown, not zero."""
    found = design_current(load, nominal_v=12.0, supply_v=supply_v).current_a
    assert found == (None if amps is None else pytest.approx(amps))


def test_converter_takes_its_output_over_efficiency():
    """30 A at 12 V with 90 % from 21.6 V are 18.5 A."""
    converter = Supply(kind="converter", voltage=12.0, current=30.0, efficiency=0.9)
    assert input_current(converter, 21.6).current_a == pytest.approx(360 / 0.9 / 21.6)
    assert input_current(Supply(kind="converter", voltage=12.0, current=30.0), 21.6).current_a is None
