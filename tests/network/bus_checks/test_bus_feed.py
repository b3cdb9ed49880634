"""A bus against the wiring that feeds it: its real fuse, its circuit's load, and the volts that reach its head."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from layout.network.bus import plan_bus
from layout.network.bus_checks.bus_feed import lost_before, with_head_volts
from layout.network.declared_bus import feed_device_a
from layout.project.model.circuits import Circuit, Load
from layout.project.model.keys import End
from layout.project.model.network import BusNode, BusPart
from layout.project.model.supplies import BreakerPanel, Feeder, Supply, Way
from layout.wiring.circuits.ends import Ends
from layout.wiring.wire import wire
from tests.network.make import bus, cable, line, project, tee

if TYPE_CHECKING:
    from layout.network.bus import BusPlan
    from layout.project.model.project import Project

TAP = BusPart(part="tap", at="p")
NODES = {"echo": BusNode(id="echo", load_units=10), "wind": BusNode(id="wind", load_units=6)}


def boat(*, way_a: float | None = 3.0, load_a: float | None = 1.0, **more: object) -> tuple[Project, BusPlan]:
    """Return a battery, a panel whose way feeds a bus of 16 LEN (0.8 A), and the bus as it is built."""
    declared = bus(
        NODES,
        built=line(cable(2.0), tee("echo"), cable(2.0), TAP, cable(2.0), tee("wind"), cable(2.0)),
        circuit="c",
        **more,
    )
    made = project(
        [("p", "q", 3.0)],
        {"echo": "p", "wind": "p", "tap": "p"},
        networks={"b": declared},
        supplies={
            "bank": Supply(
                id="bank", kind="battery", voltage=12.0, lowest_voltage=11.0, highest_voltage=14.4, location="q"
            )
        },
        breaker_panels={
            "dc": BreakerPanel(id="dc", voltage=12.0, location="q", ways={"1": Way(id="1", rating=way_a, circuit="c")})
        },
        feeders={
            "out": Feeder(id="out", from_=End("bank", "+"), to=End("dc", "in"), length=4000.0, current=40.0),
            "home": Feeder(
                id="home", from_=End("dc", "-"), to=End("bank", "-"), poles=("-",), length=4000.0, current=40.0
            ),
        },
        circuits={
            "c": Circuit(
                id="c", from_=End("dc", "1"), to=End("tap"), purpose="instruments", length=3000.0,
                load=None if load_a is None else Load(current=load_a),
            )
        },
    )  # fmt: skip
    return made, plan_bus(Ends(made, None), declared)


def told(plan: BusPlan) -> list[str]:
    """Return the codes about the feed and its circuit."""
    return [f.rule for f in plan.findings if f.rule in ("bus 16", "bus 51", "bus 52", "bus 53")]


def test_the_ways_rating_counts_not_what_the_bus_says() -> None:
    """A bus that says 3 A behind a way of 20 A is judged with 20 A, and both are named."""
    made, plan = boat(way_a=20.0)
    assert feed_device_a(made, made.networks["b"]) == 20.0
    assert told(plan) == ["bus 16", "bus 51"]
    message = next(f.message for f in plan.findings if f.rule == "bus 51")
    assert message == "bus is said to have a fuse of 3 A, but the device of circuit 'c' is 20 A; that one counts"


@pytest.mark.parametrize("more", [{}, {"fuse": None}])
def test_a_fuse_that_agrees_is_silent(more: dict) -> None:
    """The same rating in both places, or in one, is no finding."""
    assert told(boat(**more)[1]) == []


def test_fuses_at_both_sides_of_the_tap_are_its_own() -> None:
    """Then the way may be larger: it protects the feed, and the fuses the bus."""
    assert told(boat(way_a=10.0, fuse_each_side=True)[1]) == []


@pytest.mark.parametrize(("load_a", "rules"), [(0.79, ["bus 52"]), (0.8, []), (None, [])])
def test_the_circuit_counts_on_what_the_bus_draws(load_a: float | None, rules: list[str]) -> None:
    """16 LEN draw 0.80 A; a circuit that says 0.79 A is told, one that says nothing is asked elsewhere."""
    assert told(boat(load_a=load_a)[1]) == rules


@pytest.mark.parametrize(
    ("stated", "head", "rules"), [(None, 10.75, []), (10.5, 10.5, []), (10.754, 10.75, []), (11.0, 10.75, ["bus 53"])]
)
def test_the_head_has_what_the_source_gives_less_what_is_lost(
    stated: float | None, head: float, rules: list[str]
) -> None:
    """11 V at the bank and 0.25 V lost before the way leave 10.75 V, whatever the bus says above that."""
    made, plan = boat(lowest_voltage=stated)
    judged = with_head_volts(made.networks["b"], plan, 0.25)
    assert judged.assembly.feed.lowest_v == pytest.approx(head)
    assert told(judged) == rules
    highest = max(row.voltage_v or 0.0 for row in judged.voltages)
    assert highest < head
    assert highest == pytest.approx(head - min(row.fall_v for row in judged.voltages))


def test_a_bus_that_only_reached_nine_volts_without_the_loss_is_told() -> None:
    """9.3 V at the source are enough alone and too little less 0.25 V on the way and the fall along the bus."""
    made, plan = boat(lowest_voltage=None)
    low = replace(plan, assembly=replace(plan.assembly, feed=replace(plan.assembly.feed, source_lowest_v=9.4)))
    assert "bus 11" not in [f.rule for f in with_head_volts(made.networks["b"], low, 0.0).findings]
    assert "bus 11" in [f.rule for f in with_head_volts(made.networks["b"], low, 0.35).findings]


def test_what_is_lost_is_the_feeders_part_of_the_whole_drop() -> None:
    """The circuit's cumulative drop less its own is that of the feeders, out and back."""
    made, _ = boat()
    wiring = wire(made, None)
    feeders = sum(run.drop_v or 0.0 for run in wiring.runs if run.owner_kind == "feeder")
    lost = lost_before(wiring, "c")
    assert lost == pytest.approx(feeders, rel=1e-6)
    assert lost is not None
    assert lost > 0


def test_nothing_known_of_the_loss_changes_nothing() -> None:
    """Without a length the loss is not known; it is asked there, and the bus keeps what it says."""
    made, plan = boat()
    assert with_head_volts(made.networks["b"], plan, None) == plan
