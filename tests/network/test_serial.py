"""Serial links: currents, wires, shield and baud."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from layout.network.serial import check_inputs, plan_serial, serial_as_laid
from layout.project.model.network import Listener, SerialLink
from layout.wiring.circuits.ends import Ends
from layout.wiring.wire import wire
from tests.network.make import project

GOOD: dict[str, Any] = {
    "talker": "t",
    "talker_current": 0.015,
    "listeners": {"a": Listener(current=0.002), "b": Listener(current=0.004)},
    "twisted": True,
    "shielded": True,
    "shield_at": ("t",),
    "colour_a": "white",
    "colour_b": "green",
}


def link(**more: Any) -> SerialLink:
    """Return a sound link but for what is given."""
    return SerialLink(id="s", name="link", **{**GOOD, **more})


def plan(**more: Any):
    """Plan a link among three devices."""
    return plan_serial(Ends(project([("p", "q", 1.0)], {"t": "p", "a": "p", "b": "q"}), None), link(**more))


def test_sound_link():
    """A sound link has no finding; its currents add up and it says how many more listeners it could drive."""
    found = plan()
    assert found.findings == ()
    assert found.drawn_a == pytest.approx(0.006)
    assert found.room == 2
    assert found.baud == 4800


def test_cables_are_those_of_the_schedule():
    """Each listener's cable has the number, length and way that it has in the schedule: 1 m, 5 % and two ends."""
    made = replace(project([("p", "q", 1.0)], {"t": "p", "a": "p", "b": "q"}), serial={"s": link()})
    laid = serial_as_laid(plan(), wire(made, None))
    near, far = laid.listeners
    assert (near.number, near.length_mm, near.wireways) == ("001a", None, ())  # both at p: how far apart is not said
    assert (far.number, far.length_mm, far.wireways) == ("001b", pytest.approx(1000 * 1.05 + 300), ("w0",))


def test_faster_standard_has_its_baud():
    """IEC 61162-2 runs at 38400 baud without being told."""
    assert plan(standard="IEC 61162-2").baud == 38400


CASES = {
    "listeners draw more than the talker drives": ("bus 40", {"talker_current": 0.005}),
    "talker's current unknown": ("bus 41", {"talker_current": None}),
    "listener's current unknown": ("bus 41", {"listeners": {"a": Listener()}}),
    "wrong baud": ("bus 42", {"baud": 9600}),
    "shield at both ends": ("bus 43", {"shield_at": ("t", "a")}),
    "shield at no end": ("bus 43", {"shield_at": ()}),
    "wire B not named": ("bus 44", {"colour_b": None}),
    "no listener": ("bus 45", {"listeners": {}}),
    "not twisted": ("bus 46", {"twisted": False}),
}


@pytest.mark.parametrize(("rule", "more"), CASES.values(), ids=CASES)
def test_rule_catches(rule, more):
    """A link that breaks a rule is found by it, and by it alone."""
    assert {finding.rule for finding in plan(**more).findings} == {rule}


def test_unknown_current_is_not_nothing():
    """With a listener of unknown current the sum is unknown, not the sum of the others."""
    found = plan(listeners={"a": Listener(current=0.002), "b": Listener()})
    assert found.drawn_a is None
    assert found.room is None


def test_one_input_hears_one_talker():
    """Two links on the same input of a device are found; on two inputs they are not."""
    both = {
        "one": SerialLink(id="one", **GOOD),
        "two": SerialLink(id="two", **{**GOOD, "talker": "u", "listeners": {"a": Listener(current=0.002)}}),
    }
    places = {"t": "p", "u": "p", "a": "p", "b": "p"}
    assert [f.rule for f in check_inputs(project([("p", "q", 1.0)], places, serial=both))] == ["bus 47"]
    other = Listener(current=0.002, terminal_a="A2", terminal_b="B2")
    both["two"] = SerialLink(id="two", **{**GOOD, "talker": "u", "listeners": {"a": other}})
    assert check_inputs(project([("p", "q", 1.0)], places, serial=both)) == ()
