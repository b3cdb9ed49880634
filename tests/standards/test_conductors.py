"""Conductors against ASTM B258, SAE J378/J1128, IEC 60228, IEC 60028 and NEC Chapter 9 Table 8."""

from __future__ import annotations

from itertools import pairwise

import pytest

from layout.quantity import WireSize
from layout.standards.conductors import (
    MM2_PER_CIRCULAR_MIL,
    Series,
    gauge_area_mm2,
    gauge_diameter_mm,
    gauge_number,
    least_area_mm2,
    resistance_ohm_per_km,
    sae_area_mm2,
    size_of,
    sizes,
    temperature_factor,
)


def test_gauge_geometry(reference):
    """Diameter, area and circular mils of every gauge follow ASTM B258 to the digits printed."""
    for gauge, diameter, area, mils in reference("conductors")["awg_geometry"]["rows"]:
        assert gauge_diameter_mm(gauge) == pytest.approx(diameter, abs=6e-5)
        assert gauge_area_mm2(gauge) == pytest.approx(area, rel=6e-4)
        assert gauge_area_mm2(gauge) / MM2_PER_CIRCULAR_MIL == pytest.approx(mils, abs=0.6)


def test_gauge_areas_agree_with_nec_table_8(reference):
    """NEC Chapter 9 Table 8 prints the same circular mils, rounded to four figures at best."""
    for gauge, mils in reference("conductors")["awg_geometry"]["nec_table8_circular_mils"]["values"].items():
        assert gauge_area_mm2(gauge) / MM2_PER_CIRCULAR_MIL == pytest.approx(mils, rel=3e-3)


def test_sae_areas(reference):
    """Every SAE size (J378, J1128) has its least area, and is thinner than the AWG of its number."""
    values = reference("conductors")["awg_geometry"]["sae_minimum_circular_mils"]["values"]
    for gauge, mils in values.items():
        assert sae_area_mm2(gauge) / MM2_PER_CIRCULAR_MIL == pytest.approx(mils, rel=1e-12)
        assert sae_area_mm2(gauge) < gauge_area_mm2(gauge)
    assert sae_area_mm2("3") is None
    assert {size.gauge for size in sizes(Series.SAE)} == set(values)


@pytest.mark.parametrize(
    ("table", "strand_class"), [("iec_60228_class5_flexible", 5), ("iec_60228_class2_stranded", 2)]
)
def test_iec_60228_resistance(reference, table, strand_class):
    """Every cell of IEC 60228 Tables 2 and 3, plain and tinned, at 20 C."""
    for area, plain, tinned in reference("conductors")[table]["rows"]:
        size = size_of(area_mm2=area)
        assert resistance_ohm_per_km(size, tinned=False, strand_class=strand_class) == plain
        assert resistance_ohm_per_km(size, tinned=True, strand_class=strand_class) == tinned


def test_temperature_factor(reference):
    """IEC 60028: the factor at every listed temperature, and IEC 60228 kt (other zero, own rounding) within 0.5 %."""
    copper = reference("conductors")["copper_temperature"]
    for row in copper["checks"]:
        assert temperature_factor(row["T_C"]) == pytest.approx(row["factor"], abs=6e-5)
    for degrees, kt in copper["iec_60228_kt_factors"]["kt"].items():
        assert 1 / temperature_factor(degrees) == pytest.approx(kt, rel=5e-3)


def test_nec_table_8_resistance(reference):
    """Stranded gauge wire computed from its area is within 1.5 % of every cell of NEC Chapter 9 Table 8.

    The table is brought from 75 C to 20 C by its own note 2.
    """
    for gauge, stranded, _, _ in reference("conductors")["nec_chapter9_table8_dc_resistance"]["rows"]:
        cold_ohm_per_km = stranded / 0.3048 * (1 + 0.00323 * (20 - 75))
        plain = resistance_ohm_per_km(size_of(gauge=gauge, series=Series.AWG), tinned=False)
        assert plain == pytest.approx(cold_ohm_per_km, rel=0.015)


@pytest.mark.parametrize("series", list(Series))
def test_thicker_has_less_resistance(series):
    """Along each series area rises and resistance falls, tinned never below plain."""
    found = sizes(series)
    for thin, thick in pairwise(found):
        assert thin.area_mm2 < thick.area_mm2
        assert resistance_ohm_per_km(thin) > resistance_ohm_per_km(thick)
        assert resistance_ohm_per_km(thin, tinned=False) < resistance_ohm_per_km(thin)


