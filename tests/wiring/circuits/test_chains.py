"""What each conductor of a circuit carries: chains of devices, legs side by side, two feeds, and what is not said."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from layout.wiring.sizing.circuit_draws import circuit_loads
from layout.wiring.system import carried as flows
from tests.wiring.laws.boats import case
from tests.wiring.stages import system_of

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

CHAIN = {
    "a": {"from": "dc/1", "to": "lamp/+"},
    "b": {"from": "lamp/+", "to": "lamp2/+"},
    "c": {"from": "lamp2/-", "to": "lamp/-", "pole": "-"},
    "d": {"from": "lamp/-", "to": "dc/-", "pole": "-"},
}


def lamps(load: str, said: Mapping[str, str], legs: Mapping[str, Mapping[str, str]] | None = None) -> dict[str, Any]:
    """Return lamps on one way, with the currents that the file gives for legs."""
    written = {key: dict(leg) for key, leg in (legs or CHAIN).items()}
    for key, amps in said.items():
        written[key]["current"] = amps
    return {"circuits.lamp": {"from": "dc/1", "to": "lamp", "purpose": "cabin lights", "load": {"current": load},
                              "legs": written}}  # fmt: skip


def carried(folder: Path, changes: Mapping[str, Any]) -> tuple[dict[str, float | None], float | None]:
    """Return what each leg carries, and what the circuit draws at its breaker panel; the graph says the same."""
    sized = case(folder, changes)
    flowing = flows.carried(system_of(sized))
    lead_a = sized.loaded.lead_a
    legs = {key.partition(":")[2]: amps for (key, _), amps in lead_a.items() if key.startswith("circuits.lamp:")}
    assert legs == {
        conductor.segment.partition(":")[2]: flowing[conductor.key].amps
        for conductor in sized.loaded.graph.conductors
        if conductor.segment.startswith("circuits.lamp:")
    }
    amps = {key: design.current_a for key, design in sized.declared.currents.items()}
    loads = circuit_loads(sized.declared.project, sized.loaded.chains, amps, sized.loaded.stands)
    return legs, next(load.current_a for load in loads if load.circuit == "lamp")


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        # 9 A to the first lamp, of which 1 A goes on: 9 and 1 out, 1 and 9 home
        ({"b": "1 A"}, [9, 1, 1, 9]),
        ({"a": "9 A", "b": "1 A"}, [9, 1, 1, 9]),
        ({"a": "9 A", "b": "1 A", "c": "1 A", "d": "9 A"}, [9, 1, 1, 9]),
        ({}, [9, 9, 9, 9]),  # shares are not said: the whole on each part
    ],
)
def test_a_chain_carries_the_sum(said: Mapping[str, str], expected: list[float], tmp_path: Path) -> None:
    """The current of the device in the middle counts on the way to it and home."""
    legs, whole = carried(tmp_path, lamps("9 A", said))
    assert legs == dict(zip("abcd", expected, strict=True))
    assert whole == 9


@pytest.mark.parametrize("swapped", [False, True])
def test_the_order_of_the_legs_changes_nothing(swapped: bool, tmp_path: Path) -> None:
    """A return that is written from its far end, or before the one it leads to, is found all the same."""
    legs = {key: CHAIN[key] for key in ("d", "c", "b", "a")}
    if swapped:
        legs["d"] = {"from": "dc/-", "to": "lamp/-", "pole": "-"}
        legs["c"] = {"from": "lamp/-", "to": "lamp2/-", "pole": "-"}
    found, whole = carried(tmp_path, lamps("9 A", {"b": "1 A"}, legs))
    assert found == {"a": 9, "b": 1, "c": 1, "d": 9}
    assert whole == 9


def test_legs_side_by_side_carry_their_own(tmp_path: Path) -> None:
    """Two lamps on two legs of one way: each leg its own current, the way both."""
    legs = {
        "a": {"from": "dc/1", "to": "lamp/+"},
        "b": {"from": "dc/1", "to": "lamp2/+"},
        "c": {"from": "lamp/-", "to": "dc/-", "pole": "-"},
        "d": {"from": "lamp2/-", "to": "dc/-", "pole": "-"},
    }
    found, whole = carried(tmp_path, lamps("4 A", {"a": "3 A", "b": "1 A"}, legs))
    assert found == {"a": 3, "b": 1, "c": 3, "d": 1}
    assert whole == 4


def test_a_switch_in_the_way_takes_nothing(tmp_path: Path) -> None:
    """What arrives at a switch goes on: one load behind it, once."""
    legs = {
        "a": {"from": "dc/1", "to": "lamp2/+"},
        "b": {"from": "lamp2/out", "to": "lamp/+", "pole": "switched"},
        "c": {"from": "lamp/-", "to": "dc/-", "pole": "-"},
    }
    switch = {"devices.lamp2": {"location": "cabin", "terminals": {"+": {"pole": "+"}, "out": {"pole": "switched"}}}}
    found, whole = carried(tmp_path, {**lamps("4 A", {}, legs), **switch})
    assert found == {"a": 4, "b": 4, "c": 4}
    assert whole == 4
