"""``spile rules`` with a code in place of a file."""

from __future__ import annotations

import json

from layout.findings import rules
from tests.running import spile


def test_a_code_is_explained() -> None:
    """Name, weight, reason and source of a code stand in the answer, however it is spaced."""
    ran = spile("rules", "Fuse  8")
    assert ran.code == 0
    assert "stop   fuse 8   breaking capacity too small" in ran.out
    assert rules()["fuse 8"].why in ran.out
    assert "ABYC E-11 Table V-A" in ran.out
    assert json.loads(spile("rules", "fuse 8", "--json").out)["rule"]["severity"] == "stop"


def test_a_code_out_of_use_says_so() -> None:
    """A retired code tells what it was and which codes tell of that fault now."""
    ran = spile("rules", "panel 25")
    assert ran.code == 0
    assert "panel 25 is out of use: reserved taken." in ran.out


def test_an_unknown_code_ends_with_a_finding() -> None:
    """A code that never was is refused, with the last code of its area."""
    ran = spile("rules", "fit 999")
    assert ran.code == 2
    assert "no rule has the code 'fit 999'" in ran.err
