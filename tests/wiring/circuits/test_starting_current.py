"""What a starting conductor carries: its own figure, its starter's, or the only starter's."""

from __future__ import annotations

from dataclasses import replace

from layout.project.model.device import Device, Starting
from layout.project.model.supplies import Feeder
from layout.wiring.circuits.starting_current import starting_current_a
from tests.wiring.faulty import add, plain


def started(*amps: float | None):
    """Return a boat with a starter for each figure, and a link between its batteries that starts engines too."""
    devices = {
        f"s{n}": Device(id=f"s{n}", location="locker", starting=None if one is None else Starting(current=one))
        for n, one in enumerate(amps)
    }
    feeders = {key: Feeder(id=key, from_="main/out", to=f"{key}/+", cranking=True) for key in devices}
    link = Feeder(id="link", from_="bank/-", to="negbar", poles=("-",), cranking=True)
    return add(plain(), devices=devices, feeders={**feeders, "link": link})


def test_the_starter_says_it():
    """280 A on its own conductor, and on the link, as it is the only one; a figure of the conductor's own counts."""
    project = started(280.0)
    assert [starting_current_a(project, key) for key in ("s0", "link")] == [280.0, 280.0]
    own = {**project.feeders, "link": replace(project.feeders["link"], current=150.0)}
    assert starting_current_a(replace(project, feeders=own), "link") == 150.0


def test_what_is_not_said_is_unknown():
    """A starter without a figure, and a link between two starters, are unknown and no zero."""
    assert starting_current_a(started(None), "s0") is None
    two = started(280.0, 200.0)
    assert [starting_current_a(two, key) for key in ("s0", "s1", "link")] == [280.0, 200.0, None]
