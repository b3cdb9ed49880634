"""What circuits are for, against the lists of ABYC E-11 and ISO 10133 in tests/reference/voltage_drop.yaml."""

from __future__ import annotations

import pytest

from layout.standards.purposes import listed_purposes, purpose
from layout.standards.tables import Practice


@pytest.mark.parametrize(
    ("words", "practice", "critical"),
    [
        ("navigation lights", Practice.ISO, True),
        ("bilge pump", Practice.ISO, True),
        ("bilge blower", Practice.ABYC, True),
        ("electronics", Practice.ABYC, True),
        ("panel feeder", Practice.ABYC, True),
        ("cabin lights", Practice.ISO, False),
        ("cabin lights", Practice.ABYC, False),
        (" Cabin Lights ", Practice.ABYC, False),
        ("fans", Practice.ISO, False),
    ],
)
def test_critical_or_not(words, practice, critical):
    """Navigation lights, pumps of the bilge, blowers, electronics and main feeders are; lights of the cabin are not."""
    found = purpose(words, practice)
    assert (found.critical, found.listed, found.name) == (critical, True, words.strip().lower())


def test_an_unlisted_purpose_is_critical():
    """What the table does not know is taken to matter."""
    found = purpose("oyster counter", Practice.ISO)
    assert (found.critical, found.listed, found.colour_key, found.group) == (True, False, "", "other")


def test_the_words_of_the_table():
    """Each listed purpose is found by its word, and pumps and lights stand in groups of their own."""
    assert all(purpose(words, Practice.ISO).listed for words in listed_purposes())
    assert {"navigation lights", "bilge pump", "socket"} <= set(listed_purposes())
    assert purpose("bilge pump", Practice.ISO).group == purpose("bilge blower", Practice.ISO).group == "pumps"
    assert purpose("navigation lights", Practice.ABYC).colour_key == "navigation_lights"
