"""Every finding on wiring and protection: a boat that must get it, with the exact message, and one that gets none."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from layout.findings import Severity, has_stops, rules
from layout.project.reading.read import read
from layout.wiring.wire import wire
from tests.conftest import EXAMPLES, SOUND
from tests.wiring.arranged import spread_out
from tests.wiring.faulty import FAULTY, ac, charger, plain, two_ac

MESSAGES = yaml.safe_load((Path(__file__).parent / "faulty.yaml").read_text(encoding="utf-8"))


def test_every_boat_has_a_message_and_a_rule():
    """No boat without its message, and none for a rule that is gone; laws have boats of their own."""
    assert list(FAULTY) == list(MESSAGES)
    assert set(FAULTY) <= set(rules())


@pytest.mark.parametrize("code", list(FAULTY))
def test_found_with_its_message(code):
    """The fault is found, says exactly what its row says, and names whom it concerns."""
    found = [finding for finding in wire(FAULTY[code](), None).findings if finding.rule == code]
    assert found
    assert found[0].message == MESSAGES[code]
    assert all(finding.subjects for finding in found)
    assert all(finding.remedy for finding in found if finding.weight is not Severity.NOTE)


@pytest.mark.parametrize("make", [plain, ac, charger, lambda: two_ac(break_before_make=True)])
def test_nothing_wrong_nothing_found(make):
    """A boat with nothing wrong gets no error; what is from memory and what is not declared is said all the same.

    The charger's boat has its alternator on the load side of the switch, which is worth a look.
    """
    found = wire(make(), None).findings
    assert not has_stops(found)
    assert {finding.rule for finding in found} <= {"wire 8", "wire 23", "fuse 81"}


def test_ac_sources_without_changeover_are_an_error():
    """Shore and generator on one panel meet; the finding names both."""
    found = [f.message for f in wire(two_ac(), None).findings if f.rule == "fuse 30"]
    assert found == ["shore and gen are joined in state 'all on'"]


def test_two_bonds_are_one_too_many():
    """Joined AC sources bring two bonds into one state."""
    found = [f.message for f in wire(two_ac(), None).findings if f.rule == "fuse 31"]
    assert "state 'all on', fed by shore: neutral and earth are joined 2 times, once is right" in found


@pytest.mark.parametrize("name", SOUND)
def test_examples_have_no_wiring_errors(name):
    """The shipped examples can be wired as they are."""
    project = read(EXAMPLES / name).project
    errors = [f.message for f in wire(project, spread_out(project)).findings if f.weight is Severity.STOP]
    assert errors == []


@pytest.mark.parametrize(
    ("amps", "says"), [(330.0, "95 mm² rests on 330 A by"), (331.0, "120 mm² is held to 385 A by the last row of")]
)
def test_a_conductor_above_the_last_row_read_says_so(amps, says):
    """At 90 °C the tables give 95 mm² 330 A from memory and 4/0 AWG 385 A as read, and no more to 120 mm²."""
    told = [
        f.message for f in wire(plain(amps=amps), None).findings if f.rule == "wire 8" and f.message.startswith("c1")
    ]
    assert len(told) == 1
    assert says in told[0]