def test_size_outside_iec_table_is_not_better_than_its_neighbour():
    """A 3 mm2 conductor, which IEC 60228 does not list, lies between 2.5 and 4 mm2."""
    odd = resistance_ohm_per_km(size_of(area_mm2=3.0))
    assert resistance_ohm_per_km(size_of(area_mm2=4.0)) < odd < resistance_ohm_per_km(size_of(area_mm2=2.5))


@pytest.mark.parametrize("bad", ["", "x", "5/0", "0/0", "41", "1.5", "-1/0"])
def test_no_gauge(bad):
    """What is no gauge is refused."""
    with pytest.raises(ValueError, match="gauge"):
        gauge_number(bad)


def test_size_needs_exactly_one_name():
    """A size has an area or a gauge, more than 0, and an SAE size must exist."""
    for bad in ({}, {"area_mm2": 1.0, "gauge": "14"}, {"area_mm2": 0.0}, {"gauge": "3", "series": Series.SAE}):
        with pytest.raises(ValueError, match=r"area_mm2|SAE"):
            size_of(**bad)


def test_strand_class_is_two_or_five():
    """Other classes of IEC 60228 are not on board."""
    with pytest.raises(ValueError, match="strand_class"):
        resistance_ohm_per_km(size_of(area_mm2=1.0), strand_class=1)


def test_metric_sizes_are_those_of_the_tables(reference):
    """From 0.75 mm2, the least conductor, to 150 mm2, where the ampacity table ends: all of IEC 60228 between."""
    listed = [row[0] for row in reference("conductors")["iec_60228_class5_flexible"]["rows"]]
    expected = [area for area in listed if 0.75 <= area <= 150]
    assert expected[0] == 0.75
    assert expected[-1] == 150
    assert [(size.area_mm2, size.gauge) for size in sizes(Series.METRIC)] == [(area, None) for area in expected]


@pytest.mark.parametrize(("tinned", "ohm"), [(True, 3.4764), (False, 3.3427)])
def test_resistance_of_a_gauge_by_hand(tinned, ohm):
    """10 AWG, 5.2612 mm2: 17.241 ohm mm2/km (IEC 60028) x 1.02 for the lay, x 1.04 where tinned, / 5.2612."""
    assert resistance_ohm_per_km(size_of(gauge="10", series=Series.AWG), tinned=tinned) == pytest.approx(ohm, rel=1e-4)


@pytest.mark.parametrize(("area", "ohm"), [(3.0, 8.21 * 2.5 / 3.0), (0.2, 40.1 * 0.5 / 0.2), (5.0, 5.09 * 4 / 5.0)])
def test_resistance_between_the_rows_by_hand(area, ohm):
    """A metric size that IEC 60228 does not list is as good as the row below by area, below the first as that row."""
    assert resistance_ohm_per_km(size_of(area_mm2=area)) == pytest.approx(ohm, rel=1e-6)


def test_gauges_end_at_forty():
    """40 is the last number of ASTM B258 here, and 4/0 the first."""
    assert (gauge_number("40"), gauge_number("4/0")) == (40, -3)


def test_a_size_says_its_series():
    """As it is printed in schedule and shopping list."""
    assert str(size_of(area_mm2=2.5)) == "2.5 mm²"
    assert str(size_of(gauge="14", series=Series.AWG)) == "14 AWG"
    assert str(size_of(gauge="14", series=Series.SAE)) == "14 SAE"
    assert size_of(gauge="14").series is Series.AWG


def test_a_written_gauge_counts_with_its_thinner_area(reference):
    """14 is sold with 4107 circular mils (AWG) and with less (SAE); 3 and 2.5 mm2 have one area each."""
    mils = reference("conductors")["awg_geometry"]["sae_minimum_circular_mils"]["values"]["14"]
    assert least_area_mm2(WireSize(awg="14")) == pytest.approx(mils * 0.00050670748, rel=1e-6)
    assert least_area_mm2(WireSize(awg="3")) == pytest.approx(26.67, abs=0.005)  # ASTM B258, there is no 3 SAE
    assert least_area_mm2(WireSize(area_mm2=2.5)) == 2.5
