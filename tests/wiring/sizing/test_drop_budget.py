"""What feeders leave of the allowed drop: an unknown on the way is an unknown in the sum, never a zero."""

from __future__ import annotations

import pytest

from layout.wiring.wire import wire
from tests.wiring.faulty import part, plain


@pytest.mark.parametrize("feeder", ["lead", "feed", "back", "home"])
def test_unknown_feeder_makes_the_cumulative_drop_unknown(feeder: str) -> None:
    """One feeder without a length, live or return, and no circuit behind it has a drop from the battery."""
    (known,) = [run for run in wire(plain(), None).runs if run.key.startswith("circuits.c1")]
    assert known.cumulative_v > 0
    made = part(plain(), "feeders", feeder, length=None, to=plain().feeders[feeder].to)
    made = part(made, "supplies", "bank", location=None) if feeder in ("lead", "home") else part(
        made, "breaker_panels", "dc", location=None
    )
    runs = [run for run in wire(made, None).runs if run.key.startswith("circuits.c1")]
    assert [run.cumulative_v for run in runs] == [None]
