"""Legs are called by the user's name for them, else by what they do and where; never by their id."""

from __future__ import annotations

import pytest

from layout.project.model.circuits import Leg
from layout.project.model.device import Device
from layout.project.model.keys import End
from layout.project.model.project import Project, TitleBlock
from layout.project.model.supplies import BreakerPanel, BusBar
from layout.wiring.circuits.ends import Ends
from layout.wiring.circuits.leg_words import leg_words


def leg(start: str, to: str, pole: str, **more: object) -> Leg:
    """Return a leg whose id must not be printed."""
    return Leg(id="aft_back", from_=End.read(start), to=End.read(to), pole=pole, **more)


@pytest.mark.parametrize(
    ("legs", "words"),
    [
        ([leg("dc/1", "pump/+", "+")], "feed to Bilge pump"),
        ([leg("bar", "pump/float", "+", always_live=True)], "always-live feed to Bilge pump"),
        ([leg("switch/out", "pump/manual", "switched")], "switched feed to Bilge pump"),
        ([leg("pump/-", "bar", "-")], "return of Bilge pump"),
        ([leg("bar", "pump/-", "-")], "return of Bilge pump"),
        ([leg("dc/1", "pump/+", "+"), leg("pump/-", "dc/-", "-")], "feed, return of Bilge pump"),
        ([leg("pump/-", "bar", "-", name="float switch")], "float switch"),
        ([leg("pump/-", "bar", "-", name="aft_back")], "return of Bilge pump"),
    ],
)
def test_a_leg_is_told_in_words(legs, words):
    """By pole and by the device that is fed, whichever way round the leg is written."""
    project = Project(
        spile=1,
        project=TitleBlock(name="Test"),
        devices={"pump": Device(id="pump", name="Bilge pump", location="x")},
        breaker_panels={"dc": BreakerPanel(id="dc", voltage=12)},
        bus_bars={"bar": BusBar(id="bar", pole="-")},
    )
    assert leg_words(Ends(project, None), legs) == words
