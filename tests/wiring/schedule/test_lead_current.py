"""The current behind a conductor's drop: what a load draws, what a source charges with, what is not known."""

from __future__ import annotations

import pytest

from layout.wiring.wire import wire
from tests.wiring.faulty import charger


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
