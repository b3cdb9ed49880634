"""Bought lengths: enough, cheap, and counted."""

from __future__ import annotations

from itertools import combinations_with_replacement

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.network.bus_planning.bus_stock import bought_lengths

STOCK = (500, 1000, 2000, 5000, 10_000)


@given(needed=st.integers(0, 30_000), joint=st.integers(0, 3000))
def test_bought_lengths_are_enough(needed, joint):
    """The pieces together are never shorter than what is needed, and each is a bought length."""
    pieces = bought_lengths(needed, STOCK, joint)
    assert sum(pieces) >= needed
    assert set(pieces) <= set(STOCK)


@given(needed=st.integers(1, 10_000), joint=st.integers(0, 3000))
def test_one_piece_where_one_is_long_enough(needed, joint):
    """Up to the longest bought length it is one piece, the shortest that is enough."""
    assert bought_lengths(needed, STOCK, joint) == (min(length for length in STOCK if length >= needed),)


@given(needed=st.integers(10_001, 24_000), joint=st.sampled_from((0, 500, 1000)))
def test_bought_lengths_cost_least(needed, joint):
    """Beyond that no other choice of up to four pieces covers the length for less cable and joints."""
    pieces = bought_lengths(needed, STOCK, joint)
    cost = sum(pieces) + joint * len(pieces)
    for count in range(1, 5):
        for other in combinations_with_replacement(STOCK, count):
            if sum(other) >= needed:
                assert cost <= sum(other) + joint * count


def test_cut_from_a_reel():
    """Without bought lengths the cable is one piece, rounded up to whole centimetres."""
    assert bought_lengths(3401, (), 1000) == (3410,)


def test_no_joint_inside_a_wireway():
    """For 3.6 m one 5 m cable is taken, not two of 2 m with their plugs joined on the way."""
    assert bought_lengths(3600, STOCK, 0) == (5000,)


def test_odd_stock_is_refused():
    """A stock length of nothing is an error."""
    with pytest.raises(ValueError, match="must be above 0"):
        bought_lengths(100, (0,), 0)
