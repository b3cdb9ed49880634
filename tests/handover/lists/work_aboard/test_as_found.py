"""The as-found list on paper: old labels beside new numbers, and a question mark where nobody decided."""

from __future__ import annotations

from dataclasses import replace

from layout.handover.lists.work_aboard.as_found import found_table
from layout.project.model.found import FoundWire
from layout.quantity import WireSize
from layout.wiring.wire import wire
from tests.wiring.faulty import plain


def test_old_label_stands_beside_the_new_number():
    """A kept wire shows its new number and what it feeds; one nobody mentions has no fate."""
    project = plain(old_label="17", aboard="keep", size=WireSize(area_mm2=2.5))
    project = replace(project, as_found=(FoundWire(label="17", to="lamp"), FoundWire(label="18", colour="green")))
    wiring = wire(project, None)
    rows = found_table(project, wiring).rows
    number = wiring.run("circuits.c1").number
    assert [(row["label"], row["fate"], row["number"], row["name"]) for row in rows] == [
        ("17", "keep", number, "c1"),
        ("18", "?", "", ""),
    ]


def test_no_list_no_table():
    """A boat that is new has no such paper."""
    assert found_table(plain(), wire(plain(), None)) is None
