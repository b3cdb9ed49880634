"""Cables in a section lie inside the hole and apart from each other, and none is lost."""

from __future__ import annotations

from itertools import combinations
from math import hypot

from hypothesis import given
from hypothesis import strategies as st

from layout.drawing.diagrams.round_packing import Round, Square, bundle_mm, pack

cables = st.lists(st.sampled_from([2.5, 2.8, 3.4, 4.1, 6.8, 11.7]), min_size=1, max_size=25)


def _apart(lying):
    for a, b in combinations(lying, 2):
        assert hypot(a.at[0] - b.at[0], a.at[1] - b.at[1]) >= (a.diameter_mm + b.diameter_mm) / 2 - 1e-4


@given(cables, st.sampled_from([16.0, 25.0, 40.0]))
def test_cables_in_a_bore_touch_but_never_overlap(diameters, bore):
    """Every cable is inside the bore, apart from the others, and either laid or named."""
    lying, homeless = pack(Round(bore), diameters)
    assert sorted([*(one.index for one in lying), *homeless]) == list(range(len(diameters)))
    for one in lying:
        assert hypot(*one.at) + one.diameter_mm / 2 <= bore / 2 + 1e-4
        assert one.diameter_mm == diameters[one.index]
    _apart(lying)


@given(cables)
def test_cables_in_a_trunk_stay_between_its_walls(diameters):
    """Likewise for a trunk of 40 by 25 mm."""
    lying, homeless = pack(Square(-20, -12.5, 20, 12.5), diameters)
    assert len(lying) + len(homeless) == len(diameters)
    for one in lying:
        r = one.diameter_mm / 2
        assert one.at[0] - r >= -20 - 1e-4
        assert one.at[0] + r <= 20 + 1e-4
        assert one.at[1] - r >= -12.5 - 1e-4
        assert one.at[1] + r <= 12.5 + 1e-4
    _apart(lying)


def test_seven_equal_cables_fill_a_bore_of_three_diameters():
    """Geometry: six round one fit exactly into three diameters; an eighth does not."""
    assert pack(Round(30.001), [10.0] * 7)[1] == ()
    assert pack(Round(30.001), [10.0] * 8)[1] != ()


def test_a_bundle_holds_all_its_cables():
    """The bundle's diameter is one in which every cable finds a place, and a smaller one by 2 mm is refused."""
    diameters = [11.7, 8.1, 5.3, 5.3, 4.1, 4.1]
    wide = bundle_mm(diameters)
    assert pack(Round(wide), diameters)[1] == ()
    assert pack(Round(wide - 2), diameters)[1] != ()


def test_two_hundred_cables_are_packed():
    """A full trunk of 200 cables is laid out whole where there is room for them."""
    assert pack(Square(-100, -50, 100, 50), [3.0 + (n % 5) * 0.5 for n in range(200)])[1] == ()
