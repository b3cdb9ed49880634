"""Whole small boats: unknowns stay blank, paths are connected, numbers stay, nothing is overfull in silence."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.findings import Severity
from layout.project.model.circuits import Leg, Load
from layout.project.model.supplies import Feeder, Supply
from layout.project.model.workshop import WiringRules
from layout.quantity import WireSize
from layout.wiring.sizing.conductor_size import Criterion
from layout.wiring.wire import wire
from tests.wiring.builders import boat, grid, lamp, way

CURRENTS = st.lists(st.floats(0.2, 9.0), min_size=1, max_size=5)


def rules_found(result):
    """Return the codes of all findings."""
    return {finding.rule for finding in result.findings}


def drop_by_hand(result, key):
    """Return the drop of a circuit by hand: its own conductors and the four feeder conductors of the boat."""
    total = 0.0
    for run in result.runs:
        if run.key == key or run.owner_kind == "feeder":
            total += sum(wire_.drop_v for wire_ in run.wires)
    return total


@given(amps=CURRENTS, length=st.floats(500, 9000))
def test_cumulative_drop_is_the_sum_along_the_path(amps, length):
    """From the battery's post through every feeder and the run itself and back."""
    circuits = {f"c{n}": lamp(n, amps=a) for n, a in enumerate(amps, start=1)}
    result = wire(boat(circuits, lengths_mm=(length,)), None)
    for key in circuits:
        run = result.run(f"circuits.{key}")
        assert run.cumulative_v == pytest.approx(drop_by_hand(result, run.key))


@given(amps=CURRENTS)
def test_feeders_carry_the_sum_of_what_hangs_on_them(amps):
    """Without diversity every feeder carries all loads at once."""
    circuits = {f"c{n}": lamp(n, amps=a) for n, a in enumerate(amps, start=1)}
    result = wire(boat(circuits), None)
    for load in result.feeders:
        assert load.simultaneous_a == pytest.approx(sum(amps))


@given(amps=CURRENTS, length=st.floats(500, 20_000), practice=st.sampled_from(["iso", "abyc"]))
def test_over_the_limit_only_with_a_finding(amps, length, practice):
    """A run whose drop is over its limit, or whose device is above its conductor, is an error that names it."""
    circuits = {f"c{n}": lamp(n, amps=a) for n, a in enumerate(amps, start=1)}
    result = wire(boat(circuits, lengths_mm=(length,), rules=WiringRules(practice=practice)), None)
    named = {f.subjects[0] for f in result.findings if f.weight is Severity.STOP}
    for run in result.runs:
        over = run.limit_percent is not None and run.cumulative_percent > run.limit_percent + 1e-6
        weak = run.guard is not None and run.guard.rating_a > run.guard.limit_a + 1e-6
        if over or weak:
            assert run.key in named


@given(amps=CURRENTS, more=st.floats(0.2, 9.0), remove=st.booleans())
def test_adding_a_circuit_changes_no_number(amps, more, remove):
    """Old wires keep their numbers when a circuit comes or goes; a number that is gone is not used again."""
    circuits = {f"c{n}": lamp(n, amps=a) for n, a in enumerate(amps, start=1)}
    ways = {str(n): way(10.0) for n in range(1, 9)}
    before = wire(boat(circuits, ways=ways), None)
    changed = {"new": lamp(8, amps=more), **circuits}
    if remove:
        changed.pop("c1")
    after = wire(boat(changed, ways=ways), None, numbers=before.numbers)
    old = {run.key: [wire_.number for wire_ in run.wires] for run in before.runs}
    for run in after.runs:
        numbers = [wire_.number for wire_ in run.wires]
        if run.key in old:
            assert numbers == old[run.key]
        else:
            assert not set(numbers) & {number for known in old.values() for number in known}


@given(st.integers(0, 3), st.floats(0.5, 8.0), st.floats(0, 8.0))
def test_more_current_never_gives_a_thinner_wire_aboard(place, low, more):
    """At fixed routes, with feeders that change along: more load never thins its own run."""
    lengths = (1000.0, 3000.0, 6000.0, 12_000.0)
    thin = wire(boat({"c1": lamp(1, amps=low, location=place)}, lengths_mm=lengths), None).run("circuits.c1")
    thick = wire(boat({"c1": lamp(1, amps=low + more, location=place)}, lengths_mm=lengths), None).run("circuits.c1")
    assert thin.size.area_mm2 <= thick.size.area_mm2


