"""A few inputs of every target in each test run; ``python -m tests.fuzz.run`` draws many."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.fuzz.run import drawn
from tests.fuzz.targets import TARGETS

if TYPE_CHECKING:
    import random

FEW = {"build": 5, "structure": 20, "reader": 20, "outlines": 20}


@pytest.mark.parametrize("name", TARGETS)
def test_promises_hold(name: str, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Whatever comes in is read or reported."""

    @settings(max_examples=FEW.get(name, 50), deadline=None)
    @given(st.randoms(use_true_random=False))
    def hold(rng: random.Random) -> None:
        TARGETS[name](rng, tmp_path_factory.mktemp(name))

    hold()


def test_the_command_counts_what_it_tried() -> None:
    """So many inputs, so many crashes, each kind with the number that makes it again."""
    done = drawn("quantities", 200, first=7)
    assert (done.count, dict(done.crashes)) == (200, {})
