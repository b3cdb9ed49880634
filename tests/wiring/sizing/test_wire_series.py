"""Metric, AWG and SAE wire: printed as it is written, counted on the safe side, and never another series in silence."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import pytest

from layout.project.model.circuits import CableKind
from layout.project.model.workshop import WiringRules
from layout.quantity import WireSize
from layout.wiring.wire import wire
from tests.wiring.builders import SIZES, boat, lamp
from tests.wiring.faulty import GAUGES

MIL_MM2 = pi / 4 * 0.0254**2


def other_series(listed: dict[str, float], wanted: str) -> list[str]:
    """Return what is said of a cable's list in a project that asks for a series."""
    made = boat(
        {"c1": lamp(1)},
        cables={"single": CableKind(sizes=listed, insulation=90.0, carries=("dc",))},
        rules=WiringRules(wire_sizes=wanted),
    )
    return [found.message for found in wire(made, None).findings if found.rule == "wire 58"]


@pytest.mark.parametrize(
    ("written", "asked", "mils"),
    [
        ("14 AWG", "awg", 4107),  # ASTM B258
        ("14 AWG", "sae", 3702),  # SAE J1128: the thinner area of the number counts
        ("14 AWG", "metric", 3702),
        ("14 SAE", "awg", 3702),  # SAE wire is thin whatever else is bought
        ("14 SAE", "sae", 3702),
        ("22 AWG", "metric", 642.4),  # SAE has no 22
    ],
)
def test_a_size_is_printed_as_it_is_written_and_counted_on_the_safe_side(written, asked, mils):
    """The schedule says the user's own words; the copper is that of ASTM B258 or of SAE J1128, in circular mils."""
    made = boat({"c1": lamp(1, amps=0.5, size=WireSize.read(written))}, cables={}, rules=WiringRules(wire_sizes=asked))
    run = wire(made, None).run("circuits.c1")
    assert str(run.size) == written
    assert run.size.area_mm2 == pytest.approx(mils * MIL_MM2, rel=1e-3)


@pytest.mark.parametrize("wanted", ["metric", "awg", "sae"])
def test_sizes_that_are_chosen_are_of_the_wanted_series(wanted):
    """Without a list of cables every conductor is of the series that the project asks for."""
    runs = wire(boat({"c1": lamp(1)}, cables={}, rules=WiringRules(wire_sizes=wanted)), None).runs
    assert {run.size.series.value for run in runs} == {wanted}


@pytest.mark.parametrize(
    ("listed", "wanted", "told"),
    [
        (SIZES, "metric", False),
        (SIZES, "awg", True),
        (GAUGES, "metric", True),
        (GAUGES, "awg", False),
        (GAUGES, "sae", True),
        ({key.replace("AWG", "SAE"): od for key, od in GAUGES.items()}, "sae", False),
        ({**GAUGES, "2.5 mm2": 3.6}, "metric", False),  # a list that holds one wanted size says nothing
    ],
)
def test_a_list_without_any_wanted_size_is_told_once(listed, wanted, told):
    """One finding at the cable, however many conductors take a size of its list."""
    assert len(other_series(listed, wanted)) == told


def test_a_size_that_was_written_is_no_choice_of_another_series():
    """Where the owner writes every size, nothing was chosen from the list."""
    size = WireSize.read("2 AWG")
    made = boat(
        {"c1": lamp(1, size=size)}, cables={"single": CableKind(sizes=GAUGES, insulation=90.0, carries=("dc",))}
    )
    fixed = {key: replace(feeder, size=size) for key, feeder in made.feeders.items()}
    made = replace(made, feeders=fixed)
    assert "wire 58" not in {found.rule for found in wire(made, None).findings}
