"""Functional tests follow from what is on board."""

from __future__ import annotations

from layout.handover.lists.work_aboard.function_tests import function_table
from layout.project.model.network import InstrumentNetwork
from tests.wiring.faulty import add, plain


def test_a_bus_is_measured_dead_and_live() -> None:
    """Two terminators of 120 ohm are 60 ohm together; the published range round it and the bus's supply are printed."""
    bare, with_bus = plain(), add(plain(), networks={"main": InstrumentNetwork(id="main", name="Main bus")})
    told = [[(row["what"], row["must"]) for row in function_table(boat).rows] for boat in (bare, with_bus)]
    assert set(told[1]) - set(told[0]) == {("Main bus", "50 to 70 ohm"), ("Main bus", "9 to 16 V")}
