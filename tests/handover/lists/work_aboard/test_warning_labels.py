"""Warning labels: what stays live by surprise, what two supplies feed, what is AC, and each switch."""

from __future__ import annotations

from dataclasses import replace

from layout.handover.lists.work_aboard.warning_labels import warning_labels
from layout.handover.plan import Plan
from layout.wiring.system.isolation import Isolation, LiveOwner
from tests.handover.lists.work_aboard.test_isolation import boat


def test_what_stays_live_by_surprise_has_a_label():
    """A panel and a lamp do, from what; a battery and a switch have none, for they are looked for there."""
    project, wiring = boat()
    owners = ("bank", "main", "dc", "bar")
    live = tuple(LiveOwner(owner=owner, sources=("bank", "sun/+2"), conductors=()) for owner in owners)
    labels = warning_labels(Plan(project=project, wiring=replace(wiring, isolation=Isolation(live=live))))
    assert [text for words, text in labels if words == "ALWAYS LIVE"] == [
        "12 V distribution: from bank, sun, output 2, switches off or not",
        "bar: from bank, sun, output 2, switches off or not",
    ]
    assert ("MAIN", "battery switch, 12 V") in labels


def test_nothing_stays_live_without_a_graph_that_says_so():
    """No label of that kind where the list is empty."""
    project, wiring = boat()
    labels = warning_labels(Plan(project=project, wiring=replace(wiring, isolation=Isolation())))
    assert [words for words, _ in labels if words == "ALWAYS LIVE"] == []
