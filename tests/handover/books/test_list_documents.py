"""Cut list, parts list, label list and what is to be unplugged."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.drawing.diagrams.label_sheet import SIZES, LabelSize
from layout.drawing.writers.pdf import DocumentInfo, pdf_bytes
from layout.handover.books.test_sheets import (
    ac_tests_table,
    blank_tests_story,
    hull_tests_table,
    run_tests_table,
    unplug_table,
)
from layout.handover.lists.parts_list import parts_table
from layout.handover.lists.wires.cut_list import cut_table
from layout.handover.lists.wires.ends_list import ends_table
from layout.handover.lists.wires.feeder_loads import feeder_table
from layout.handover.lists.wires.label_list import fitting_size, label_findings, label_scenes, label_table, wire_labels
from layout.handover.lists.work_aboard.unplug import to_unplug
from layout.handover.paper.cautions import boat_facts, cautions
from layout.project.model.device import Device, Terminal
from layout.project.model.network import BusNode, InstrumentNetwork
from layout.project.model.project import Boat
from layout.project.model.supplies import Supply
from layout.wiring.result import FeederLoad
from tests.handover.pages import everything, on_pages, outside


def test_what_is_left_on_the_reel_goes_down_by_each_piece(wiring):
    """After each cut the reel holds that much less, and the last figure is the reel's leftover."""
    rows = cut_table(wiring).rows
    assert [row["number"] for row in rows] == ["002a+", "003a+", "004a+"]
    assert [row["left_m"] for row in rows] == [21.0, 20.0, 16.0]
    assert rows[-1]["left_m"] == wiring.cut_list.reels[0].left_mm / 1000


def test_ends_are_gathered_where_they_are_crimped(project, wiring):
    """Every conductor stands at both its ends, place by place, terminals in natural order, unknown fittings asked."""
    rows = ends_table(project, wiring).rows
    numbers = [str(row["number"]) for row in rows]
    assert sorted(numbers) == sorted(2 * [wire.number for run in wiring.runs for wire in run.wires])
    places = [str(row["place"]) for row in rows]
    assert list(dict.fromkeys(places)) == ["Dash", "Mast foot"]
    assert places == sorted(places)
    panel = [str(row["terminal"]) for row in rows if row["at"] == "12 V distribution" and row["place"] == "Dash"]
    assert panel.index("1") < panel.index("2")
    assert rows[0]["fitting"] == "ring red M4"


def test_way_ten_comes_after_way_two(project, wiring):
    """Terminals with numbers are sorted as people count."""
    run = wiring.runs[1]
    runs = []
    for way in ("10", "2"):
        wires = tuple(replace(wire, start=replace(wire.start, terminal=way)) for wire in run.wires)
        runs.append(replace(run, wires=wires))
    rows = ends_table(project, replace(wiring, runs=tuple(runs))).rows
    assert [row["terminal"] for row in rows if row["at"] == "12 V distribution"] == ["2", "2", "10", "10"]


def test_feeders_say_what_they_carry_at_once(project, wiring):
    """Sum, share at once, worst state and source by name; unknown loads are named and never counted as nothing."""
    lost = FeederLoad(
        feeder="feed", sum_a=None, simultaneous_a=None, state="normal", source="house", unknown=("circuits.spot",)
    )
    idle = FeederLoad(feeder="back", sum_a=0.0, simultaneous_a=0.0, state="", source="")
    (row,) = feeder_table(project, wiring).rows
    assert (row["number"], row["sum_a"], row["at_once_a"], row["source"]) == ("001a", 20.0, 20.0, "House bank")
    open_row, idle_row = feeder_table(project, replace(wiring, feeders=(lost, idle))).rows
    assert (open_row["sum_a"], open_row["unknown"]) == (None, "Spot light")
    assert (idle_row["sum_a"], idle_row["state"]) == ("", "feeds no load: carries a source's output, or cranks")


def test_runs_that_can_not_be_cut_are_named(wiring):
    """A run without a size has no piece: the note names it rather than leaving it out in silence."""
    assert any("004a" in note for note in cut_table(wiring).notes)


