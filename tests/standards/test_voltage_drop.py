"""Formulas and limits against ISO 10133 Annex A and ABYC E-11: every printed cell and worked example."""

from __future__ import annotations

import pytest

from layout.standards.ampacity import ampacity
from layout.standards.conductors import MM2_PER_CIRCULAR_MIL, Series, resistance_ohm_per_km, size_of, sizes
from layout.standards.tables import Practice
from layout.standards.voltage_drop import (
    METRES_PER_FOOT,
    Criticality,
    ac_limit_percent,
    area_mm2,
    drop_limit_percent,
    drop_v,
    resistivity_ohm_mm2_per_m,
)


def example(reference, name):
    """Return a worked example by its id."""
    return next(row for row in reference("voltage_drop")["worked_examples"] if row["id"] == name)


def next_gauge(mils, series=Series.AWG):
    """Return the first gauge of at least so many circular mils."""
    return next(size.gauge for size in sizes(series) if size.area_mm2 / MM2_PER_CIRCULAR_MIL >= mils)


def mils_needed(amps, feet, allowed_v):
    """Return the circular mils that ABYC's formula asks for over so many feet, out and back."""
    area = area_mm2(Practice.ABYC, current_a=amps, round_trip_m=feet * METRES_PER_FOOT, allowed_v=allowed_v)
    return area / MM2_PER_CIRCULAR_MIL


def test_vd_ref_1(reference):
    """vd-ref-1: a boat owner's published arithmetic with the ISO formula."""
    given, answer = example(reference, "vd-ref-1")["given"], example(reference, "vd-ref-1")["answer"]
    found = drop_v(Practice.ISO, current_a=given["amps"], round_trip_m=given["roundtrip_m"], area_mm2=given["area_mm2"])
    assert found == pytest.approx(answer["drop_V"], abs=5e-4)
    assert found == pytest.approx(answer["printed"], abs=6e-3)


def test_vd_ref_2(reference):
    """vd-ref-2: ISO formula, percent and both limits."""
    given, answer = example(reference, "vd-ref-2")["given"], example(reference, "vd-ref-2")["answer"]
    found = drop_v(Practice.ISO, current_a=given["amps"], round_trip_m=given["roundtrip_m"], area_mm2=given["area_mm2"])
    percent = 100 * found / given["nominal_V"]
    assert found == pytest.approx(answer["drop_V"], abs=5e-4)
    assert percent == pytest.approx(answer["percent"], abs=5e-3)
    assert (percent <= drop_limit_percent(Criticality.CRITICAL)) is answer["critical_ok"]
    assert (percent <= drop_limit_percent(Criticality.NON_CRITICAL)) is answer["noncritical_ok"]


def test_vd_ref_3(reference):
    """vd-ref-3: ABYC formula and the gauge chosen."""
    given, answer = example(reference, "vd-ref-3")["given"], example(reference, "vd-ref-3")["answer"]
    allowed = given["nominal_V"] * given["limit_percent"] / 100
    mils = mils_needed(given["amps"], given["roundtrip_ft"], allowed)
    assert mils == pytest.approx(answer["cm"], abs=0.5)
    assert next_gauge(mils) == answer["awg"]


def test_vd_ref_4(reference):
    """vd-ref-4: the drop from IEC 60228 resistance, cold and at 50 C."""
    given, answer = example(reference, "vd-ref-4")["given"], example(reference, "vd-ref-4")["answer"]
    for degrees in (20, 50):
        ohm = resistance_ohm_per_km(size_of(area_mm2=given["area_mm2"]), temperature_c=degrees) / 1000
        found = given["amps"] * ohm * given["roundtrip_m"]
        assert found == pytest.approx(answer[f"drop_V_{degrees}C"], abs=1e-3)


