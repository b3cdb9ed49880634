"""Colours against ISO 13297, ABYC E-11 Tables XIV and XV, IEC 60445 and IEC 60757."""

from __future__ import annotations

import pytest

from layout.standards.colours import Role, abyc_circuit_colour, colour, colour_of_code, fault_of, letter_code
from layout.standards.tables import Practice


def test_abyc_table_15(reference):
    """Every circuit of ABYC E-11 Table XV has its colour."""
    for purpose, expected in reference("colours")["abyc_e11_dc"]["circuits"].items():
        first = expected[0] if isinstance(expected, list) else expected
        assert abyc_circuit_colour(purpose) == first
        assert colour(Role.POSITIVE, practice=Practice.ABYC, voltage_v=12, ac_aboard=False, purpose=purpose) == first


@pytest.mark.parametrize("practice", list(Practice))
def test_given_colours_are_allowed_by_the_tables(reference, practice):
    """What is given for DC stands in the published list of its practice."""
    tables = reference("colours")
    negatives = tables["iso_10133_13297_dc" if practice is Practice.ISO else "abyc_e11_dc"]["negative"]
    for ac_aboard in (False, True):
        assert colour(Role.NEGATIVE, practice=practice, voltage_v=12, ac_aboard=ac_aboard) in negatives
        assert colour(Role.POSITIVE, practice=practice, voltage_v=12, ac_aboard=ac_aboard) == "red"
    assert colour(Role.BONDING, practice=practice, voltage_v=12, ac_aboard=True) == "green-yellow"


def test_ac_colours_by_system(reference):
    """ABYC 120 V and 230 V and ISO 230 V."""
    by_system = reference("colours")["abyc_e11_ac"]["by_system"]
    for practice, volts, name in (
        (Practice.ABYC, 120, "120V"),
        (Practice.ABYC, 230, "230V_single_phase"),
        (Practice.ISO, 230, "230V_single_phase"),
    ):
        for role, key in ((Role.LINE, "line"), (Role.NEUTRAL, "neutral")):
            assert colour(role, practice=practice, voltage_v=volts, ac_aboard=True) == by_system[name][key]
    iso = reference("colours")["iso_13297_ac"]
    assert colour(Role.LINE, practice=Practice.ISO, voltage_v=230, ac_aboard=True) in iso["phase"]
    assert colour(Role.NEUTRAL, practice=Practice.ISO, voltage_v=230, ac_aboard=True) in iso["neutral"]


def test_dc_negative_is_yellow_where_ac_is_aboard():
    """A black line conductor and a black negative must not meet."""
    for practice in Practice:
        assert colour(Role.NEGATIVE, practice=practice, voltage_v=12, ac_aboard=True) == "yellow"
        assert colour(Role.NEGATIVE, practice=practice, voltage_v=12, ac_aboard=False) == "black"


@pytest.mark.parametrize("purpose", ["pumps", "oil_pressure", "bilge_blower"])
def test_ac_colours_never_serve_dc(purpose):
    """Brown and light blue of Table XV are passed over where AC is aboard."""
    assert colour(Role.POSITIVE, practice=Practice.ABYC, voltage_v=12, ac_aboard=True, purpose=purpose) == "red"


@pytest.mark.parametrize(
    ("name", "role", "wrong"),
    [
        ("light blue", Role.NEGATIVE, True),
        ("white", Role.POSITIVE, True),
        ("brown", Role.POSITIVE, True),
        ("black", Role.NEGATIVE, False),  # existing black stays
        ("yellow", Role.NEGATIVE, False),
        ("yellow", Role.POSITIVE, True),
        ("green-yellow", Role.POSITIVE, True),
        ("red", Role.PROTECTIVE, True),
        ("green", Role.BONDING, False),
        ("red", Role.POSITIVE, False),
        ("orange", Role.NEGATIVE, True),
    ],
)
def test_faults(name, role, wrong):
    """Each fault has a reason in words, and right colours have none."""
    assert (fault_of(name, role, ac_aboard=True) is not None) is wrong


def test_iec_60757_codes(reference):
    """Every base colour of IEC 60757 has its letters, and a stripe is joined."""
    for code, name in reference("colours")["iec_60445"]["letter_codes"]["codes"].items():
        assert letter_code(name) == code
    assert letter_code("yellow with red stripe") == "YE/RD"
    assert letter_code("mauve") is None


def test_ac_colours_go_by_practice_and_voltage():
    """Black and white are the 120 V colours of ABYC E-11; ISO 13297 has brown and light blue at any voltage."""
    for volts in (120, 230):
        assert colour(Role.LINE, practice=Practice.ISO, voltage_v=volts, ac_aboard=True) == "brown"
        assert colour(Role.NEUTRAL, practice=Practice.ISO, voltage_v=volts, ac_aboard=True) == "light blue"


def test_circuit_colours_are_abycs_own():
    """Table XV is of ABYC; a colour that no AC conductor has stays where AC is aboard (navigation lights: grey)."""
    for practice, expected in ((Practice.ABYC, "dark grey"), (Practice.ISO, "red")):
        for ac_aboard in (False, True):
            given = colour(
                Role.POSITIVE, practice=practice, voltage_v=12, ac_aboard=ac_aboard, purpose="navigation_lights"
            )
            assert given == expected


@pytest.mark.parametrize(
    ("name", "role", "ac_aboard", "wrong"),
    [
        ("brown", Role.POSITIVE, False, False),  # pumps, ABYC E-11 Table XV
        ("brown", Role.POSITIVE, True, True),
        ("brown", Role.LINE, True, False),
        ("black", Role.LINE, True, False),
        ("white", Role.LINE, True, True),
        ("light blue", Role.LINE, True, True),
        ("light blue", Role.NEUTRAL, True, False),
        ("white", Role.NEUTRAL, True, False),
        ("brown", Role.NEUTRAL, True, True),
        ("black", Role.NEUTRAL, True, True),
        ("green", Role.NEGATIVE, False, True),
        ("green", Role.LINE, True, True),
        ("green-yellow", Role.NEGATIVE, False, True),
        ("green with yellow stripe", Role.POSITIVE, False, True),  # that is green-yellow in other words
        ("green with white stripe", Role.POSITIVE, False, False),  # trim and tilt, ABYC E-11 Table XV
        ("green with yellow stripe", Role.PROTECTIVE, True, False),
        ("black", Role.POSITIVE, False, True),
        ("black with yellow stripe", Role.NEGATIVE, False, False),
    ],
)
def test_faults_by_role(name, role, ac_aboard, wrong):
    """Beside each wrong colour one that is right for the same conductor."""
    assert (fault_of(name, role, ac_aboard=ac_aboard) is not None) is wrong


def test_letters_of_iec_60757_become_colours(reference):
    """Every code of IEC 60757, in capitals or small, with a hyphen or without; other letters are no colour."""
    for code, name in reference("colours")["iec_60445"]["letter_codes"]["codes"].items():
        assert colour_of_code(code) == name
        assert colour_of_code(f" {code.lower()} ") == name
    assert colour_of_code("GN-YE") == "green-yellow"
    assert colour_of_code("XX") is None
