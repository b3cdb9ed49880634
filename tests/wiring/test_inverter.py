"""An inverter stands between two systems: its DC leads are a load of the bank, its AC leads a source."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from layout.project.model.supplies import Feeder, Supply
from layout.wiring.wire import wire
from tests.wiring.builders import FUSE
from tests.wiring.faulty import ac, add

if TYPE_CHECKING:
    from layout.project.model.project import Project


def inverter(terminal: str = "+", **more: object) -> Project:
    """Return a boat with an inverter on the switch's outlet and a kettle on its AC side."""
    project = ac()
    facts = {"id": "inv", "kind": "inverter", "voltage": 230.0, "power": 1080.0, "efficiency": 0.9,
             "location": "locker",
             "neutral_bond": True, "polarized": True, "self_limiting": True, "fed_from": "main/out"}  # fmt: skip
    return add(
        replace(project, feeders={key: feeder for key, feeder in project.feeders.items() if key != "sf"}),
        supplies={"inv": Supply(**{**facts, **more})},
        feeders={
            "fi": Feeder(id="fi", from_="main/out", to=f"inv/{terminal}", poles=("+",), length=900.0, protection=FUSE),
            "ri": Feeder(id="ri", from_="inv/-", to="negbar", poles=("-",), length=900.0),
            "sf": replace(project.feeders["sf"], from_="inv"),
        },
    )


@pytest.mark.parametrize("terminal", ["+", "in"])
def test_inverter_input_is_a_dc_load(terminal):
    """1080 W at 90 % from 10.8 V ask for 111.1 A on the inverter's DC leads, whichever name its post has."""
    found = {run.key: run for run in wire(inverter(terminal), None).runs}
    for key in ("feeders.fi", "feeders.ri"):
        assert found[key].run_class == "dc"
        assert found[key].nominal_v == 12.0
    loads = {load.feeder: load.simultaneous_a for load in wire(inverter(terminal), None).feeders}
    assert loads["feeders.fi"] == loads["feeders.ri"] == pytest.approx(1080 / 0.9 / 10.8)
    assert loads["feeders.lead"] == pytest.approx(1080 / 0.9 / 10.8 + 3.0)


def test_feeder_that_carries_nothing_known_is_an_error():
    """A feeder to an inverter without power has no size, and an error says so."""
    found = [f for f in wire(inverter(power=None), None).findings if f.rule == "wire 1" and "fi:" in f.message]
    assert [f.message for f in found] == ["fi: what it carries is not known, so its conductors have no size"]
