"""What a revision hands over is what the register takes back."""

from __future__ import annotations

import json

import pytest

import layout
from layout.handover.plan import state_of
from layout.project.issued import ISSUED_FORM, issued_fault
from tests.conftest import EXAMPLES, SOUND


@pytest.mark.parametrize("name", SOUND)
def test_what_is_issued_can_be_read_back(name: str) -> None:
    """The state of each example's revision passes the register's check, and each table of it says something."""
    reading = layout.read(EXAMPLES / name)
    assert reading.project is not None
    state = state_of(layout.plan(reading.project, None, found=reading.findings))
    assert issued_fault(state) is None
    data = json.loads(state)
    empty = {"devices"} if reading.project.breaker_panels else {"devices", "ways"}
    assert {part for part in ISSUED_FORM if not data[part]} == empty
