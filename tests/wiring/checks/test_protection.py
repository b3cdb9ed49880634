"""The three limits of a protective device at 100 %: just over each there is a finding, at the twin just under none."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from layout.quantity import WireSize
from layout.wiring.wire import wire
from tests.wiring.faulty import part, plain

if TYPE_CHECKING:
    from layout.project.model.project import Project


def rules(project: Project) -> set[str]:
    """Return the codes of what is found."""
    return {finding.rule for finding in wire(project, None).findings}


def lead(**more: object) -> Project:
    """Return a boat whose battery lead is of 16 mm2, 90 C, with some facts of its fuse changed.

    By ISO 13297 table A (85 to 90 C) it bears 100 A; 33 CFR Table 5 at 90 C gives 135 A for 4 AWG (21.15 mm2) and
    100 A for 6 AWG (13.30 mm2), so 112 A between them: the lower, 100 A, counts.
    """
    made = plain(amps=3.0)
    fuse = replace(made.feeders["lead"].protection, **more)
    return part(made, "feeders", "lead", size=WireSize(area_mm2=16.0), protection=fuse)


@pytest.mark.parametrize(("rating", "told"), [(99.9, False), (100.0, False), (100.1, True)])
def test_rating_against_what_the_conductor_bears(rating: float, told: bool) -> None:
    """A fuse of more than the conductor's 100 A is told, one of as much is right."""
    assert ("fuse 2" in rules(lead(rating=rating))) == told


@pytest.mark.parametrize(
    ("practice", "distance", "told"),
    [("iso", 200.0, False), ("iso", 200.2, True), ("abyc", 177.8, False), ("abyc", 178.0, True)],
)
def test_distance_from_the_battery(practice: str, distance: float, told: bool) -> None:
    """A fuse not enclosed stands within 200 mm (ISO 10133, from memory) or 7 in (33 CFR 183.455(b)) of the battery."""
    made = lead(rating=100.0, from_source=distance)
    made = replace(made, wiring=replace(made.wiring, practice=practice))
    assert ("fuse 6" in rules(made)) == told


def test_breaking_capacity_against_the_fault() -> None:
    """A fuse that breaks what it may meet is right; one of 0.1 % less is told, with what it may meet."""
    told = [f for f in wire(lead(rating=100.0, breaking_capacity=10.0), None).findings if f.rule == "fuse 8"]
    need = next(finding.limit for finding in told if finding.limit is not None)
    assert need == 1500.0  # ABYC E-11 Table V-A, 12 V, up to 650 A cold cranking; 12.7 V over 10 mohm is less
    assert "fuse 8" not in rules(lead(rating=100.0, breaking_capacity=need))
    assert "fuse 8" in rules(lead(rating=100.0, breaking_capacity=need * 0.999))
