"""Law 7: breaking capacity and opening of each device, and what is not known of it, once."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.findings import Severity
from layout.wiring.laws.fault_current import fault_current, needed_a
from layout.wiring.system.device_faults import device_faults
from layout.wiring.system.graph import Guard, System
from tests.wiring.laws.fault_systems import battery, guard, node, one_panel, posts, wire

AT_WAY_A = 13.6 / 0.009
"""13.6 V over 5 mΩ of bank and 2 + 2 mΩ of feeder, from hand."""
KNOWN = {"ohm": 0.005, "chemistry": "lithium"}


def told(system: System, *rules: str) -> list:
    """Return the breaches of a system, of some rules."""
    return [breach for breach in fault_current(system) if not rules or breach.rule in rules]


def with_guard(system: System, at: int, **facts: object) -> System:
    """Return a system with one device changed."""
    guards = list(system.guards)
    guards[at] = replace(guards[at], **facts)
    return replace(system, guards=tuple(guards))


def with_ways(system: System, ways: tuple[Guard, ...]) -> System:
    """Return the panel with more ways, each with a lamp on it."""
    lamps = tuple(wire(way.b, f"{way.b}lamp/+", "+", 0.04) for way in ways)
    return replace(
        system,
        guards=system.guards + ways,
        nodes=system.nodes
        + tuple(node(way.b, "+", "way") for way in ways)
        + tuple(node(f"{way.b}lamp/+", "+", "device") for way in ways),
        conductors=system.conductors + lamps,
    )


def test_a_spare_way_asks_nothing() -> None:
    """What a way without a conductor can break need not be known yet."""
    spare = guard("panel/bar", "panel/2", "+")
    system = one_panel(**KNOWN)
    with_spare = replace(system, guards=(*system.guards, spare), nodes=(*system.nodes, node("panel/2", "+", "way")))
    assert told(with_spare) == []


def test_a_clean_panel_is_silent() -> None:
    """Known bank, known curves, enough breaking capacity: nothing."""
    assert told(one_panel(**KNOWN)) == []


@pytest.mark.parametrize(("share", "rules"), [(0.99, ["fuse 8"]), (1.01, [])])
def test_breaking_capacity_against_the_current_at_the_device(share: float, rules: list[str]) -> None:
    """1 % below what a short drives through a way is too little, 1 % above is enough."""
    system = one_panel({"breaking_a": share * AT_WAY_A}, **KNOWN)
    found = told(system)
    assert [breach.rule for breach in found] == rules
    if rules:
        assert "1511 A are asked" in found[0].message
        assert "bank" in found[0].message


def test_the_table_counts_where_it_asks_more() -> None:
    """A bank of 900 A cold cranking asks 1500 A of a branch device by Table V-A whatever U/R says."""
    few = one_panel({"breaking_a": 1450.0}, ohm=0.0062, cranking_a=900.0)
    assert [(b.rule, b.limit) for b in told(few, "fuse 8")] == [("fuse 8", 1500.0)]
    assert told(one_panel({"breaking_a": 1500.0}, ohm=0.0062, cranking_a=900.0), "fuse 8") == []


def test_27_ways_on_a_bank_of_unknown_strength_are_one_question() -> None:
    """The bank is asked about once, loudly, with how many devices wait; no way has a finding of its own."""
    system = one_panel()
    ways = tuple(guard("panel/bar", f"panel/{n}", "+", breaking_a=3000.0, trips_at=8.0) for n in range(2, 28))
    found = told(with_ways(system, ways))
    assert [breach.rule for breach in found] == ["fuse 10"]
    assert "bank: its fault current is not known" in found[0].message
    assert "24 more" in found[0].message


def test_27_weak_ways_are_one_finding() -> None:
    """Ways of one panel with one breaking capacity come out once, at the first of them."""
    system = one_panel({"breaking_a": 1000.0}, **KNOWN)
    ways = tuple(guard("panel/bar", f"panel/{n}", "+", breaking_a=1000.0, trips_at=8.0) for n in range(2, 28))
    ways = tuple(replace(way, entry=f"breaker_panels.panel.ways.{n}") for n, way in enumerate(ways))
    first = replace(system.guards[1], entry="breaker_panels.panel.ways.first")
    found = told(with_ways(replace(system, guards=(system.guards[0], first)), ways))
    assert [(breach.rule, len(breach.subjects)) for breach in found] == [("fuse 8", 27)]


def test_unknown_breaking_capacity_is_asked_with_the_figure() -> None:
    """What a breaker of unknown capacity must break stands in the question."""
    found = told(one_panel({"breaking_a": None}, **KNOWN))
    assert [breach.rule for breach in found] == ["fuse 9"]
    assert found[0].limit == pytest.approx(AT_WAY_A, rel=1e-3)


def test_a_bank_without_negative_keeps_the_verdict_open() -> None:
    """A second bank joined on the live side only leaves open what is needed; with its return it adds its current."""
    system = one_panel(**KNOWN)
    second = battery("second", **KNOWN)
    live = wire("second/+", "panel/bar", "+", 0.001)
    half = replace(
        system,
        nodes=system.nodes + posts(second),
        sources=(*system.sources, second),
        conductors=(*system.conductors, live),
    )
    open_verdict = device_faults(half)["panel/bar|panel/1"]
    assert open_verdict.one_sided == ("second",)
    assert needed_a(open_verdict, {source.key: source for source in half.sources}) == (None, "")
    whole = replace(half, conductors=(*half.conductors, wire("second/-", "panel/-", "-", 0.001)))
    assert device_faults(whole)["panel/bar|panel/1"].one_sided == ()
    weak = with_guard(whole, 1, breaking_a=1500.0)
    assert [breach.rule for breach in told(weak, "fuse 8")] == ["fuse 8"]


def test_a_weak_verdict_that_hangs_on_an_unknown_size_is_a_question() -> None:
    """With the feeder's resistance unknown the current is counted as if it had none, and only watched."""
    system = one_panel({"breaking_a": 2000.0}, **KNOWN)
    conductors = tuple(replace(c, ohm=None) if c.end == "panel/bar" else c for c in system.conductors)
    system_as_laid = replace(system, conductors=conductors)
    assert told(system_as_laid, "fuse 8") == []
    system = with_guard(system, 1, breaking_a=1600.0)
    found = told(replace(system, conductors=conductors), "fuse 8")
    assert [breach.severity for breach in found] == [Severity.WATCH]