def test_every_path_is_connected_end_to_end():
    """On a grid of 300 wireways each route leads from the panel's place to the load's without a break."""
    project = grid(300)
    result = wire(project, None)
    for run in result.runs:
        if run.owner_kind == "circuit":
            here = project.breaker_panels[run.group].location
            for key in run.route:
                way_ = project.wireways[key]
                assert here in (way_.from_, way_.to)
                here = way_.to if here == way_.from_ else way_.from_
            assert here == project.devices[run.wires[0].end.owner].location


@pytest.mark.parametrize("bore", [30.0, 45.0, 60.0])
def test_fill_is_never_over_the_limit_without_a_finding(bore):
    """Tight grids: what the repair can't empty is named."""
    project = grid(400, bore_mm=bore)
    result = wire(project, None)
    named = {finding.subjects[0] for finding in result.findings if finding.rule == "wire 14"}
    over = {
        f"wireways.{f.wireway}" for f in result.wireways if f.fill_percent and f.fill_percent > f.limit_percent + 1e-6
    }
    assert over == named


def test_repair_uses_the_other_way():
    """Of two ways between the same places the short one takes what fits and the long one the rest."""
    circuits = {f"c{n}": lamp(n, amps=8.0) for n in range(1, 7)}
    project = boat(circuits, wireway={"bore": 14.0})
    second = replace(project.wireways["w0"], id="w1", length=4000.0)
    both = replace(project, wireways={**project.wireways, "w1": second})
    assert "wire 14" in rules_found(wire(project, None))
    result = wire(both, None)
    assert "wire 14" not in rules_found(result)
    assert {run.route for run in result.runs if run.owner_kind == "circuit"} == {("w0",), ("w1",)}


def test_unknown_load_stays_blank():
    """No load: no current, no size, no drop, and an error that says so; the feeder's sum names it."""
    result = wire(boat({"c1": lamp(1), "c2": lamp(2, amps=None)}), None)
    run = result.run("circuits.c2")
    assert (run.current_a, run.size, run.drop_v, run.cumulative_v) == (None, None, None, None)
    assert {"wire 1", "wire 12", "wire 16"} <= rules_found(result)
    assert all("c2" in load.unknown for load in result.feeders)
    assert all(load.simultaneous_a == pytest.approx(3.0 + 10.0) for load in result.feeders), (
        "the way's rating stands in"
    )


def test_unknown_length_stays_blank():
    """No wireway to the load: no length, no size, an error, and nothing to cut."""
    project = boat({"c1": lamp(1)})
    result = wire(replace(project, wireways={}), None)
    run = result.run("circuits.c1")
    assert (run.length.total_mm, run.size, run.drop_v) == (None, None, None)
    assert "wire 3" in rules_found(result)
    assert not any(piece.number.startswith(run.number) for reel in result.cut_list.reels for piece in reel.pieces)


def test_same_input_same_result():
    """Two runs over one project are equal to the last digit."""
    project = grid(120, bore_mm=40.0)
    assert wire(project, None) == wire(project, None)


def test_shared_return_carries_all_that_can_flow_together():
    """Two lamps on one negative: 2 + 3 A; with loads that never run together only the larger."""

    def mast(**more):
        legs = {
            n: {
                "feed": Leg(from_=f"dc/{n}", to=f"lamp{n}@0/+", pole="+"),
                "back": Leg(from_="p0", to="dc/-", pole="-", shared="mast"),
            }
            for n in (1, 2)
        }
        return {f"c{n}": lamp(n, amps=1.0 + n, legs=legs[n], **more) for n in (1, 2)}

    both = wire(boat(mast()), None)
    assert both.run("shared.mast").current_a == pytest.approx(5.0)
    assert len([run for run in both.runs if run.key == "shared.mast"]) == 1
    apart = wire(boat(mast(never_with="either")), None)
    assert apart.run("shared.mast").current_a == pytest.approx(3.0)


