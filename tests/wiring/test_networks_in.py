"""What the networks lay takes up room in the wireways, and serial pairs stand in the schedule."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from layout.network.laid_cables import laid_cables
from layout.network.networks import plan_networks
from layout.project.model.circuits import CableKind
from layout.project.model.device import Device
from layout.project.model.network import AntennaLead, BusNode, InstrumentNetwork, Listener, SerialLink
from layout.project.model.wireways import Wireway
from layout.standards import coax, network
from layout.standards.conduit import circle_mm2
from layout.wiring.circuits.network_segments import NetworkCable
from layout.wiring.wire import wire
from tests.wiring.faulty import SINGLE, add, many, plain

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
    assert [cable.number for cable in fill.cables] == [result.run("antennas.vhf").number] == ["006aA"]
    diameter = coax.kind("RG-213").outer_diameter_mm
    assert fill.fill_percent == pytest.approx(100 * circle_mm2(diameter) / circle_mm2(20.0))


def test_overfull_with_a_lead_names_it():
    """A conduit too narrow for the lead is an error about the lead."""
    project = radio_boat(11.0)
    found = [f for f in wired(project).findings if f.rule == "wire 14"]
    assert "antennas.vhf" in found[0].subjects


def test_antenna_lead_is_a_wire_like_any_other():
    """It has a number, two ends with a plug, its kind for a size, length and reel: (2 m and two ends) and 5 %."""
    result = wired(radio_boat(20.0))
    run = result.run("antennas.vhf")
    only = run.wires[0]
    assert (only.number, only.start.name, only.end.name, run.size_words) == ("006aA", "radio", "whip", "RG-213")
    assert only.start.fitting == only.end.fitting == "coaxial plug for RG-213"
    assert only.start.label == "006aA > whip antenna RG-213"
    assert run.length.total_mm == pytest.approx((2000 + 2 * 150) * 1.05)
    reel = next(reel for reel in result.cut_list.reels if reel.cable == "coaxial cable")
    assert [piece.number for piece in reel.pieces] == ["006aA"]


def bus_boat(**nodes: BusNode):
    """Return a boat with a bus from the locker to another place, 3 m of wireway apart."""
    project = plain()
    devices = {key: Device(id=key, location="locker" if key.startswith("l") else "p0") for key in nodes}
    bus = InstrumentNetwork(id="n", name="bus", supply="house", nodes={k: replace(v, id=k) for k, v in nodes.items()})
    project = replace(project, wireways={"w0": replace(project.wireways["w0"], carries=("dc", "data"))})
    return add(project, networks={"n": bus}, devices=devices)


def test_every_bus_cable_is_in_the_schedule():
    """Each backbone cable and each drop has a number, two ends, a kind and the planned length; none is cut."""
    project = bus_boat(left=BusNode(load_units=2, drop=600.0), pilot=BusNode(load_units=1, drop=600.0))
    plan = plan_networks(project, None)
    result = wire(project, None, network_cables=laid_cables(project, plan))
    mine = {run.key: run for run in result.runs if run.owner_kind == "network"}
    assert list(mine) == ["networks.n:backbone locker to p0", "networks.n:drop left", "networks.n:drop pilot"]
    backbone, _, drop = mine.values()
    piece = next(one for one in plan.buses[0].assembly.pieces if one.cable)
    assert (backbone.number, backbone.length.total_mm, backbone.route) == ("006aD", piece.length_mm, ("w0",))
    assert {backbone.wires[0].start.name, backbone.wires[0].end.name} == {"locker", "p0"}
    assert (drop.wires[0].end.name, drop.wires[0].end.terminal, drop.length.total_mm) == ("pilot", "data", 600.0)
    assert {run.size_words for run in mine.values()} == {"light"}
    cut = {piece.number for reel in result.cut_list.reels for piece in reel.pieces}
    assert not cut & {run.number for run in mine.values()}


def test_bus_cables_keep_their_numbers_when_the_bus_grows():
    """A third device takes the next number; no cable that is labelled gets another."""
    small = bus_boat(left=BusNode(load_units=2, drop=600.0), pilot=BusNode(load_units=1))
    large = bus_boat(left=BusNode(load_units=2, drop=600.0), depth=BusNode(load_units=1), pilot=BusNode(load_units=1))
    before = wired(small)
    after = wire(large, None, numbers=before.numbers, network_cables=laid_cables(large, plan_networks(large, None)))
    assert {run.key: run.number for run in before.runs}.items() <= {run.key: run.number for run in after.runs}.items()


def test_cable_of_one_size_says_its_conductors():
    """A pair bought in one size has that size in the schedule; one bought in two has none until it is said."""
    link = SerialLink(id="depth", talker="sounder", listeners={"plotter": Listener(id="plotter")}, cable="pair")
    devices = {"sounder": Device(id="sounder", location="locker"), "plotter": Device(id="plotter", location="p0")}
    sizes = []
    for sold in ({"0.5 mm2": 5.5}, {"0.5 mm2": 5.5, "0.75 mm2": 6.0}):
        kind = CableKind(id="pair", cores=2, insulation=80.0, sizes=sold, carries=("data",))
        made = add(plain(), serial={"depth": link}, devices=devices, cables={"pair": kind})
        sizes.append(wire(made, None).run("serial.depth:plotter").size_words)
    assert sizes == ["0.5 mm²", None]


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
    assert found == [[], ["wa: the plug of 006aA needs 26.0 mm, 24.0 mm are left"]]


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
        start="locker/T1",
        end="p0/T2",
        cable="instrument bus cable",
        made="light",
        plug_words="plug",
        od_mm=network.outer_diameter_mm("light"),
        wireways=("wb",),
        length_mm=2000.0,
        bend_radius_mm=network.bus_bend_radius_mm("light"),
    )
    told_by = [f.message for f in wire(project, None, network_cables=(cable,)).findings if f.rule == "wire 18"]
    assert told_by == (["wb: 006aD needs a radius of 50 mm, the bends have 49 mm"] if told else [])


@pytest.mark.parametrize(
    ("stock", "plug", "told"),
    [((2000.0,), None, 1), ((2000.0,), 16.0, 0), ((), None, 0)],
    ids=["made up, plug not said", "made up, plug said", "cut from a reel"],
)
def test_plugs_of_made_up_cables_are_asked_for(stock: tuple[float, ...], plug: float | None, told: int) -> None:
    """Whether a cable that is bought with its plugs on passes a conduit is open until their size is said."""
    project = bus_boat(left=BusNode(drop=600.0, load_units=1), pilot=BusNode(drop=600.0, load_units=1))
    bus = replace(project.networks["n"], stock=stock, plug=plug)
    project = replace(project, networks={"n": bus})
    found = [f.message for f in wired(project).findings if f.rule == "wire 75"]
    assert len(found) == told
    assert all("come made up, and how thick their plugs are is not known" in message for message in found)


def test_plugs_of_a_cable_stay_on_unless_it_says_otherwise() -> None:
    """A kind of cable with a plug counts with it; only plug_removable: true takes it off for pulling."""
    told = {}
    for removable in (None, False, True):
        kind = replace(SINGLE, plug=30.0, plug_removable=removable)
        project = many(2, cables={"single": kind}, wireway={"bore": 32.0, "bends": 90.0})
        told[removable] = bool([f for f in wire(project, None).findings if f.rule == "wire 17"])
    assert told == {None: True, False: True, True: False}
