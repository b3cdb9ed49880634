"""Planning a declared bus: sound results, respect for what is built, spare tees, stock lengths, and honest failure."""

from __future__ import annotations

from collections import Counter

import pytest

from layout.findings import has_stops
from layout.findings import rules as all_rules
from layout.network.bus import plan_bus
from layout.network.networks import plan_networks
from layout.project.model.arrangement import Arrangement, Placed
from layout.project.model.network import BusCable, BusNode, BusPart
from layout.project.reading.read import read
from layout.wiring.circuits.ends import Ends
from tests.conftest import ROOT
from tests.network.make import TAP, bus, cable, line, planned, project, rules, tee

EXAMPLES = ROOT / "examples"
WAYS = [("console", "locker", 2.0), ("locker", "engine", 4.0), ("locker", "cabin", 3.0), ("console", "roof", 2.0),
        ("roof", "mast", 4.0)]  # fmt: skip
PLACES = {"depth": "engine", "wind": "mast", "display": "console", "heading": "cabin"}
NODES = {id_: BusNode(load_units=3) for id_ in PLACES}


def test_planned_bus_is_sound():
    """A planned bus has two terminators at its ends, one tap, a tee for each device, and no error."""
    plan = planned(bus(NODES), WAYS, PLACES)
    kinds = Counter(part.kind for part in plan.assembly.parts)
    assert (kinds["terminator"], kinds["tap"], kinds["tee"]) == (2, 1, 4)
    assert [plan.assembly.parts[0].kind, plan.assembly.parts[-1].kind] == ["terminator", "terminator"]
    assert not has_stops(plan.findings)
    assert plan.proof.startswith("optimal")
    assert [row.node for row in plan.voltages] == [drop.node for drop in plan.assembly.drops]


def test_planning_twice_gives_the_same():
    """The same bus is planned the same, part by part."""
    assert planned(bus(NODES), WAYS, PLACES) == planned(bus(NODES), WAYS, PLACES)


def test_spare_tees_are_left():
    """As many free tees are planned as asked, each reckoned with its LEN, and none lengthens the backbone."""
    without, with_ = (planned(bus(NODES, spare_tees=count), WAYS, PLACES) for count in (0, 3))
    assert with_.assembly.free_ports() == 3
    assert with_.backbone_mm == without.backbone_mm
    assert "bus 32" not in rules(with_)


def test_spare_tees_give_way_to_limits():
    """Where the load a side leaves no room a spare tee is left out, and that is found."""
    heavy = {"a": BusNode(load_units=20), "b": BusNode(load_units=20), "c": BusNode(load_units=20)}
    plan = planned(bus(heavy, tap_at="p", spare_tees=9, spare_load_units=10, allowed_drop=9.0, lowest_voltage=14.0))
    assert plan.assembly.free_ports() < 9
    assert "bus 32" in rules(plan)


def test_pieces_are_bought_lengths():
    """With stock lengths every backbone piece is one of them, and they cover the wireways between stations."""
    stock = (1000.0, 2000.0, 5000.0)
    plan = planned(bus(NODES, stock=stock), WAYS, PLACES)
    pieces = [piece for piece in plan.assembly.pieces if piece.cable]
    assert {piece.length_mm for piece in pieces} <= set(stock)
    assert all(line.length_mm in stock for line in plan.parts if line.length_mm is not None)


def test_parts_list_holds_every_part():
    """The parts list counts what the drawing shows: tees, tap, terminators and each cable."""
    plan = planned(bus(NODES), WAYS, PLACES)
    counts = {entry.what: entry.count for entry in plan.parts if entry.length_mm is None}
    assert counts == {"power tap": 1, "tee": 4, "terminator 120 ohm": 2}
    bought = sum(entry.count * entry.length_mm for entry in plan.parts if entry.length_mm is not None)
    assert bought == pytest.approx(plan.backbone_mm + plan.drops_mm)


