"""What changed since the last issue, from plain data that survives JSON."""

from __future__ import annotations

import json
from dataclasses import replace

from layout.handover.lists.revisions import changes, revision_table, snapshot
from layout.project.model.arrangement import Arrangement, Placed
from layout.standards.conductors import ConductorSize, Series


def _found(before, now):
    return [(one.what, one.change) for one in changes(before, now)]


def test_nothing_changed_gives_an_empty_list(project, arrangement, wiring):
    """The same state, even through JSON, has no change, and the list says so."""
    state = snapshot(project, arrangement, wiring)
    kept = json.loads(json.dumps(state))
    assert changes(kept, state) == ()
    assert revision_table(kept, state).notes == ("Nothing changed since revision B.",)
    assert revision_table(None, state).notes == ("First issue: there is nothing to compare with.",)


def test_a_device_that_moved_says_by_how_much(project, arrangement, wiring):
    """Old and new place stand there, and the move in mm."""
    moved = Arrangement(placed={"radio": Placed(device="radio", panel="dash", x=160.0, y=100.0)})
    (change,) = changes(snapshot(project, arrangement, wiring), snapshot(project, moved, wiring))
    assert (change.what, change.id, change.change) == ("device", "Radio", "moved")
    assert change.before == "dash at 120, 100"
    assert change.now == "dash at 160, 100 (+40.0, +0.0 mm)"


def test_a_device_that_turned_is_said(project, arrangement, wiring):
    """A turn on the spot is a change."""
    turned = Arrangement(placed={"radio": Placed(device="radio", panel="dash", x=120.0, y=100.0, turn=90)})
    assert _found(snapshot(project, arrangement, wiring), snapshot(project, turned, wiring)) == [("device", "turned")]


def test_devices_and_wires_come_and_go(project, arrangement, wiring):
    """Added and taken out, added and retired: a retired number is said to be gone for good."""
    full = snapshot(project, arrangement, wiring)
    bare = snapshot(project, Arrangement(placed={}), replace(wiring, runs=wiring.runs[:-1]))
    assert _found(bare, full) == [("device", "added"), ("wire", "added")]
    assert _found(full, bare) == [("device", "taken out"), ("wire", "retired, number not used again")]


def test_a_wire_that_was_resized_rerouted_or_lengthened_is_said(project, arrangement, wiring):
    """Each difference of a wire is a line with before and now."""
    run = wiring.runs[1]
    size = ConductorSize(series=Series.METRIC, area_mm2=16.0)
    length = replace(run.length, total_mm=5000.0)
    other = replace(run, size=size, length=length, route=("low",), guard=replace(run.guard, rating_a=5.0))
    now = replace(wiring, runs=(wiring.runs[0], other, *wiring.runs[2:]))
    found = changes(snapshot(project, arrangement, wiring), snapshot(project, arrangement, now))
    said = {one.change: (one.before, one.now) for one in found}
    assert said["resized"] == (str(run.size), "16 mm²")
    assert said["length"] == ("4.00 m", "5.00 m")
    assert said["routed otherwise"] == ("main", "low")
    assert said["protected otherwise"] == ("breaker 10 A", "breaker 5 A")


def test_a_way_that_feeds_something_else_is_said(project, arrangement, wiring):
    """Ways are compared by panel and number."""
    ways = (replace(wiring.ways[0], name="Deck light"), *wiring.ways[1:])
    found = changes(snapshot(project, arrangement, wiring), snapshot(project, arrangement, replace(wiring, ways=ways)))
    assert [(one.id, one.before, one.now) for one in found] == [("dc/1", "Masthead light, 10 A", "Deck light, 10 A")]


def test_a_state_without_wiring_is_possible(project, arrangement):
    """The first issue may come before any wiring."""
    assert snapshot(project, arrangement, None)["wires"] == {}
