"""Law 9: what stands among petrol, gas and battery gas; a just-legal twin beside each."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from layout.frozen import FrozenMap
from layout.wiring.laws.spaces import spaces
from layout.wiring.system.graph import Consumer, Node, System
from tests.wiring.laws.fault_systems import battery, guard, node, one_panel, wire


def among(system: System, owner: str, **facts: Any) -> System:
    """Return a system with an owner's terminals in the battery box."""
    facts = {"location": "box", "vapour": "battery gas", "section": "devices", **facts}
    nodes = tuple(replace(n, **facts) if n.owner == owner else n for n in system.nodes)
    return replace(system, nodes=nodes, place_names=FrozenMap({"box": "Battery box"}))


def told(system: System) -> list[tuple[str, str]]:
    """Return code and entry of each breach."""
    return [(breach.rule, breach.entry) for breach in spaces(system)]


def test_a_boat_without_gas_is_silent() -> None:
    """Where nothing stands in the air nothing is asked."""
    assert told(one_panel()) == []


@pytest.mark.parametrize(("said", "rules"), [(None, ["wire 30"]), (False, ["wire 30"]), (True, [])])
def test_a_device_among_gas(said: bool | None, rules: list[str]) -> None:
    """A lamp in the battery box is told unless it is said to be ignition-protected."""
    found = list(spaces(among(one_panel(), "lamp", ignition_protected=said)))
    assert [breach.rule for breach in found] == rules
    if rules:
        assert found[0].message == (
            "lamp/+: it stands in Battery box (battery gas) and is not said to be ignition-protected"
        )


def test_a_battery_among_its_own_gas_is_no_fault() -> None:
    """The bank itself stands in its box; a charger beside it does not."""
    assert told(among(one_panel(), "bank", section="supplies")) == []
    system = one_panel()
    charger = battery("charger", kind="charger")
    system = replace(
        system,
        nodes=(*system.nodes, node("charger/+", "+", "source")),
        sources=(*system.sources, charger),
        conductors=(*system.conductors, wire("charger/+", "panel/bar", "+")),
    )
    assert told(among(system, "charger", section="supplies")) == [("wire 30", "supplies.charger")]


@pytest.mark.parametrize(("said", "rules"), [(None, ["wire 30"]), (True, [])])
def test_a_fuse_in_a_batterys_gas(said: bool | None, rules: list[str]) -> None:
    """A link fuse on the post in the box is told, an ignition-protected one is not."""
    system = one_panel()
    fuse = replace(system.guards[0], location="box", vapour="battery gas", ignition_protected=said)
    system = replace(system, guards=(fuse, *system.guards[1:]), place_names=FrozenMap({"box": "Battery box"}))
    found = list(spaces(system))
    assert [breach.rule for breach in found] == rules
    if rules:
        assert "a link fuse in Battery box (battery gas)" in found[0].message
        assert "location:" in found[0].remedy


def test_many_fuses_in_one_space_are_one_finding() -> None:
    """Six fuses in the box come out once, with their number."""
    system = one_panel()
    fuses = tuple(
        replace(guard("lead/1", "lead/1b", "+", device=f"f{n}"), name=f"fuse {n}", vapour="petrol", location="box")
        for n in range(6)
    )
    found = list(spaces(replace(system, guards=fuses)))
    assert len(found) == 1
    assert "fuse 0, fuse 1, fuse 2, fuse 3 and 2 more" in found[0].message


@pytest.mark.parametrize("kind", ["splice", "bar"])
def test_a_joint_among_gas_is_watched(kind: str) -> None:
    """A joint or a bar in a petrol space is watched."""
    joint = Node(
        key="foot/+", owner="foot", section="locations", name="Foot", kind=kind, pole="+", location="engine",
        vapour="petrol",
    )  # fmt: skip
    system = one_panel()
    assert [rule for rule, _ in told(replace(system, nodes=(*system.nodes, joint)))] == ["fuse 108"]
    legal = replace(joint, vapour="")
    assert told(replace(system, nodes=(*system.nodes, legal))) == []


def test_a_petrol_engines_space_has_a_blower() -> None:
    """Without a blower circuit it is told, with one it is not."""
    system = replace(one_panel(), petrol_spaces=("Engine space",))
    assert told(system) == [("fuse 109", "boat.fuel")]
    blower = Consumer(key="b", entry="circuits.b", name="Blower", live="lamp/+", back="lamp/-", purpose="bilge blower")
    assert told(replace(system, consumers=(*system.consumers, blower))) == []
