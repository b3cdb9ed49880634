"""Each rule about a bus catches a bus that breaks it, and a sound bus breaks none."""

from __future__ import annotations

import pytest

from layout.project.model.circuits import Circuit
from layout.project.model.keys import End
from layout.project.model.network import BusCable, BusConnector, BusNode, BusPart
from layout.project.model.supplies import Feeder, Supply
from tests.network.make import TAP, bus, cable, line, planned, rules, tee

TWO = {"a": BusNode(load_units=2, drop=1000.0), "b": BusNode(load_units=3, drop=1000.0)}
SOUND = line(tee("a"), cable(2), TAP, cable(2), tee("b"))
MIDDLE = line(tee("a"), cable(2), TAP, cable(2), tee("b", label="m"), cable(2), tee())
"""The same with a labelled tee that is not at an end."""


def many(count: int, **more: object) -> dict[str, BusNode]:
    """Return that many nodes of one LEN."""
    return {f"n{i}": BusNode(load_units=1, drop=1000.0, **more) for i in range(count)}


def test_sound_bus_has_no_finding():
    """A bus with two terminators, a tap in the middle and every figure stated has no finding at all."""
    assert planned(bus(TWO, built=SOUND)).findings == ()


CASES = {
    "three terminators": ("bus 1", bus(TWO, built=(*MIDDLE, cable(1, after="m"), BusPart(part="terminator")))),
    "one terminator": ("bus 1", bus(TWO, built=SOUND[:-1])),
    "terminator in the middle": ("bus 2", bus(TWO, built=line(
        tee("a"), cable(2), BusPart(part="terminator"), TAP, cable(2), tee("b")))),
    "end left open": ("bus 3", bus(TWO, built=SOUND[:-1])),
    "cable with nothing at its end": ("bus 3", bus(TWO, built=(*SOUND[:-1], cable(2)))),
    "loop": ("bus 4", bus(TWO, built=line(tee("a", label="m"), cable(2), TAP, cable(2), tee("b", joins="m")))),
    "loop of cable": ("bus 4", bus(TWO, built=(
        *line(tee("a", label="a"), cable(2), TAP, cable(2), tee("b", label="b")), cable(3, after="b", joins="a")))),
    "branch": ("bus 5", bus(TWO, built=(*MIDDLE, cable(4, after="m"), tee(), BusPart(part="terminator")))),
    "drop of 9 m": ("bus 6", bus({**TWO, "b": BusNode(load_units=3, drop=9000.0)}, built=SOUND)),
    "drops of 80 m": ("bus 7", bus(
        {f"n{i}": BusNode(load_units=1, drop=5000.0) for i in range(16)},
        built=line(*(tee(f"n{i}") for i in range(8)), TAP, *(tee(f"n{i}") for i in range(8, 16))))),
    "light backbone of 101 m": ("bus 8", bus(
        TWO, allowed_drop=9.0, built=line(tee("a"), cable(50), TAP, cable(51), tee("b")))),
    "51 devices": ("bus 9", bus(many(51), built=line(*(tee(f"n{i}") for i in range(26)), TAP, *(
        tee(f"n{i}") for i in range(26, 51))))),
    "3.05 A on one side of light cable": ("bus 10", bus(many(61), built=line(
        TAP, cable(0.5), *(tee(f"n{i}") for i in range(61))))),
    "fed with 9.2 V": ("bus 11", bus(
        {**TWO, "b": BusNode(load_units=20, drop=1000.0)}, lowest_voltage=9.2, built=SOUND)),
    "charged with 16.5 V": ("bus 12", bus(TWO, highest_voltage=16.5, built=SOUND)),
    "24 V": ("bus 13", bus(TWO, voltage=24.0, lowest_voltage=22.0, highest_voltage=28.8, built=SOUND)),
    "fall of 1.5 V passed": ("bus 14", bus({**TWO, "b": BusNode(load_units=18, drop=1000.0)}, built=line(
        tee("a"), cable(2), TAP, cable(15), tee("b")))),
    "no fuse": ("bus 15", bus(TWO, fuse=None, built=SOUND)),
    "5 A fuse on light cable": ("bus 16", bus(TWO, fuse=5.0, built=SOUND)),
    "1 A fuse for 1.5 A": ("bus 17", bus(many(30), fuse=1.0, built=line(*(tee(f"n{i}") for i in range(15)), TAP, *(
        tee(f"n{i}") for i in range(15, 30))))),
    "two earths": ("bus 18", bus(TWO, shield_earths=("tap", "mast"), built=SOUND)),
    "no earth": ("bus 18", bus(TWO, shield_earths=(), built=SOUND)),
    "earth not stated": ("bus 19", bus(TWO, shield_earths=None, built=SOUND)),
    "unknown LEN": ("bus 20", bus({**TWO, "b": BusNode(drop=1000.0)}, built=SOUND)),
    "1.05 A for one device": ("bus 21", bus({**TWO, "b": BusNode(current=1.05, drop=1000.0)}, built=SOUND)),
    "own power, no circuit": ("bus 22", bus({**TWO, "b": BusNode(
        load_units=1, drop=1000.0, power="own", isolated=True)}, built=SOUND)),
    "own power, isolation not stated": ("bus 23", bus({**TWO, "b": BusNode(
        load_units=1, drop=1000.0, power="own", circuit="c")}, built=SOUND)),
    "two families": ("bus 24", bus(
        {**TWO, "b": BusNode(load_units=1, drop=1000.0, family="other")}, family="plain", built=SOUND)),
    "a cable piece of another family": ("bus 24", bus(TWO, family="plain", built=line(
        tee("a"), cable(2, family="other"), TAP, cable(2), tee("b")))),
    "light cable with mini": ("bus 25", bus(TWO, connector=BusConnector.MINI, built=SOUND)),
    "voltages not stated": ("bus 26", bus(TWO, lowest_voltage=None, highest_voltage=None, built=SOUND)),
    "no tap": ("bus 27", bus(TWO, built=line(tee("a"), cable(2), tee("b")))),
    "two taps": ("bus 27", bus(TWO, built=line(TAP, tee("a"), cable(2), tee("b"), TAP))),
    "tap at the end": ("bus 28", bus(TWO, built=line(TAP, cable(1), tee("a"), cable(2), tee("b")))),
    "device on two tees": ("bus 29", bus(TWO, built=line(tee("a"), TAP, tee("a"), tee("b")))),
    "drop without a length": ("bus 30", bus({**TWO, "b": BusNode(load_units=3)}, built=line(
        tee("a"), cable(2), TAP, cable(2), tee("b", at=None), cable(1), tee()))),
    "two buses": ("bus 31", bus(TWO, built=(*line(tee("a"), TAP), cable(2, after="nowhere"), tee("b")))),
    "no spare": ("bus 32", bus(TWO, spare_tees=2, built=SOUND)),
    "feed without a length": ("bus 36", bus(TWO, feed_length=None, built=SOUND)),
    "terminator of 100 ohm": ("bus 37", bus(TWO, built=(BusPart(part="terminator", resistance=100.0), *SOUND[1:]))),
}  # fmt: skip


