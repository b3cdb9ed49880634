"""What the trade's rules ask and a project can hide in plain sight: sources, poles, plugs, covers, zones, voltages."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.findings import Severity
from layout.network.networks import plan_networks
from layout.project.model.circuits import Leg
from layout.project.model.device import Terminal
from layout.project.model.keys import End
from layout.project.model.project import Boat
from layout.project.model.supplies import BatterySwitch, BreakerPanel, Feeder, Supply
from layout.project.reading.read import read
from layout.wiring.wire import wire
from tests.conftest import EXAMPLES
from tests.wiring.arranged import spread_out
from tests.wiring.builders import way
from tests.wiring.faulty import ac, add, device, on_panel, part, plain, two_ac


def said(project, code):
    """Return the messages of one rule."""
    return [finding.message for finding in wire(project, None).findings if finding.rule == code]


def two_sources(**generator):
    """Return shore and generator on a changeover, the generator's own breaker changed."""
    project = two_ac(break_before_make=True)
    guard = replace(project.feeders["gf"].protection, **generator)
    return part(project, "feeders", "gf", protection=guard)


def test_residual_current_device_before_every_source():
    """A residual-current device at the shore inlet does not cover the hours on the generator."""
    assert said(two_sources(), "fuse 32") == []
    found = said(two_sources(residual=None), "fuse 32")
    assert found == ["heat: no residual-current device of 30 mA or less on its way from gen (state 'co 2')"]


def test_double_pole_breaker_before_every_source():
    """Each source has its own double-pole breaker, or the panel's main is one."""
    assert said(two_sources(), "fuse 34") == []
    assert said(two_sources(poles=1), "fuse 34") == [
        "device of gf, L: it is the first device behind gen and opens one pole"
    ]


def test_changeover_takes_the_neutral_along():
    """A changeover of one pole leaves the neutrals of shore and generator joined."""
    found = said(two_ac(break_before_make=True, poles=1), "fuse 34")
    assert "co: it changes over one pole, so the neutrals of all sources stay joined" in found


def test_negative_goes_over_the_second_pole_on_a_metal_hull():
    """A two-pole switch with one conductor on it isolates nothing, and one with both is right."""
    steel = replace(part(plain(), "battery_switches", "main", poles=2), boat=Boat(hull="metal"))
    assert said(steel, "wire 47") == ["dc: its negative reaches bank past the main switch, on a metal hull"]
    home = replace(steel.feeders["home"], from_="main/in", to="bank/-")
    back = Feeder(id="over", from_="negbar", to="main/out", poles=("-",), length=900.0)
    assert said(add(steel, feeders={"home": home, "over": back}), "wire 47") == []


def test_a_circuit_from_a_bar_comes_home_over_the_second_pole_too():
    """On a metal hull a motor from the bar behind the switch is told as a panel is; with both poles it is not."""
    steel = replace(part(plain(), "battery_switches", "main", poles=2), boat=Boat(hull="metal"))
    fuse = steel.feeders["lead"].protection
    lamp = replace(steel.circuits["c1"], from_="main/out", protection=fuse, legs=fed_from("main/out"))
    told = said(add(steel, circuits={"c1": lamp}), "wire 47")
    assert "c1: its negative reaches bank past the main switch, on a metal hull" in told
    home = replace(steel.feeders["home"], from_="main/in", to="bank/-")
    back = Feeder(id="over", from_="negbar", to="main/out", poles=("-",), length=900.0)
    assert said(add(steel, circuits={"c1": lamp}, feeders={"home": home, "over": back}), "wire 47") == []


def test_always_live_needs_a_live_return():
    """A gas alarm fed before the switch is dead all the same if its return goes over the switch's second pole."""
    steel = part(plain(purpose="gas alarm"), "battery_switches", "main", poles=2)
    alarm = replace(steel.circuits["c1"], from_="bank", protection=steel.feeders["lead"].protection, always_live=True)
    assert said(add(steel, circuits={"c1": alarm}), "wire 34") == []
    home = replace(steel.feeders["home"], from_="main/in", to="bank/-")
    over = Feeder(id="over", from_="negbar", to="main/out", poles=("-",), length=900.0)
    wrong = add(steel, circuits={"c1": replace(alarm, legs=legs())}, feeders={"home": home, "over": over})
    assert "c1: it is always live, but its return lies behind a switch" in said(wrong, "wire 34")


def fed_from(start):
    """Return feed from a place and return to the negative bar."""
    return {
        "feed": Leg(id="feed", from_=start, to="lamp1@0/+"),
        "back": Leg(id="back", from_="lamp1@0/-", to="negbar", pole="-"),
    }


def legs():
    """Return feed from the bank and return to the negative bar."""
    return {
        "feed": Leg(id="feed", from_="bank/+", to="lamp1@0/+", always_live=True),
        "back": Leg(id="back", from_="lamp1@0/-", to="negbar", pole="-"),
    }


