"""Colours on paper are those of the cable: bought red and black is not printed brown and blue."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.project.model.circuits import CableKind
from layout.standards.colours import Role, fault_of
from layout.wiring.wire import wire
from tests.wiring.faulty import SINGLE, ac, add, boat, lamp


def cable(*colours: str, cores: int = 2) -> CableKind:
    """Return a cable of some cores and colours."""
    return CableKind(
        cores=cores, sizes={"1 mm2": 6.0, "1.5 mm2": 7.0, "2.5 mm2": 8.0}, insulation=90.0, colours=colours
    )


def printed(project, key="circuits.c1"):
    """Return the colours of a run's conductors, and what is found about them."""
    wiring = wire(project, None)
    run = next(run for run in wiring.runs if run.key == key)
    told = [f.rule for f in wiring.findings if f.rule in ("wire 35", "wire 57")]
    return [wire.colour for wire in run.wires], told


@pytest.mark.parametrize(
    ("colours", "ac_too", "expected", "told"),
    [
        ((), False, ["red", "black"], []),
        (("red", "black"), False, ["red", "black"], []),
        (("black", "red"), False, ["red", "black"], []),
        (("red", "black"), True, ["red", "black"], []),  # the practice asks yellow, the cable has black
        (("red", "yellow"), True, ["red", "yellow"], []),
        (("brown", "blue"), False, ["brown", "light blue"], ["wire 35"]),  # light blue is no negative's colour
        (("brown", "blue"), True, ["brown", "light blue"], ["wire 35", "wire 35"]),  # nor brown beside AC
        (("BK", "RD"), False, ["red", "black"], []),
    ],
)
def test_a_two_core_cable_on_dc(colours, ac_too, expected, told):
    """Each core has one of the cable's colours; what its role must not have is told."""
    lamps = {"c1": lamp(1, cable="two")}
    project = boat(lamps, cables={"two": cable(*colours), "single": SINGLE})
    if ac_too:
        project = add(ac(), circuits=lamps, cables={"two": cable(*colours)})
    colours_printed, found = printed(project)
    assert colours_printed == expected
    assert found == told


def test_a_red_and_black_cable_on_mains_is_told():
    """Its cores are printed as they are, and that a neutral is not black."""
    project = ac()
    heat = replace(project.circuits["heat"], cable="three")
    project = add(project, circuits={"heat": heat}, cables={"three": cable("red", "black", "green-yellow", cores=3)})
    colours, told = printed(replace(project), "circuits.heat")
    assert colours == ["red", "black", "green-yellow"]
    assert "wire 35" in told


def test_a_single_conductor_is_printed_in_what_is_bought():
    """Of single conductors in black and orange the positive is orange, and the negative black."""
    project = boat({"c1": lamp(1)}, cables={"single": replace(SINGLE, colours=("black", "orange"))})
    assert printed(project)[0] == ["orange", "black"]


@pytest.mark.parametrize(("asked", "told"), [("orange", []), ("violet", ["wire 57"])])
def test_a_colour_that_is_asked_for_and_not_bought(asked, told):
    """The file's colour is printed where the cable has it; else the cable's own is, and that is told."""
    project = boat({"c1": lamp(1, colour=asked)}, cables={"single": replace(SINGLE, colours=("black", "orange"))})
    colours, found = printed(project)
    assert colours == ["orange", "black"]
    assert found == told


@pytest.mark.parametrize(
    ("role", "name", "fits"),
    [
        (Role.LINE, "brown", True), (Role.LINE, "black", True), (Role.LINE, "light blue", False),
        (Role.LINE, "yellow", False), (Role.NEUTRAL, "light blue", True), (Role.NEUTRAL, "white", True),
        (Role.NEUTRAL, "black", False), (Role.NEUTRAL, "red", False),
    ],
)  # fmt: skip
def test_colours_of_line_and_neutral(role, name, fits):
    """ISO 13297: phase black or brown, neutral white or light blue."""
    assert (fault_of(name, role, ac_aboard=True) is None) == fits