BUILT = (
    BusPart(part="terminator", aboard="keep"),
    tee("display", at="console", aboard="keep"),
    BusPart(part="tap", at="console", aboard="keep"),
    cable(3, aboard="keep"),
    tee("heading", at="locker", ports=2, aboard="keep"),
    BusPart(part="terminator", aboard="keep"),
)


def test_built_line_is_kept_and_lengthened():
    """What is built keeps its order and lengths; new devices take free ports, or the line grows at its ends."""
    plan = planned(bus(NODES, built=BUILT), WAYS, PLACES)
    assembly = plan.assembly
    kept = [part for part in assembly.parts if part.aboard]
    assert [part.kind for part in kept if part.kind != "terminator"] == ["tee", "tap", "tee"]
    assert [piece.length_mm for piece in assembly.pieces if piece.aboard and piece.cable] == [3000.0]
    assert {drop.node for drop in assembly.drops} == set(NODES)
    assert sum(part.kind == "terminator" for part in assembly.parts) == 2
    assert not {"bus 1", "bus 2", "bus 3", "bus 5", "bus 29"} & rules(plan)
    assert not any(entry.what == "terminator 120 ohm" for entry in plan.parts)


def test_free_port_is_taken_first():
    """A new device near a built tee with a free port needs no new tee."""
    nodes = {id_: NODES[id_] for id_ in ("display", "heading")} | {"pump": BusNode(load_units=1, drop=1000.0)}
    plan = planned(bus(nodes, built=BUILT), WAYS, {**PLACES, "pump": "locker"})
    assert sum(part.kind == "tee" for part in plan.assembly.parts) == 2
    assert plan.parts == tuple(entry for entry in plan.parts if "tee" not in entry.what)


def test_unsound_line_is_only_checked():
    """A branched line is not lengthened: its faults stay as they are, and the devices off it are named."""
    nodes = {
        "a": BusNode(load_units=1, drop=500.0),
        "b": BusNode(load_units=1, drop=500.0),
        "c": BusNode(load_units=1, drop=500.0),
    }
    built = (*line(tee("a", label="m"), cable(1), TAP, cable(1), tee("b")), cable(2, after="m"), tee())
    plan = planned(bus(nodes, built=built))
    assert {"bus 5", "bus 29"} <= rules(plan)
    assert plan.proof == ""


def test_device_out_of_reach():
    """A device that no drop reaches is named; the others are planned."""
    plan = planned(bus(NODES), [*WAYS, ("away", "shed", 1.0)], {**PLACES, "heading": "shed"})
    assert "bus 29" in rules(plan)
    nodes = {**NODES, "sonar": BusNode(load_units=1, drop=2000.0)}
    far = planned(bus(nodes), [*WAYS[:2], ("engine", "stern", 3.0), *WAYS[2:]], {**PLACES, "sonar": "stern"})
    assert not has_stops(far.findings)


def test_unknown_place():
    """A device whose place is not known is an error, not a drop of nothing."""
    made = project(WAYS, {id_: place for id_, place in PLACES.items() if id_ != "wind"})
    plan = plan_bus(Ends(made, None), bus(NODES))
    assert {"bus 35", "bus 29"} <= rules(plan)


def test_no_place_reaches_it():
    """A moulded drop of 9 m reaches no tee within the limit of 6 m."""
    plan = planned(bus({**NODES, "wind": BusNode(load_units=1, drop=9000.0)}), WAYS, PLACES)
    finding = next(f for f in plan.findings if f.rule == "bus 33")
    assert (finding.measured, finding.limit) == (9.0, 6.0)