@pytest.mark.parametrize(
    ("table", "allowed"),
    [("abyc_3pct_12V_table_cells", 0.36), ("abyc_10pct_12V_table_cells", 1.2)],
)
def test_abyc_tables(reference, table, allowed):
    """Every cell read of ABYC E-11 Tables IX and X: circular mils by the formula, and the gauge by AWG area."""
    for amps, feet, gauge, mils in reference("voltage_drop")[table]["rows"]:
        found = mils_needed(amps, feet, allowed)
        assert found == pytest.approx(mils, abs=1.0)
        assert next_gauge(found) == gauge


def test_abyc_contradictions(reference):
    """Where two reprints part, the formula with AWG or SAE areas says which is right.

    For 50 A over 30 ft it is 3 AWG; the table prints no 3, so its next is 2, and 4 is short.
    """
    right = {(10, 20): ("12", "10"), (5, 40): ("12", "10"), (50, 30): ("3", "2"), (25, 25): ("6", "6")}
    rows = reference("voltage_drop")["abyc_3pct_12V_table_cells"]["contradictions"]
    assert len(rows) == len(right)
    for row in rows:
        mils = mils_needed(row["amps"], row["roundtrip_ft"], 0.36)
        found = (next_gauge(mils), next_gauge(mils, Series.SAE))
        assert found == right[row["amps"], row["roundtrip_ft"]]


def test_iso_current_cells(reference):
    """Every cell of the published 12 V, 3 % table: its current makes the allowed drop, within its own rounding."""
    for area, metres, amps in reference("voltage_drop")["iso_12V_3pct_current_cells"]["rows"]:
        exact = 0.36 / drop_v(Practice.ISO, current_a=1.0, round_trip_m=metres, area_mm2=area)
        assert amps == pytest.approx(exact, abs=0.51)


def test_limits(reference):
    """3 % and 10 %, and the volts that follow at each nominal voltage."""
    limits = reference("voltage_drop")["limits"]
    assert drop_limit_percent(Criticality.CRITICAL) == limits["critical_percent"]
    assert drop_limit_percent(Criticality.NON_CRITICAL) == limits["non_critical_percent"]
    for name, volts in limits["allowed_volts"].items():
        nominal, percent = name.split("V_")
        assert float(nominal) * float(percent.removesuffix("pct")) / 100 == pytest.approx(volts)


def test_si_equivalent_of_the_circular_mil_constant():
    """10.75 ohm circular mil per foot is 0.01787 ohm mm2/m, and ISO's constant is below cold copper."""
    assert resistivity_ohm_mm2_per_m(Practice.ABYC) == pytest.approx(0.01787, abs=5e-6)
    assert resistivity_ohm_mm2_per_m(Practice.ISO) < 0.0172414


@pytest.mark.parametrize("practice", list(Practice))
def test_area_and_drop_are_inverse(practice):
    """The area found makes exactly the allowed drop."""
    area = area_mm2(practice, current_a=7, round_trip_m=9, allowed_v=0.36)
    assert drop_v(practice, current_a=7, round_trip_m=9, area_mm2=area) == pytest.approx(0.36)


def test_a_drop_table_never_replaces_the_ampacity_check():
    """12 AWG at 50 A meets 10 % over 10 ft and is over its 45 A (note of the published table)."""
    assert ampacity(size_of(gauge="12", series=Series.AWG), practice=Practice.ABYC).current_a == 45


def test_nothing_is_divided_by_nothing():
    """No area and no allowed drop are refused."""
    with pytest.raises(ValueError, match="area_mm2"):
        drop_v(Practice.ISO, current_a=1, round_trip_m=1, area_mm2=0)
    with pytest.raises(ValueError, match="allowed_v"):
        area_mm2(Practice.ISO, current_a=1, round_trip_m=1, allowed_v=0)


def test_feet():
    """One foot is 0.3048 m."""
    assert METRES_PER_FOOT == 0.3048


def test_limits_on_ac():
    """IEC 60364-5-52 Annex G (from memory): 3 % for lighting, 5 % for other uses."""
    assert (ac_limit_percent(lighting=True), ac_limit_percent(lighting=False)) == (3, 5)