@pytest.mark.parametrize(("rule", "declared"), CASES.values(), ids=CASES)
def test_rule_catches(rule, declared):
    """A built bus that breaks a rule is found by it."""
    assert rule in rules(planned(declared))


def test_terminator_of_121_ohm_is_sound():
    """The nearest value that can be bought is no fault."""
    built = (BusPart(part="terminator", resistance=121.0), *SOUND[1:])
    assert planned(bus(TWO, built=built)).findings == ()


def test_any_light_section_limits_its_whole_side():
    """One light piece in a mid backbone brings the limit of that side to 3 A; the other keeps 4 A."""
    built = line(
        *(tee(f"n{i}") for i in range(4)), cable(1), TAP, cable(1), tee("n4"), cable(1, cable=BusCable.LIGHT), tee("n5")
    )
    plan = planned(bus(many(6), cable=BusCable.MID, built=built))
    assert sorted(side.limit_a for side in plan.sides) == [3.0, 4.0]


def test_sides_carry_what_hangs_on_them():
    """The current of each side is the LEN beyond it times 50 mA, rounding up included."""
    nodes = {"a": BusNode(current=0.151, drop=1000.0), "b": BusNode(load_units=3, drop=1000.0)}
    plan = planned(bus(nodes, built=SOUND))
    assert [side.current_a for side in plan.sides] == pytest.approx([0.20, 0.15])


def test_drop_longer_than_the_tail_counts_for_it():
    """A drop longer than what lies beyond its tee counts instead: 98 m of backbone with 5 m drops is too long."""
    nodes = {id_: BusNode(load_units=1, drop=5000.0) for id_ in "ab"}
    plan = planned(bus(nodes, allowed_drop=9.0, built=line(tee("a"), cable(49), TAP, cable(49), tee("b"))))
    assert plan.backbone_mm == 98_000
    assert plan.reach_mm == 108_000
    assert "bus 8" in rules(plan)


def test_shared_with_engine_start():
    """A bus straight on a battery that cranks an engine is found."""
    plan = planned(
        bus(TWO, supply="start", built=SOUND),
        supplies={"start": Supply(id="start", kind="battery", voltage=12.0, location="p")},
        feeders={"s": Feeder(id="s", from_=End.read("start/+"), to=End.read("p"), cranking=True)},
    )
    assert "bus 38" in rules(plan)


def test_tap_away_from_its_circuit():
    """A circuit that ends elsewhere than the power tap is found."""
    circuit = Circuit(id="c", from_=End.read("s"), to=End.read("far"), purpose="instruments")
    supply = Supply(id="s", kind="converter", voltage=12.0, location="p", lowest_voltage=11.5, highest_voltage=14.0)
    plan = planned(
        bus(TWO, circuit="c", built=SOUND), places={"far": "q"}, circuits={"c": circuit}, supplies={"s": supply}
    )
    assert "bus 39" in rules(plan)


def test_voltages_of_the_supply_serve_the_bus():
    """A bus that states no voltages takes those of the supply behind its circuit."""
    supply = Supply(id="s", kind="converter", voltage=12.0, location="p", lowest_voltage=11.5, highest_voltage=14.0)
    plan = planned(
        bus(TWO, circuit="c", voltage=None, lowest_voltage=None, highest_voltage=None, built=SOUND),
        circuits={"c": Circuit(id="c", from_=End.read("s"), to=End.read("a"), purpose="instruments")},
        supplies={"s": supply},
    )
    feed = plan.assembly.feed
    assert (feed.nominal_v, feed.lowest_v, feed.highest_v) == (12.0, 11.5, 14.0)
    assert "bus 26" not in rules(plan)


def test_every_message_names_the_bus_or_its_device():
    """Messages stand alone: each names the bus or the device, and numbers carry a measured value and limit."""
    for rule, declared in CASES.values():
        for finding in planned(declared).findings:
            assert "bus" in finding.message
            assert finding.subjects
            if rule in {"bus 6", "bus 7", "bus 8", "bus 10", "bus 11", "bus 14", "bus 16"} and finding.rule == rule:
                assert finding.measured is not None
                assert finding.limit is not None
