"""Protective devices are counted as they are bought: each once, wherever it stands."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from types import SimpleNamespace

import pytest

from layout.project.model.circuits import Leg
from layout.wiring.protection.bought_devices import protectors
from layout.wiring.wire import wire
from tests.wiring.builders import FUSE, boat, lamp
from tests.wiring.faulty import ac, charger, part, plain
from tests.wiring.protection.frozen import device

TWO_LOADS = {
    "one": Leg(id="one", from_="dc/1", to="lamp1@0/+"),
    "two": Leg(id="two", from_="dc/1", to="lamp2@0/+"),
    "back1": Leg(id="back1", from_="lamp1@0/-", to="dc/-", pole="-"),
    "back2": Leg(id="back2", from_="lamp2@0/-", to="dc/-", pole="-"),
}


def counted(project):
    """Return how many devices stand at each node."""
    return Counter(guard.where for guard in wire(project, None).protectors)


def test_a_way_with_two_conductors_has_one_breaker():
    """Two lamps on one way take one breaker, with the fault of the way."""
    project = boat({"c1": lamp(1, legs=TWO_LOADS)})
    assert counted(project) == {"bank/+": 1, "dc/1": 1}
    way = next(guard for guard in wire(project, None).protectors if guard.where == "dc/1")
    assert way.needed_breaking_a is not None


def test_two_feeds_from_one_post_have_a_fuse_each():
    """An alarm and a monitor on the battery's post take a fuse each besides the bank's own."""
    feeds = {f"c{n}": replace(lamp(n), from_="bank", protection=replace(FUSE, rating=3.0)) for n in (1, 2)}
    assert counted(boat(feeds)) == {"bank/+": 1, "bank": 2}


def test_both_ends_of_a_feeder_and_what_is_aboard():
    """A device at each end is two devices; one that is aboard already is not bought."""
    both = part(charger(), "feeders", "af", protection=replace(FUSE, rating=60.0))
    assert counted(both) == counted(charger()) + Counter({"alt/+": 1})
    kept = part(plain(), "feeders", "lead", protection=replace(FUSE, aboard="keep"))
    assert "bank/+" not in counted(kept)


def test_main_of_a_panel_is_bought_too():
    """The panel's own main is a device of its own."""
    project = ac()
    main = part(project, "breaker_panels", "ac", main=project.feeders["sf"].protection)
    assert counted(main) == counted(project) + Counter({"ac/in": 1})


def bought(project, *, feeders=(), circuits=()):
    """Return where the devices are that are bought, of some that stand, without any fault known."""
    stands = SimpleNamespace(
        feeder_stands={(f"feeders.{key}", False): device(f"feeders.{key}", 60.0) for key in feeders},
        stands={(key, f"circuits.{key}"): device(f"circuits.{key}", 5.0) for key in circuits},
    )
    made = protectors(project, stands, {})
    assert all(guard.needed_breaking_a is None for guard in made)
    return {guard.where for guard in made}


@pytest.mark.parametrize(("aboard", "told"), [(None, True), ("keep", False), ("reuse", False)])
def test_what_stays_aboard_is_not_bought(aboard, told):
    """A feeder, a panel or a circuit that stays brings its device with it; a new one's is bought."""
    fed = part(plain(), "feeders", "lead", aboard=aboard)
    assert ("feeders.lead" in bought(fed, feeders=["lead"])) == told
    lit = part(plain(), "circuits", "c1", aboard=aboard)
    assert ("circuits.c1" in bought(lit, circuits=["c1"])) == told
    main = ac().feeders["sf"].protection
    panel = part(ac(), "breaker_panels", "ac", main=main, aboard=aboard)
    assert ("ac/in" in bought(panel)) == told
    its_main = part(ac(), "breaker_panels", "ac", main=replace(main, aboard=aboard))
    assert ("ac/in" in bought(its_main)) == told
