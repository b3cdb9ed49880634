"""Conduit against NEC Chapter 9 Tables 1, 4 and 5 and the listed bend radii."""

from __future__ import annotations

import pytest

from layout.standards.conduit import (
    MM_PER_IN,
    MOST_BEND_DEG,
    bores,
    circle_mm2,
    fill_limit_percent,
    fill_percent,
    jams,
    power_bend_radius_mm,
    smallest_bore,
    support_spacing_mm,
)


def example(reference, name):
    """Return a worked example by its id."""
    return next(row for row in reference("conduit")["worked_example"] if row["id"] == name)


def test_limits(reference):
    """53, 31 and 40 %, and 60 % for a nipple."""
    found = reference("conduit")["fill_limits"]
    assert fill_limit_percent(1) == found["percent"]["one_cable"]
    assert fill_limit_percent(2) == found["percent"]["two_cables"]
    for count in (3, 4, 40):
        assert fill_limit_percent(count) == found["percent"]["three_or_more"]
    assert fill_limit_percent(3, length_mm=600) == found["nipple_not_over_600mm_percent"]
    assert fill_limit_percent(3, length_mm=601) == found["percent"]["three_or_more"]
    with pytest.raises(ValueError, match="at least 1"):
        fill_limit_percent(0)


@pytest.mark.parametrize(
    ("kind", "table", "bore_at", "area_at"),
    [("steel tube", "conduit_emt", 2, 4), ("rigid PVC", "conduit_pvc_sch40", 1, 2)],
)
def test_bores(reference, kind, table, bore_at, area_at):
    """Every bore of NEC Table 4 (articles 358 and 352): its area and 40 % as printed."""
    known = {bore.trade: bore.bore_mm for bore in bores() if bore.kind == kind}
    rows = reference("conduit")[table]["rows"]
    assert len(known) == len(rows)
    for row in rows:
        bore = known[f"{row[0]} in"]
        assert bore == pytest.approx(row[bore_at] * MM_PER_IN)
        assert circle_mm2(bore) / MM_PER_IN**2 == pytest.approx(row[area_at], abs=1.1e-3)
        fill40 = row[area_at + (2 if kind == "steel tube" else 1)]
        assert 0.4 * circle_mm2(bore) / MM_PER_IN**2 == pytest.approx(fill40, abs=1.1e-3)


@pytest.mark.parametrize("table", ["conductor_od_thhn", "conductor_od_tffn", "conductor_od_thw"])
def test_conductor_areas(reference, table):
    """NEC Table 5: the circle of each printed diameter has the printed area, within the rounding of the diameter."""
    for _, od_in, area_in2 in reference("conduit")[table]["rows"]:
        assert circle_mm2(od_in) == pytest.approx(area_in2, abs=0.0009)


def test_cf_ref_1(reference):
    """cf-ref-1: a steel tubing trade body's published NEC answer."""
    row = example(reference, "cf-ref-1")
    conductors = row["given"]["conductors"]
    total = sum(c["n"] * c["area_in2"] for c in conductors)
    assert total == pytest.approx(row["answer"]["total_in2"], abs=5e-5)
    found = smallest_bore("steel tube", total * MM_PER_IN**2, sum(c["n"] for c in conductors))
    assert found.trade == f"{row['answer']['trade_in']} in"


@pytest.mark.parametrize("name", ["cf-ref-2", "cf-ref-3"])
def test_cf_ref_2_and_3(reference, name):
    """cf-ref-2 and cf-ref-3: fill in percent against the limit for two and three cables."""
    row = example(reference, name)
    ods = tuple(row["given"]["cable_od_mm"])
    found = fill_percent(row["given"]["conduit_id_mm"], ods)
    assert sum(circle_mm2(od) for od in ods) == pytest.approx(row["answer"]["cable_area_mm2"], abs=0.01)
    assert found == pytest.approx(row["answer"]["fill_percent"], abs=0.01)
    assert fill_limit_percent(len(ods)) == row["answer"]["limit_percent"]
    assert (found <= fill_limit_percent(len(ods))) is row["answer"]["ok"]


def test_jam():
    """Three equal cables jam between 2.8 and 3.2 (NEC Table 1 note, from memory); two, four or unequal ones do not."""
    assert jams(30, (10, 10, 10))
    assert jams(28, (10, 10, 10))
    assert not jams(27.9, (10, 10, 10))
    assert not jams(33, (10, 10, 10))
    assert not jams(30, (10, 10))
    assert not jams(30, (10, 10, 9))


def test_supports(reference):
    """ISO 10133:2012 7.3 and 7.4."""
    spacing = reference("conduit")["supports"]["max_spacing_mm"]
    assert support_spacing_mm(sheathed_or_battery=False) == spacing["general"]
    assert support_spacing_mm(sheathed_or_battery=True) == spacing["sheathed_and_battery"]


def test_no_bore_is_not_infinite():
    """A fill of nothing is refused, and too many cables find no conduit."""
    with pytest.raises(ValueError, match="bore_mm"):
        fill_percent(0, (5.0,))
    assert smallest_bore("steel tube", 5000, 9) is None


def test_bores_of_steel_by_hand(reference):
    """A bore is printed in inches of 25.4 mm: 0.622 in is 15.80 mm."""
    assert reference("conduit")["conduit_emt"]["rows"][0][2] == 0.622
    assert min(bore.bore_mm for bore in bores() if bore.kind == "steel tube") == pytest.approx(15.7988)


@pytest.mark.parametrize(("bore", "jammed"), [(27.97, False), (28.0, True), (32.0, True), (32.03, False)])
def test_jam_ratio_at_both_ends(bore, jammed):
    """Three cables of 10 mm wedge from 2.8 to 3.2 diameters (NEC Chapter 9 Table 1, from memory); two never."""
    assert jams(bore, (10.0, 10.0, 10.0)) is jammed
    assert not jams(bore, (10.0, 10.0))
    assert not jams(bore, (10.0, 10.0, 9.9))


def test_a_narrow_bore_is_filled_too():
    """A cable of half the bore fills a quarter; no bore is refused."""
    assert fill_percent(1.0, (0.5,)) == pytest.approx(25.0)
    with pytest.raises(ValueError, match="bore_mm"):
        fill_percent(0.0, (0.5,))


@pytest.mark.parametrize("kind", ["steel tube", "rigid PVC"])
def test_smallest_bore_that_takes_the_cables(kind):
    """One cable may fill 53 %: the half-inch tube takes as much, and 0.1 % more needs the next, of the same kind."""
    first, second = sorted(bore.bore_mm for bore in bores() if bore.kind == kind)[:2]
    full = 0.53 * circle_mm2(first)
    assert smallest_bore(kind, full * 0.9999, 1).bore_mm == pytest.approx(first)
    assert smallest_bore(kind, full * 1.001, 1).bore_mm == pytest.approx(second)
    assert smallest_bore(kind, full, 1).bore_mm == pytest.approx(first)
    assert smallest_bore(kind, full, 1).kind == kind


@pytest.mark.parametrize(("od", "radius"), [(10.0, 40.0), (25.0, 100.0), (25.03, 150.18)])
def test_bend_of_a_power_cable(od, radius):
    """IEC 60092-352 (from memory): 4 x OD to 25 mm, 6 x OD over."""
    assert power_bend_radius_mm(od) == pytest.approx(radius)


def test_bends_between_pulls():
    """Not more than 360 degrees (NEC 358.26 and its siblings, from memory)."""
    assert MOST_BEND_DEG == 360
