"""What the networks lay takes up room in the wireways, and serial pairs stand in the schedule."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from layout.network.laid_cables import laid_cables
from layout.network.networks import plan_networks
from layout.project.model.device import Device
from layout.project.model.network import AntennaLead, Listener, SerialLink
from layout.project.model.wireways import Wireway
from layout.standards import coax, network
from layout.standards.conduit import circle_mm2
from layout.wiring.routing.network_cables import NetworkCable
from layout.wiring.wire import wire
from tests.wiring.faulty import add, plain

if TYPE_CHECKING:
    from layout.project.model.project import Project
    from layout.wiring.result import Wiring


def wired(project: Project) -> Wiring:
    """Wire a project with the cables of its networks lying in the wireways."""
    return wire(project, None, network_cables=laid_cables(project, plan_networks(project, None)))


def radio_boat(bore_mm: float):
    """Return a boat whose antenna lead lies with nothing else in one conduit."""
    conduit = Wireway(
        id="wa", from_="locker", to="p0", kind="conduit", length=2000.0, bore=bore_mm, carries=("antenna",)
    )
    lead = AntennaLead(id="vhf", name="Radio lead", radio="radio", antenna="whip", cable="RG-213", frequency=156.8)
    devices = {"radio": Device(id="radio", location="locker"), "whip": Device(id="whip", location="p0")}
    return add(plain(), wireways={"wa": conduit}, antennas={"vhf": lead}, devices=devices)


def test_antenna_lead_fills_its_conduit():
    """RG-213 of the published diameter in 20 mm, by hand."""
    project = radio_boat(20.0)
    result = wired(project)
    fill = next(fill for fill in result.wireways if fill.wireway == "wa")
    assert [cable.number for cable in fill.cables] == ["Radio lead"]
    diameter = coax.kind("RG-213").outer_diameter_mm
    assert fill.fill_percent == pytest.approx(100 * circle_mm2(diameter) / circle_mm2(20.0))


def test_overfull_with_a_lead_names_it():
    """A conduit too narrow for the lead is an error about the lead."""
    project = radio_boat(11.0)
    found = [f for f in wired(project).findings if f.rule == "wire 14"]
    assert "antennas.vhf" in found[0].subjects


def test_serial_pair_in_the_schedule():
    """One pair, wires A and B with the link's colours, to each listener; no current, no drop, no size asked."""
    link = SerialLink(
        id="depth", talker="sounder", listeners={"plotter": Listener(id="plotter")}, colour_a="white", colour_b="brown"
    )
    devices = {"sounder": Device(id="sounder", location="locker"), "plotter": Device(id="plotter", location="p0")}
    project = add(plain(), serial={"depth": link}, devices=devices)
    project = replace(project, wireways={"w0": replace(project.wireways["w0"], carries=("dc", "data"))})
    run = wire(project, None).run("serial.depth:plotter")
    assert [(one.pole, one.colour, one.start.node, one.end.node) for one in run.wires] == [
        ("A", "white", "sounder/A", "plotter/A"),
        ("B", "brown", "sounder/B", "plotter/B"),
    ]
    assert run.route == ("w0",)
    assert run.length.total_mm == pytest.approx(3000 * 1.05 + 300)
    assert run.wires[0].number == "006aA"


def test_numbers_of_circuits_do_not_move_for_a_link():
    """A serial link that is added takes the next number."""
    before = wire(plain(), None)
    link = SerialLink(id="depth", talker="sounder", listeners={"plotter": Listener(id="plotter")})
    devices = {"sounder": Device(id="sounder", location="locker"), "plotter": Device(id="plotter", location="p0")}
    after = wire(add(plain(), serial={"depth": link}, devices=devices), None, numbers=before.numbers)
    assert {key: after.numbers[key] for key in before.numbers} == dict(before.numbers)


def test_plug_that_stays_on_the_lead_must_pass():
    """A moulded plug of 26 mm does not go through a conduit of 24 mm; one that is fitted afterwards is no matter."""
    project = radio_boat(24.0)
    lead = replace(project.antennas["vhf"], plug=26.0)
    with_plug = replace(project, antennas={"vhf": lead})
    found = [[f.message for f in wired(one).findings if f.rule == "wire 17"] for one in (project, with_plug)]
    assert found == [[], ["wa: the plug of Radio lead needs 26.0 mm, 24.0 mm are left"]]


@pytest.mark.parametrize(("radius_mm", "told"), [(49.0, True), (50.0, False)])
def test_bus_cable_takes_its_own_bend_radius(radius_mm: float, told: bool) -> None:
    """Light bus cable of 7.1 mm takes 7 times that, 49.7 mm (the bus's cable table), not 4 times as a power cable."""
    conduit = Wireway(
        id="wb", from_="locker", to="p0", kind="conduit", length=2000.0, bore=40.0, bends=90.0, bend_radius=radius_mm
    )
    project = add(plain(), wireways={"wb": conduit})
    cable = NetworkCable(
        key="networks.main:backbone 1",
        name="Main, piece 1",
        run_class="data",
        od_mm=network.outer_diameter_mm("light"),
        wireways=("wb",),
        bend_radius_mm=network.bus_bend_radius_mm("light"),
    )
    told_by = [f.message for f in wire(project, None, network_cables=(cable,)).findings if f.rule == "wire 18"]
    assert told_by == (["wb: Main, piece 1 needs a radius of 50 mm, the bends have 49 mm"] if told else [])