def test_impossible_bus_says_what_would_help():
    """Where no course keeps every limit the finding names single changes that would, and the bus is shown anyway."""
    nodes = {id_: BusNode(load_units=13) for id_ in PLACES}
    ways = [(one, other, 3 * metres) for one, other, metres in WAYS]
    plan = planned(bus(nodes, fuse=None), ways, PLACES)
    finding = next(f for f in plan.findings if f.rule == "bus 33")
    assert "mid cable" in finding.remedy
    assert {"bus 14"} & rules(plan)
    assert has_stops(plan.findings)
    mid = planned(bus(nodes, cable=BusCable.MID, fuse=None), ways, PLACES)
    assert "bus 33" not in rules(mid)


def test_fixed_tap_stays():
    """A power tap that is fixed stands where it is fixed."""
    for place in ("roof", "locker"):
        plan = planned(bus(NODES, tap_at=place), WAYS, PLACES)
        assert plan.assembly.taps[0].at == place


def launch(name: str):
    """Plan the networks of a launch example with every device set at one point of its panel."""
    declared = read(EXAMPLES / "launch" / name).project
    placed = {
        id_: Placed(device=id_, panel=device.panel[0], x=300.0, y=200.0)
        for id_, device in declared.devices.items()
        if device.panel
    }
    return plan_networks(declared, Arrangement(placed=placed))


def test_launch_networks_have_no_error():
    """The launch's bus, serial link and antenna leads are planned without an error."""
    networks = launch("launch.yaml")
    assert not has_stops(networks.findings)
    assert networks.buses[0].proof.startswith("optimal")
    assert len(networks.buses[0].voltages) == len(networks.buses[0].assembly.devices)


def test_wrong_network_shows_each_fault():
    """Three terminators, a 9 m drop and a tap at the end are each found, with file and line."""
    networks = launch("wrong_network.yaml")
    found = {finding.rule: finding for finding in networks.findings}
    assert found["bus 1"].measured == 3
    assert found["bus 6"].measured == 9.0
    assert "bus 28" in found
    assert all(finding.at.file == "wrong_instruments.yaml" and finding.at.line > 0 for finding in found.values())


def test_work_limit_is_admitted():
    """A plan whose search was ended says between what bounds it lies, and never that it is optimal."""
    places = {f"d{i}": place for i, place in enumerate([*PLACES.values(), "roof", "locker", "cabin", "engine"])}
    made = project([*WAYS, ("engine", "mast", 9.0), ("cabin", "roof", 5.0), ("cabin", "console", 4.0)], places)
    plan = plan_bus(Ends(made, None), bus({id_: BusNode(load_units=3) for id_ in places}, allowed_drop=0.5), work=0.01)
    finding = next(f for f in plan.findings if f.rule == "bus 34")
    assert finding.limit < finding.measured
    assert plan.proof.startswith("usable")
    assert not has_stops(plan.findings)


def test_cable_shorter_than_its_way():
    """A declared drop or a built piece that can't reach along the wireways is found."""
    nodes = {"a": BusNode(load_units=1, drop=1000.0), "b": BusNode(load_units=1, drop=1000.0)}
    short_drop = planned(bus(nodes, built=line(tee("a"), TAP, tee("b"))), places={"b": "q"})
    assert [f.measured for f in short_drop.findings if f.rule == "bus 50"] == [1.0]
    short_piece = planned(
        bus(nodes, built=(BusPart(part="terminator", at="p"), tee("a"), TAP, cable(2), tee("b", at="q"),
                          BusPart(part="terminator", at="q"))),
        places={"b": "q"},
    )  # fmt: skip
    assert [f.limit for f in short_piece.findings if f.rule == "bus 50"] == [3.0]


def test_every_rule_has_a_case():
    """Every code of networks and energy is named by a test, so that none is a rule that nothing can break."""
    folder = ROOT / "tests"
    files = [file for part in ("network", "energy") for file in sorted((folder / part).rglob("*.py"))]
    text = "".join(file.read_text(encoding="utf-8") for file in files)
    lost = [code for code in all_rules() if code.startswith(("bus ", "day ")) and f'"{code}"' not in text]
    assert lost == []