@pytest.mark.parametrize(
    ("ip", "fits"), [("IP20", False), ("IP44", False), ("IP55", True), ("IP67", True), ("wet", False)]
)
def test_protection_code_outside(ip, fits):
    """Outside, the second digit is at least 5; a code that can't be read is no proof (IEC 60529)."""
    outside = part(device(ip=ip), "locations", "p0", zone="exterior")
    found = [finding for finding in wire(outside, None).findings if finding.rule == "wire 29"]
    assert [finding.weight for finding in found] == ([] if fits else [Severity.STOP])


def test_switch_among_gas_is_ignition_protected():
    """A main switch sparks like any device; in a space with battery gas it must be said not to."""
    among = part(plain(), "locations", "locker", gas="battery gas")
    told = "main: it stands in locker (battery gas) and is not said to be ignition-protected"
    assert told in said(among, "wire 30")
    assert told not in said(part(among, "battery_switches", "main", ignition_protected=True), "wire 30")


def test_plug_in_words_is_compared():
    """Two sockets of other makes that take one plug are found by what plug says."""
    second = BreakerPanel(id="d24", voltage=24.0, location="locker", ways={"1": way(10.0)})
    project = add(plain(purpose="socket"), breaker_panels={"d24": second})
    twin = replace(project.circuits["c1"], id="c2", from_="d24/1", to="lamp2@0")
    project = add(
        project, circuits={"c2": twin}, devices={"lamp2@0": replace(project.devices["lamp1@0"], id="lamp2@0")}
    )
    for key, plug in (("lamp1@0", "small vehicle plug"), ("lamp2@0", "small vehicle plug")):
        project = part(project, "devices", key, plug=plug)
    assert said(project, "wire 46") == [
        "lamp2@0 and lamp1@0 take the same plug (small vehicle plug) at different voltages"
    ]
    assert said(part(project, "devices", "lamp2@0", plug="ring"), "wire 46") == []


def test_bus_on_a_24_v_way_is_found_whatever_it_calls_itself():
    """A bus that says 12 V and hangs on a 24 V distribution panel is fed with 24 V."""
    launch = read(EXAMPLES / "launch" / "launch.yaml").project
    feed = replace(launch.circuits["instrument_bus"], from_=End("dist24", "17"))
    wrong = replace(launch, circuits={**launch.circuits, "instrument_bus": feed})
    found = [finding.message for finding in plan_networks(wrong, None).findings if finding.rule == "bus 13"]
    assert found == ["Instrument bus is fed by circuit instrument_bus at 24 V; the bus bears 9 to 16 V"]
    assert not [finding for finding in plan_networks(launch, None).findings if finding.rule == "bus 13"]


def test_shore_inlet_without_bond_is_found_in_each_state():
    """No bond at all is as wrong as two."""
    assert said(ac(neutral_bond=False), "fuse 31") == [
        "state 'all on', fed by shore: neutral and earth are joined 0 times, once is right"
    ]


def test_second_source_over_a_parallel_switch_is_guarded():
    """A start battery that reaches the bank over a parallel switch needs a fuse of its own; one at its end does."""
    start = Supply(id="start", kind="battery", voltage=12.0, location="locker", resistance=0.008)
    switch = BatterySwitch(
        id="link", kind="parallel", voltage=12.0, location="locker", positions={"off": (), "on": (("in", "out"),)}
    )
    lead = Feeder(id="sl", from_="link/out", to="start/+", poles=("+",), length=900.0, cranking=True)
    over = Feeder(id="ov", from_="main/out", to="link/in", poles=("+",), length=400.0, cranking=True)
    back = Feeder(id="sb", from_="start/-", to="negbar", poles=("-",), length=900.0)
    project = add(
        plain(),
        supplies={"start": start},
        battery_switches={"link": switch},
        feeders={"sl": lead, "ov": over, "sb": back},
    )
    assert said(project, "fuse 1") == [
        "sl: start reaches it and no protective device stands between, in state 'all on'"
    ]
    guard = replace(project.feeders["lead"].protection, rating=80.0)
    assert said(part(project, "feeders", "sl", protection_to=guard), "fuse 1") == []


def test_the_longer_leg_of_a_pair_counts():
    """Where the return's terminal lies 200 mm further from the cable entry, both legs are cut and counted that long."""
    terminals = {"+": Terminal(pole="+", at=(0.0, 0.0)), "-": Terminal(pole="-", at=(0.0, -200.0))}
    near = {"+": Terminal(pole="+", at=(0.0, 0.0)), "-": Terminal(pole="-", at=(0.0, 0.0))}
    metres = []
    for ends in (near, terminals):
        project = part(on_panel(), "devices", "lamp1@0", terminals=ends)
        run = wire(project, spread_out(project)).run("circuits.c1")
        metres.append(run.length.total_mm)
    assert metres[1] - metres[0] == pytest.approx(210.0)  # 5 % slack