def test_parts_are_counted_from_the_design(project, wiring):
    """Devices, cable metres, protective devices and fittings appear with their counts."""
    rows = {str(row["item"]): row for row in parts_table(project, wiring, ["hole saw 52 mm"]).rows}
    assert rows["Radio"]["count"] == 1
    assert rows["boat 1.5 mm² red"]["count"] == pytest.approx(9.0)
    assert rows["breaker, 10 A"]["count"] == 4
    assert rows["ring red M4"]["count"] == 16 + 2  # sixteen ends and a tenth more
    assert rows["wire label"]["count"] == 16
    assert rows["Negative bar"]["for"] == "1 × M8, 2 × M6"
    assert rows["hole saw 52 mm"]["group"] == "Tool"


def test_what_is_aboard_already_is_not_bought(project, wiring):
    """A device that stays is left out; one that is new is listed."""
    kept = replace(project.devices["radio"], aboard="keep")
    rows = parts_table(replace(project, devices={**project.devices, "radio": kept}), wiring).rows
    assert "Radio" not in [row["item"] for row in rows]
    assert "Bilge pump" in [row["item"] for row in rows]


def test_parts_without_wiring_list_what_is_known(project):
    """Before anything is wired there are devices, supplies and wireways."""
    groups = {row["group"] for row in parts_table(project, None).rows}
    assert groups == {"Device", "Supply", "Bus bar", "Wireway"}


def test_a_supply_is_bought_unless_a_device_stands_for_it(project, wiring):
    """A battery is a row with its voltage and size; one that is a device of the list, or aboard, is not."""
    (battery,) = [supply for supply in project.supplies.values() if supply.kind == "battery"]
    rows = [row for row in parts_table(project, wiring).rows if row["group"] == "Supply"]
    assert any(f"{battery.voltage:g} V" in str(row["item"]) for row in rows)
    kept = {**project.supplies, battery.id: replace(battery, aboard="keep")}
    fewer = parts_table(replace(project, supplies=kept), wiring).rows
    assert len([row for row in fewer if row["group"] == "Supply"]) == len(rows) - 1


def test_a_fitting_that_is_not_known_is_listed_as_such(project, wiring):
    """An end without a known fitting is a row of its own, with the wires' numbers."""
    run = wiring.runs[1]
    wires = tuple(replace(wire, end=replace(wire.end, fitting="")) for wire in run.wires)
    rows = parts_table(project, replace(wiring, runs=(replace(run, wires=wires),))).rows
    (row,) = [row for row in rows if "not known" in str(row["item"])]
    assert row["count"] == 2
    assert row["for"] == "002a+, 002a-"


def test_every_conductor_has_a_label_at_both_ends(wiring):
    """Two labels a conductor, each naming the far end, with colour letters and size."""
    rows = label_table(wiring).rows
    wires = [wire for run in wiring.runs for wire in run.wires]
    assert len(rows) == 2 * len(wires)
    assert rows[0]["at"] == rows[1]["to"]
    assert rows[0]["to"] == rows[1]["at"]
    labels = wire_labels(wiring)
    assert [label.number for label in labels] == [str(row["number"]) for row in rows]
    assert labels[0].detail == f"RD {wiring.runs[0].size}"


def test_a_label_without_a_size_says_so(wiring):
    """The label of a run whose size is not known asks for it."""
    assert any(label.detail == "RD size ?" for label in wire_labels(wiring) if label.number == "004a+")


def test_a_label_that_is_too_small_is_found(wiring):
    """Paper 1 names the wire and the label's size; the common sizes take all of them."""
    findings = label_findings(wiring, LabelSize(name="tiny", width_mm=10, height_mm=6))
    assert {finding.rule for finding in findings} == {"paper 1"}
    assert "wire 001a+ does not fit on 10 x 6 mm" in findings[0].message
    assert fitting_size(wiring) == SIZES[0]


def test_label_sheets_print_every_number(project, wiring):
    """The PDF holds each number twice, and no letter leaves the sheet."""
    raw = pdf_bytes(label_scenes(project, wiring), DocumentInfo(title="labels"))
    words = everything(raw)
    assert all(words.count(wire.number) >= 2 for run in wiring.runs for wire in run.wires)
    assert outside(raw) == []


