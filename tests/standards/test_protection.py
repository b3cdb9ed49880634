"""Protection against 33 CFR 183.455, ABYC E-11, ISO 13297, NEC 240.6 and the IEC rating series."""

from __future__ import annotations

import pytest

from layout.standards.protection import (
    LITHIUM_CLASS_A,
    DeviceSeries,
    RatingRule,
    breaking_capacity_ac_shore,
    breaking_capacity_dc,
    least_rating_a,
    rating_limit_a,
    standard_ratings_a,
)


@pytest.mark.parametrize("series", list(DeviceSeries))
def test_standard_ratings(reference, series):
    """Every rating of every published range, and none besides."""
    found = reference("protection")["standard_ratings"][series.value]
    assert set(standard_ratings_a(series)) == {*found["amps"], *found.get("extra_fuse_amps", ())}


def test_every_published_range_is_known(reference):
    """No range of the reference is left out."""
    assert {series.value for series in DeviceSeries} == set(reference("protection")["standard_ratings"])


def largest(series, ampacity_a, rule=RatingRule.STRICT, voltage_v=12.0):
    """Return the largest standard rating that a rule allows on a conductor."""
    ratings = standard_ratings_a(series)
    limit = rating_limit_a(ampacity_a, rule=rule, voltage_v=voltage_v, ratings=ratings)
    return max(rating for rating in ratings if rating <= limit)


def test_op_ref_1(reference):
    """op-ref-1: 35 A of ampacity takes 35 A strictly, and 33 CFR caps at 52.5 A."""
    row = next(r for r in reference("protection")["rating_vs_ampacity"]["worked"] if r["id"] == "op-ref-1")
    answer = row["answer"]
    ampacity = answer["ampacity"]
    assert largest(DeviceSeries.NEC, ampacity) == answer["largest_standard_not_over"]
    assert rating_limit_a(ampacity, rule=RatingRule.FLAT_150, voltage_v=12) == answer["cfr_150pct_cap"]


def test_op_ref_2(reference):
    """op-ref-2: 22.95 A takes 20 A strictly, 25 A as next size up, which is within 150 %."""
    row = next(r for r in reference("protection")["rating_vs_ampacity"]["worked"] if r["id"] == "op-ref-2")
    answer = row["answer"]
    ampacity = answer["ampacity"]
    assert largest(DeviceSeries.NEC, ampacity) == answer["largest_standard_not_over"]
    up = largest(DeviceSeries.NEC, ampacity, rule=RatingRule.NEXT_SIZE)
    assert up == answer["next_size_up"]
    assert (up <= 1.5 * ampacity) is answer["within_150pct"]


def test_next_size_up_only_where_ampacity_is_no_standard_size():
    """20 A of ampacity is a standard size and gets no next size up; 5 A gets none because 10 A is over 150 %."""
    assert largest(DeviceSeries.PANEL_BREAKER, 20.0, rule=RatingRule.NEXT_SIZE) == 20
    assert largest(DeviceSeries.PANEL_BREAKER, 6.0, rule=RatingRule.NEXT_SIZE) == 5


def test_flat_150_ends_at_50_volts():
    """33 CFR 183.455(c): from 50 V only the next size up."""
    assert largest(DeviceSeries.NEC, 35.0, rule=RatingRule.FLAT_150, voltage_v=24) == 50
    assert largest(DeviceSeries.NEC, 35.0, rule=RatingRule.FLAT_150, voltage_v=120) == 35


def test_least_rating():
    """The lowest rating that carries the load; at 80 % for a continuous one (NEC 210.20(A))."""
    assert least_rating_a(DeviceSeries.PANEL_BREAKER, 10.0) == 10
    assert least_rating_a(DeviceSeries.PANEL_BREAKER, 10.0, continuous=True) == 15
    assert least_rating_a(DeviceSeries.PANEL_BREAKER, 12.0, continuous=True) == 15
    assert least_rating_a(DeviceSeries.PANEL_BREAKER, 101.0) is None


@pytest.mark.parametrize("nominal", [12, 24])
def test_breaking_capacity_12_and_24(reference, nominal):
    """ABYC E-11 Table V-A, every band at both of its ends."""
    ends = {"650 or less": (1, 650), "651-1100": (651, 1100), "over 1100": (1101, 9000)}
    rows = reference("protection")["interrupting_capacity"]["dc"]["rows"]
    assert [row[0] for row in rows] == list(ends)
    for band, main, branch in rows:
        for amps in ends[band]:
            found = breaking_capacity_dc(amps, nominal_v=nominal)
            assert (found.main_a, found.branch_a) == (main, branch)


@pytest.mark.parametrize("nominal", [32, 48])
def test_breaking_capacity_32_and_above(reference, nominal):
    """The 32 V rows (from memory) also stand in for 48 V."""
    ends = {"1250 or less": (1, 1250), "over 1250": (1251, 9000)}
    rows = reference("protection")["interrupting_capacity"]["dc_32V"]["rows"]
    assert [row[0] for row in rows] == list(ends)
    for band, main, branch in rows:
        for amps in ends[band]:
            found = breaking_capacity_dc(amps, nominal_v=nominal)
            assert (found.main_a, found.branch_a) == (main, branch)


def test_unknown_cranking_amperes_are_not_zero():
    """No cranking amperes give no figure."""
    with pytest.raises(ValueError, match="more than 0"):
        breaking_capacity_dc(0, nominal_v=12)


def test_breaking_capacity_ac(reference):
    """ABYC E-11 Table V-B, both shore supplies."""
    found = breaking_capacity_ac_shore()
    for row in reference("protection")["interrupting_capacity"]["ac_120V_shore"]["rows"]:
        assert (found.main_a, found.branch_a) == (row["main_A"], row["branch_A"])


@pytest.mark.parametrize(("amps", "rating"), [(12.0, 15.0), (12.01, 20.0), (11.99, 15.0)])
def test_eighty_percent_at_its_limit(amps, rating):
    """12 A for hours is 80 % of 15 A; 0.1 % more takes the next breaker."""
    assert least_rating_a(DeviceSeries.PANEL_BREAKER, amps, continuous=True) == rating


@pytest.mark.parametrize(("volts", "rating"), [(49.95, 50.0), (50.0, 35.0)])
def test_flat_150_just_below_fifty_volts(volts, rating):
    """33 CFR 183.455(c) speaks of less than 50 V: there 52.5 A is the ceiling, from 50 V a standard size, 35 A."""
    assert largest(DeviceSeries.NEC, 35.0, rule=RatingRule.FLAT_150, voltage_v=volts) == rating


@pytest.mark.parametrize(("volts", "main"), [(24.0, 3000.0), (25.0, 3000.0)])
def test_over_24_volts_takes_the_32_volt_rows(reference, volts, main):
    """1200 A cold cranking is in the open band of the 24 V rows, and in the first of the 32 V rows."""
    table = reference("protection")["interrupting_capacity"]["dc" if volts <= 24 else "dc_32V"]
    row = table["rows"][-1] if volts <= 24 else table["rows"][0]
    found = breaking_capacity_dc(1200.0, nominal_v=volts)
    assert (found.main_a, found.branch_a, found.source) == (row[1], row[2], table["source"])


def test_the_class_that_stands_for_a_lithium_bank(reference):
    """Newer ABYC text asks for the maker's figure or 20 kA devices (from memory)."""
    assert "20 kA" in reference("protection")["interrupting_capacity"]["lithium"]["text"]
    assert LITHIUM_CLASS_A == 20_000
