"""What is offered for an overfull panel is placed: a few here, thirty in ``tests.benchmarks.placing.remedies``."""

from __future__ import annotations

import pytest

from layout.placing.explain import explain
from tests.placing.overfull import SIZES, is_placed, overfull


@pytest.mark.long
@pytest.mark.parametrize("seed", [0, 1, 2])
def test_each_change_that_is_offered_is_placed(seed: int) -> None:
    """Each single change that the reason offers is made, and placing finds an arrangement that the judge passes."""
    devices, load = SIZES[seed]
    changes = explain(overfull(seed, devices, load)).changes
    assert changes
    assert [str(change) for change in changes if not is_placed(change)] == []