def test_pump_with_two_feeds_counts_once():
    """A float feed and a manual feed of one pump never draw twice on what feeds both."""
    legs = {
        "manual": Leg(from_="dc/1", to="pump@0/manual", pole="switched"),
        "float": Leg(from_="dc/2", to="pump@0/float", pole="+"),
        "back": Leg(from_="pump@0/-", to="dc/-", pole="-"),
    }
    ways = {"1": way(10.0), "2": way(10.0, circuit=None)}
    pump = lamp(1, amps=4.0, legs=legs)
    result = wire(boat({"c1": pump}, ways=ways), None)
    assert result.run("circuits.c1:back").current_a == pytest.approx(4.0)
    assert all(load.simultaneous_a == pytest.approx(4.0) for load in result.feeders)


def test_worst_state_decides():
    """A second, weaker bank on a longer lead feeds the panel in one state: that drop counts."""
    project = boat({"c1": lamp(1)}, feeder_mm=500.0)
    far = replace(
        project,
        supplies={
            **project.supplies,
            "far": Supply(id="far", kind="battery", voltage=12.0, location="p0", resistance=0.05),
        },
        feeders={
            **project.feeders,
            "far_lead": Feeder(
                id="far_lead",
                from_="far/+",
                to="main/out",
                length=8000.0,
                size=WireSize(area_mm2=70.0),
                protection=project.feeders["lead"].protection,
            ),
            "far_back": Feeder(
                id="far_back", from_="negbar", to="far/-", poles=("-",), length=8000.0, size=WireSize(area_mm2=70.0)
            ),
        },
    )
    near_v = wire(project, None).run("circuits.c1")
    far_v = wire(far, None).run("circuits.c1")
    assert far_v.cumulative_v > near_v.cumulative_v


def test_ways_are_assigned_by_rating():
    """Circuits without a way take the ones that fit them closest, and spares stay free."""
    ways = {"1": way(30.0), "2": way(5.0), "3": way(15.0), "4": way(10.0)}
    circuits = {"big": replace(lamp(1, amps=14.0), from_="dc"), "small": replace(lamp(2, amps=3.0), from_="dc")}
    project = boat(circuits, ways=ways)
    project = replace(project, breaker_panels={"dc": replace(project.breaker_panels["dc"], free_ways=1)})
    found = {use.way: use.circuit for use in wire(project, None).ways}
    assert found == {"1": None, "2": "small", "3": "big", "4": None}


def test_diversity_never_below_the_largest_load():
    """A tenth of 12 A is 1.2 A, but the 9 A load can run alone."""
    project = boat({"c1": lamp(1, amps=9.0), "c2": lamp(2, amps=3.0)})
    project = replace(project, breaker_panels={"dc": replace(project.breaker_panels["dc"], diversity=0.1)})
    assert {round(load.simultaneous_a, 6) for load in wire(project, None).feeders} == {9.0}


def test_kept_conductors_are_not_cut():
    """What is aboard already stays out of the cut list and keeps its old label beside the new number."""
    result = wire(boat({"c1": lamp(1, aboard="keep", size=WireSize(area_mm2=2.5), old_label="L7")}), None)
    run = result.run("circuits.c1")
    assert run.old_label == "L7"
    assert run.number
    assert not any(piece.number.startswith("005") for reel in result.cut_list.reels for piece in reel.pieces)


def test_inrush_is_checked_at_the_motor():
    """40 A over 18 m of 4 mm² (4.95 mohm a metre cold, IEC 60228) lose over 1.3 V of 10.8 V; it starts from 9.5 V.

    An automatic size is made as thick as the start asks, and the column that says why names it.
    """
    load = Load(current=4.0, motor=True, inrush=40.0, locked_rotor=45.0, start_voltage=9.5, largest_protection=10.0)
    given = lamp(1, load=load, size=WireSize(area_mm2=4.0))
    assert "wire 27" in rules_found(wire(boat({"c1": given}, lengths_mm=(9000.0,)), None))
    found = wire(boat({"c1": lamp(1, load=load)}, lengths_mm=(9000.0,)), None)
    assert "wire 27" not in rules_found(found)
    sizing = found.run("circuits.c1").sizing
    assert sizing.governing is Criterion.START
    assert dict(sizing.by_criterion)[Criterion.DROP].area_mm2 < sizing.verdict.size.area_mm2