def test_electronics_and_bus_are_unplugged(project):
    """Radio by class, display by node, sensor by data terminal, charger, lamp and pump in case, and the bus."""
    sensor = Device(id="sensor", name="Depth sensor", location="bilge", terminals={"d": Terminal(id="d", pole="data")})
    display = Device(id="display", name="Display", location="dash")
    boat = replace(
        project,
        devices={**project.devices, "sensor": sensor, "display": display},
        supplies={**project.supplies, "c": Supply(id="c", name="Charger", kind="charger", voltage=12)},
        networks={
            "net": InstrumentNetwork(
                id="net", name="Instrument bus", nodes={"display": BusNode(id="display", load_units=1)}
            )
        },
    )
    names = [name for name, _ in to_unplug(boat)]
    assert names == ["Charger", "Radio", "Depth sensor", "Display", "Masthead light", "Bilge pump", "Instrument bus"]
    assert [row["item"] for row in unplug_table(boat).rows] == names


def test_a_metal_hull_is_checked_for_earth_leaks(project):
    """Each pole of each battery against the hull, dead and live; a wooden hull needs none, an unknown one does."""
    steel, wood, unknown = (replace(project, boat=Boat(hull=hull)) for hull in ("metal", "wood", None))
    banks = sum(supply.kind == "battery" for supply in project.supplies.values())
    assert [len(hull_tests_table(one).rows) for one in (steel, wood, unknown)] == [4 * banks, 0, 4 * banks]
    assert banks


def test_the_test_sheet_has_a_row_a_run_and_blanks(project, wiring):
    """What was worked out stands there, what is to be measured is free, what is unknown is asked."""
    rows = run_tests_table(wiring).rows
    assert [row["wire"] for row in rows] == [run.number for run in wiring.runs]
    assert rows[1]["run_drop_v"] == wiring.runs[1].drop_v
    assert all(row["measured_drop_v"] == "" and row["measured_a"] == "" for row in rows)
    assert rows[3]["design_a"] is None


def test_the_printed_test_sheet_leads_through_the_test(project, wiring):
    """Steps in order, what to unplug by name, insulation only when isolated, amperes beside the drop."""
    words = everything(on_pages(project, lambda wide: blank_tests_story(project, wiring, (), wide)))
    order = ["isolated and locked off", "unplugged and ticked", "Continuity and polarity", "4. Insulation", "6. Drop"]
    assert [words.index(step) for step in order] == sorted(words.index(step) for step in order)
    assert "Radio" in words
    assert "with the amperes at that time" in words
    assert "☐" in words


def test_ac_tests_come_with_each_ac_source(project):
    """Shore asks for earth, residual-current device, polarity and the one bond; a DC boat for none."""
    assert ac_tests_table(project).rows == ()
    shore = Supply(id="shore", name="Shore", kind="shore", voltage=230)
    rows = ac_tests_table(replace(project, supplies={"shore": shore})).rows
    assert {row["source"] for row in rows} == {"Shore"}
    assert len(rows) == 4


def test_cautions_follow_the_boat(project):
    """AC, lithium, petrol and metal bring theirs; what is not stated brings them as well."""
    assert boat_facts(project) == {"lead"}
    unsure = replace(
        project,
        boat=Boat(),
        supplies={
            "b": Supply(id="b", kind="battery", voltage=12),
            "s": Supply(id="s", kind="shore", voltage=230),
            "p": Supply(id="p", kind="solar", voltage=12),
        },
    )
    assert boat_facts(unsure) == {"ac", "shore", "lithium", "lead", "solar", "petrol", "metal"}
    assert set(cautions(project, "electrician")) < set(cautions(unsure, "electrician"))


@pytest.mark.parametrize("word", ["Isolate every supply", "Local codes", "Torques"])
def test_cautions_that_always_stand(project, word):
    """Whatever the boat, these are said."""
    assert any(word in caution for caution in cautions(project, "electrician"))
