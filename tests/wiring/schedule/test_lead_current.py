"""The current behind a conductor's drop: what a load draws, what a source charges with, what is not known."""

from __future__ import annotations

import pytest

from layout.wiring.wire import wire
from tests.wiring.faulty import charger
from tests.wiring.laws.boats import case


def test_a_charging_conductor_drops_by_what_its_source_gives():
    """50 A of alternator over each conductor's own resistance, out and back; nothing is declared on the feeders."""
    result = wire(charger(), None)
    for key in ("feeders.af", "feeders.ar"):
        run = result.run(key)
        assert run.ohm is not None
        assert run.drop_v == pytest.approx(50.0 * run.ohm)


def test_a_source_of_unknown_current_leaves_the_drop_open():
    """An alternator that does not say what it gives: no drop, never a zero."""
    run = wire(charger(current=None), None).run("feeders.af")
    assert run.drop_v is None


@pytest.mark.parametrize(("panel_on", "amps"), [("plus", 200.0), ("start_main/out", 200.0)])
def test_a_starting_conductor_that_feeds_loads_as_well_drops_by_its_starter(tmp_path, panel_on, amps):
    """9 A of loads behind the start battery's switch don't hide the 200 A of the starter."""
    project = case(tmp_path, {"feeders.feed.from": panel_on}).declared.project
    run = wire(project, None).run("feeders.start_lead")
    assert [conductor.current_a for conductor in run.wires] == [amps]
    assert run.current_a == amps


def test_a_starting_conductor_without_a_known_starter_stays_open(tmp_path):
    """What the starter draws is not said: loads behind the same conductor are no answer."""
    changes = {"feeders.feed.from": "start_main/out", "devices.starter.starting": None}
    run = wire(case(tmp_path, changes).declared.project, None).run("feeders.start_lead")
    assert [conductor.drop_v for conductor in run.wires] == [None]
