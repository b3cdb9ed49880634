"""What a limit that is the owner's to decide costs in copper."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.project.model.workshop import WiringRules
from layout.wiring.wire import wire
from tests.wiring.builders import boat, lamp


def told(project):
    """Return the messages of what limits cost."""
    return [finding.message for finding in wire(project, None).findings if finding.rule == "wire 60"]


def size_of(project, name):
    """Return the size that a run gets."""
    return next(str(run.size) for run in wire(project, None).runs if run.name == name)


def far_lamp(**more):
    """Return a boat with one lamp of 8 A at nine metres."""
    rules = more.pop("rules", None)
    return boat({"c1": lamp(1, amps=8.0, **more)}, lengths_mm=(9000.0,), rules=rules)


@pytest.mark.parametrize("rules", [WiringRules(), WiringRules(practice="abyc", wire_sizes="awg")])
def test_what_would_be_given_is_given(rules):
    """The size that is told for the looser limit is the one that the boat gets with it."""
    strict = far_lamp(purpose="disco ball", rules=rules)
    loose = far_lamp(purpose="disco ball", critical=False, rules=rules)
    (message,) = told(strict)
    assert message == f"c1: 3 % forces {size_of(strict, 'c1')} on c1; 10 % would give {size_of(loose, 'c1')}"
    assert told(loose) == []


def test_the_practices_own_limit_is_no_decision():
    """A listed critical purpose costs as much, and nobody decided it; the same limit by the owner's word is told."""
    assert told(far_lamp(purpose="navigation lights")) == []
    assert told(far_lamp(purpose="cabin lights")) == []
    assert len(told(far_lamp(purpose="cabin lights", critical=True))) == 1
    assert len(told(far_lamp(purpose="cabin lights", drop_limit=0.03))) == 1


def test_a_thin_wire_is_no_matter():
    """A short run that is not made thick costs nothing worth a word."""
    assert told(boat({"c1": lamp(1, amps=8.0, purpose="disco ball")}, lengths_mm=(500.0,))) == []


def test_limits_that_bind_together_are_told_together():
    """Where loosening either alone gains nothing on what they share, both are named."""
    both = {f"c{n}": lamp(n, amps=8.0, purpose="disco ball", length=300.0) for n in (1, 2)}
    project = boat(both, feeder_mm=9000.0)
    small = {key: replace(feeder, protection=None) for key, feeder in project.feeders.items()}
    messages = told(replace(project, feeders=small))
    assert len(messages) == 1
    assert messages[0].startswith("c1 and c2: 3 % forces ")


def test_many_are_told_at_once():
    """More than a few circuits with far lamps are one finding, which names the thickest conductors."""
    lamps = {f"c{n}": lamp(n, amps=8.0, purpose="disco ball") for n in range(1, 11)}
    (message,) = told(boat(lamps, lengths_mm=(9000.0,), wireway={"bore": 90.0}))
    assert message.startswith("c1 and c2 and 8 more: 3 % forces ")
    assert message.count(" on ") == 4
