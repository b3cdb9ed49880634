"""What a device that names no joins passes on, and when a source charges."""

from __future__ import annotations

import pytest

from layout.wiring.circuits.passed_on import passed_on
from layout.wiring.circuits.supply_graph import charges


@pytest.mark.parametrize(
    ("arriving", "leaving", "joined"),
    [
        ([("shunt", "-", "shunt/load")], [("shunt", "-", "shunt/bank")], [("shunt", "shunt/load", "shunt/bank")]),
        ([("shunt", "-", "shunt/load")], [("shunt", "+", "shunt/bank")], []),  # another pole
        ([("shunt", "-", "shunt/load")], [("other", "-", "other/bank")], []),  # another device
        ([("shunt", "-", "shunt/load")], [], []),
        ([("block", "+", "block/1"), ("block", "+", "block/2")], [("block", "+", "block/1")], []),  # clamps
        (
            [("block", "+", "block/2")],
            [("block", "+", "block/1"), ("block", "+", "block/3")],
            [("block", "block/2", "block/1"), ("block", "block/2", "block/3")],
        ),
    ],
)
def test_what_arrives_at_one_terminal_leaves_at_another_of_its_pole(arriving, leaving, joined):
    """Only within a device and a pole, and not from a clamp where one arrives and another leaves."""
    assert list(passed_on(arriving, leaving)) == joined


@pytest.mark.parametrize(
    ("kind", "limited", "reaches_bank", "charging"),
    [
        ("alternator", False, False, True),
        ("solar", True, True, True),
        ("converter", True, True, True),
        ("converter", False, True, False),  # what it gives is not known: it feeds, so that loads count in full
        ("converter", True, False, False),
        ("battery", True, True, False),
        ("inverter", True, True, False),
    ],
)
def test_a_source_charges(kind, limited, reaches_bank, charging):
    """Alternator, charger and solar always; a converter of known output that reaches a bank."""
    assert charges(kind, limited=limited, reaches_bank=reaches_bank) is charging
