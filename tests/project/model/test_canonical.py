"""The digest by which a later change of a device, panel or rule is told."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import pytest

from layout.frozen import FrozenMap
from layout.project.model.canonical import CANONICAL_FORM, canonical, digest, is_of_this_form
from layout.project.model.device import Behind, Device, Pin, Terminal
from layout.project.model.shape import Shape

RADIO = Device(
    id="radio",
    name="Radio",
    panel=("wall",),
    face=Shape(rect=(180.0, 80.0)),
    cutout=(Shape(rect=(170.5, 70.0)),),
    behind=(Behind(shape=Shape(rect=(170.0, 70.0)), depth=95.0),),
    terminals=FrozenMap({"+": Terminal(id="+", pole="+"), "-": Terminal(id="-", pole="-")}),
)


def test_the_text_is_what_the_file_says_beyond_the_defaults() -> None:
    """Written out by hand for a small device: sorted keys of the file, whole numbers without a point."""
    device = replace(RADIO, behind=(), terminals=FrozenMap())
    assert canonical(device) == ('{"cutout":[{"rect":[170.5,70]}],"face":{"rect":[180,80]},"panel":["wall"]}')
    assert digest(device).startswith(f"{CANONICAL_FORM}-")


@pytest.mark.parametrize(
    "same",
    [
        replace(RADIO, name="VHF radio"),
        replace(RADIO, note="bought second-hand"),
        replace(RADIO, terminals=FrozenMap(reversed(RADIO.terminals.items()))),
        replace(RADIO, face=Shape(rect=(180, 80))),
    ],
)
def test_what_no_rule_looks_at_changes_nothing(same: Device) -> None:
    """A name, a note, the order of terminals and 180 for 180.0 leave the digest as it is."""
    assert digest(same) == digest(RADIO)


@pytest.mark.parametrize(
    "other",
    [
        replace(RADIO, face=Shape(rect=(180.0, 80.1))),
        replace(RADIO, pin=Pin(x=10.0)),
        replace(RADIO, mount="surface", cutout=()),
        replace(RADIO, turns=(0, 90)),
    ],
)
def test_what_rules_look_at_changes_it(other: Device) -> None:
    """A size, a pin, the mount and the turns allowed are told."""
    assert digest(other) != digest(RADIO)


def test_a_key_that_the_model_learns_later_changes_nothing() -> None:
    """An entry that does not say a new key has the digest it had before there was such a key."""

    @dataclass(frozen=True, kw_only=True)
    class Before:
        width: float
        classes: tuple[str, ...] = ()

    @dataclass(frozen=True, kw_only=True)
    class After:
        width: float
        zones: FrozenMap[str, str] = field(default_factory=FrozenMap)
        colour: str | None = None
        classes: tuple[str, ...] = ()

    assert digest(Before(width=2.5)) == digest(After(width=2.5))
    assert digest(Before(width=2.5)) != digest(After(width=2.5, colour="red"))


def test_digests_of_another_form_are_known_as_such() -> None:
    """A digest of an older form, or none at all, is not compared with one made now."""
    assert is_of_this_form(digest(RADIO))
    assert not is_of_this_form("a1b2c3d4")
    assert not is_of_this_form(f"{CANONICAL_FORM + 1}-a1b2c3d4")