def test_facts_that_are_far_apart_are_asked() -> None:
    """0.5 mΩ and 500 A cold cranking can't be one battery; 10 mΩ and 500 A can."""
    assert [b.rule for b in told(one_panel(ohm=0.0005, cranking_a=500.0), "fuse 100")] == ["fuse 100"]
    assert told(one_panel(ohm=0.010, cranking_a=500.0), "fuse 100") == []


def lit(ohm: float, rating_a: float) -> System:
    """Return the panel with a lamp at a distance behind a device of some rating."""
    system = one_panel({"rating_a": rating_a}, **KNOWN)
    conductors = tuple(replace(c, ohm=ohm) if "lamp" in c.key else c for c in system.conductors)
    return replace(system, conductors=conductors)


@pytest.mark.parametrize(
    ("ohm", "rules"),
    [
        (0.04, []),  # 96 A against 80 A at once
        (0.06, ["fuse 11"]),  # 64 A: surely, after seconds
        (0.3, ["fuse 23"]),  # 13 A: below 16 A it may never open
    ],
)
def test_lowest_fault_against_the_curve(ohm: float, rules: list[str]) -> None:
    """10 A, opening at once from 80 A and surely from 16 A, at three distances."""
    assert [breach.rule for breach in told(lit(ohm, 10.0))] == rules


def test_unknown_curves_are_one_question_a_panel() -> None:
    """A panel's unknown curve comes out once."""
    assert [breach.rule for breach in told(one_panel({"trips_at": None}, **KNOWN))] == ["fuse 12"]


def shore(way: Guard, **facts: object) -> System:
    """Return a shore supply with one device and a socket behind it."""
    fields = {"kind": "shore", "nominal_v": 230.0, "chemistry": None, **facts}
    source = replace(battery("shore", **fields), live="shore/L", back="shore/N")
    return System(
        nodes=(
            *posts(source),
            node("panel/1", "L", "way"),
            node("panel/N", "N", "panel"),
            node("panel/bar", "L", "panel"),
            node("socket/L", "L", "device"),
        ),
        conductors=(
            wire("panel/1", "socket/L", "L", 0.001),
            wire("shore/L", "panel/bar", "L", 0.02),
            wire("shore/N", "panel/N", "N", 0.02),
        ),
        guards=(way,),
        sources=(source,),
    )


@pytest.mark.parametrize(("capacity", "rules"), [(6000.0, []), (4500.0, ["fuse 8"]), (None, ["fuse 9"])])
def test_ac_breaking_capacity_against_the_declared_fault_current(capacity: float | None, rules: list[str]) -> None:
    """6 kA declared at the pontoon: 4.5 kA are too little there, 6 kA are enough, and nothing said is asked."""
    way = guard("panel/bar", "panel/1", "L", kind="miniature breaker", breaking_a=capacity, trips_at=10.0, poles=2)
    system = shore(way, fault_a=6000.0)
    strong = replace(system, conductors=tuple(replace(c, ohm=0.001) for c in system.conductors))
    assert [breach.rule for breach in told(strong)] == rules


def test_a_shore_supply_of_unknown_fault_current_is_asked_about() -> None:
    """Without the pontoon's figure the table stands in, and that is said."""
    way = guard("panel/bar", "panel/1", "L", kind="miniature breaker", breaking_a=6000.0, trips_at=10.0, poles=2)
    assert [breach.rule for breach in told(shore(way))] == ["fuse 37"]


def test_a_blade_fuse_on_mains_is_told() -> None:
    """Blade fuses are made for up to 58 V of direct current."""
    way = guard("panel/bar", "panel/1", "L", kind="blade fuse", breaking_a=10_000.0, trips_at=5.0)
    assert [b.rule for b in told(shore(way, fault_a=6000.0), "fuse 16")] == ["fuse 16"]


@pytest.mark.parametrize(("voltage", "rules"), [(None, ["fuse 101"]), (60.0, []), (32.0, ["fuse 16"])])
def test_the_voltage_of_a_device_on_48_v(voltage: float | None, rules: list[str]) -> None:
    """On 48 V the DC voltage of a device is asked for, and held."""
    system = one_panel({"voltage": voltage}, **KNOWN, nominal_v=48.0)
    system = with_guard(system, 0, voltage=60.0, breaking_a=20_000.0)
    assert [b.rule for b in told(with_guard(system, 1, breaking_a=20_000.0), "fuse 16", "fuse 101")] == rules
