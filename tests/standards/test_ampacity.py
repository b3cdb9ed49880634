"""Ampacity against ISO 13297 Annex A, 33 CFR 183.425 Table 5, ABYC E-11 and NEC 310.16: whole tables."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from layout.standards.ampacity import (
    CFR_NAME,
    ISO_NAME,
    NotAllowedError,
    ampacity,
    bundle_factor,
    least_size,
)
from layout.standards.conductors import Series, gauge_area_mm2, size_of
from layout.standards.tables import Practice

ISO_COLUMNS = {60: 1, 70: 2, 85: 3, 105: 4, 125: 5, 200: 6}
CFR_COLUMNS = {60: 1, 75: 2, 80: 3, 90: 4, 105: 5, 125: 6, 200: 7}


def awg(gauge):
    """Return a size by its AWG number."""
    return size_of(gauge=gauge, series=Series.AWG)


def test_cfr_table_5(reference):
    """ABYC practice gives every cell of Table 5 for both areas of a gauge."""
    for row in reference("ampacity")["cfr_33_183_425_table5"]["rows"]:
        for insulation, column in CFR_COLUMNS.items():
            found = ampacity(awg(row[0]), practice=Practice.ABYC, insulation_c=insulation)
            assert (found.current_a, found.table, found.unverified) == (row[column], CFR_NAME, False)
            if row[0] != "3":
                sae = size_of(gauge=row[0], series=Series.SAE)
                assert ampacity(sae, practice=Practice.ABYC, insulation_c=insulation).current_a == row[column]


def test_iso_table_a_never_above_memory_and_never_above_cfr(reference):
    """ISO practice gives each cell of the recalled table or less, and is less only where Table 5 is.

    The other table is read at equal area between its rows, in its column not above the insulation.
    """
    cfr_rows = reference("ampacity")["cfr_33_183_425_table5"]["rows"]
    for row in reference("ampacity")["iso_10133_13297_table_A"]["rows"]:
        for insulation, column in ISO_COLUMNS.items():
            found = ampacity(size_of(area_mm2=row[0]), practice=Practice.ISO, insulation_c=insulation)
            recalled = row[column]
            assert found.current_a <= recalled
            if found.current_a < recalled:
                assert (found.table, found.unverified, found.governed_by_memory) == (CFR_NAME, True, False)
                cfr_class = max(c for c in CFR_COLUMNS if c <= insulation)
                thicker = next((r for r in cfr_rows if gauge_area_mm2(r[0]) >= row[0]), cfr_rows[-1])
                assert found.current_a <= thicker[CFR_COLUMNS[cfr_class]]
            else:
                assert found.table == ISO_NAME
                assert found.unverified is (not (insulation == 200 and row[0] >= 2.5))


def test_iso_read_column_is_not_marked(reference):
    """The 200 C column from 2.5 to 150 mm2 was read: it stands as it is, without a mark."""
    for row in reference("ampacity")["iso_10133_13297_table_A"]["rows"]:
        if row[0] >= 2.5:
            found = ampacity(size_of(area_mm2=row[0]), practice=Practice.ISO, insulation_c=200)
            assert (found.current_a, found.unverified) == (row[6], False)


def test_iso_hot_space_uses_each_tables_own_factor(reference):
    """A hot space takes each table's own factor: 60 C for ISO, 50 C for Table 5; 60 C insulation is barred."""
    iso = reference("ampacity")["iso_engine_space_factors"]["factors"]
    cfr = reference("ampacity")["cfr_engine_space_factors"]["factors"]
    for insulation, name in {70: "t70", 85: "t85_90", 105: "t105", 125: "t125", 200: "t200"}.items():
        for area in (1.5, 6, 16, 50):
            found = ampacity(size_of(area_mm2=area), practice=Practice.ISO, insulation_c=insulation, hot_space=True)
            cfr_class = max(c for c in CFR_COLUMNS if c <= insulation)
            own = iso[name] if found.table == ISO_NAME else cfr[f"t{cfr_class}"]
            assert found.hot_factor == own
    with pytest.raises(NotAllowedError, match="hot space"):
        ampacity(size_of(area_mm2=1.5), practice=Practice.ISO, insulation_c=60, hot_space=True)


def test_abyc_hot_space(reference):
    """ABYC E-11 105 C, outside and inside the engine space, every row, within the rounding printed."""
    for gauge, outside, inside in reference("ampacity")["abyc_e11_105C"]["rows"]:
        assert ampacity(awg(gauge), practice=Practice.ABYC).current_a == outside
        found = ampacity(awg(gauge), practice=Practice.ABYC, hot_space=True).current_a
        assert found == pytest.approx(inside, abs=0.051)
    factors = reference("ampacity")["cfr_engine_space_factors"]["factors"]
    for insulation in CFR_COLUMNS:
        found = ampacity(awg("10"), practice=Practice.ABYC, insulation_c=insulation, hot_space=True)
        assert found.hot_factor == factors[f"t{insulation}"]


@pytest.mark.parametrize(
    ("practice", "table"), [(Practice.ISO, "iso_bundling_factors"), (Practice.ABYC, "abyc_bundling_factors")]
)
def test_bundling(reference, practice, table):
    """Every count of conductors of each practice's own table, from the first to the last of its band."""
    for row in reference("ampacity")[table]["factors"]:
        low, _, high = row["conductors"].partition("-")
        first = int(low.rstrip("+"))
        for count in range(first, int(high or first + (20 if low.endswith("+") else 0)) + 1):
            assert bundle_factor(practice, count) == row["factor"]


def test_bundling_below_50_v_is_on_unless_switched_off():
    """The reading without a factor below 50 V must be chosen, and never frees 50 V and above."""
    assert bundle_factor(Practice.ABYC, 5, voltage_v=12) == 0.6
    assert bundle_factor(Practice.ABYC, 5, voltage_v=12, below_50v=False) == 1.0
    assert bundle_factor(Practice.ABYC, 5, voltage_v=120, below_50v=False) == 0.6
    with pytest.raises(ValueError, match="at least 1"):
        bundle_factor(Practice.ISO, 0)


def test_op_ref_2(reference):
    """op-ref-2: 12 AWG 105 C, engine space, five conductors: 22.95 A (ABYC E-11)."""
    row = next(r for r in reference("protection")["rating_vs_ampacity"]["worked"] if r["id"] == "op-ref-2")
    found = ampacity(awg("12"), practice=Practice.ABYC, insulation_c=105, hot_space=True, conductors=5)
    assert found.current_a == pytest.approx(row["answer"]["ampacity"], abs=1e-9)


def test_metric_cable_under_abyc_takes_the_gauge_below():
    """33 CFR names no areas between gauges: 2.5 mm2 lies between 14 (2.08) and 12 AWG (3.31) and bears what 14 does."""
    metric = ampacity(size_of(area_mm2=2.5), practice=Practice.ABYC)
    assert metric.current_a == ampacity(awg("14"), practice=Practice.ABYC).current_a


@pytest.mark.parametrize("practice", list(Practice))
@pytest.mark.parametrize("insulation", [60, 70, 75, 85, 90, 105, 125, 200])
def test_thicker_never_bears_less(practice, insulation):
    """Along any column the value rises or stays, and a thicker conductor never bears less."""
    areas = [1.0, 1.5, 2.0, 2.5, 3.3, 4, 5.3, 6, 8.4, 10, 13, 16, 21, 25, 34, 35, 42, 50, 53, 67, 70, 85, 95, 107]
    found = [ampacity(size_of(area_mm2=a), practice=practice, insulation_c=insulation).current_a for a in areas]
    assert found == sorted(found)


def test_outside_the_tables():
    """Too thin, too thick and too poor insulation are refused with the reason."""
    for area, insulation, practice in ((0.5, 70, Practice.ISO), (150.1, 70, Practice.ISO), (2.5, 50, Practice.ISO)):
        with pytest.raises(NotAllowedError):
            ampacity(size_of(area_mm2=area), practice=practice, insulation_c=insulation)
    with pytest.raises(NotAllowedError):
        ampacity(awg("20"), practice=Practice.ABYC)


def test_least_sizes(reference):
    """ISO 10133:2012 7.7 and 33 CFR 183.425 (d)-(f)."""
    found = reference("ampacity")["minimum_cross_sections"]
    iso, cfr = found["iso"], found["cfr"]
    assert least_size(Practice.ISO, in_sheath=False).area_mm2 == iso["single_conductor_longer_than_200mm_mm2"]
    assert least_size(Practice.ISO, in_sheath=True).area_mm2 == iso["in_multicore_sheath_mm2"]
    panel = least_size(Practice.ISO, in_sheath=False, panel_internal=True)
    assert panel.area_mm2 == iso["panel_board_internal_wiring_mm2"]
    assert least_size(Practice.ABYC, in_sheath=False).gauge == cfr["single_conductor_awg"]
    assert least_size(Practice.ABYC, in_sheath=True).gauge == cfr["in_multiconductor_sheath_awg"]


def awg_mm2(gauge: str) -> float:
    """Return the area of a gauge by ASTM B258: 0.127 mm x 92 ** ((36 - n) / 39) across."""
    number = -(len(gauge[0]) and int(gauge[0]) - 1) if "/0" in gauge else int(gauge)
    return math.pi / 4 * (0.127 * 92 ** ((36 - number) / 39)) ** 2


def between(rows: list[tuple[float, float]], area: float) -> float:
    """Interpolate a current between two areas, as the standard's note allows."""
    (a0, i0), (a1, i1) = next(pair for pair in pairwise(rows) if pair[0][0] <= area <= pair[1][0])
    return i0 + (i1 - i0) * (area - a0) / (a1 - a0)


@pytest.mark.parametrize(("column", "insulation"), [("t70", 70), ("t105", 105), ("t125", 125)])
def test_hot_space_takes_the_lower_of_both_tables_each_with_its_own_factor(reference, column, insulation):
    """Worked here from the published rows alone: ISO at 60 C, Table 5 at 50 C, and of the two the lower."""
    tables = reference("ampacity")
    iso, cfr = tables["iso_10133_13297_table_A"], tables["cfr_33_183_425_table5"]
    iso_factor = tables["iso_engine_space_factors"]["factors"][column]
    name = {"t70": "t60"}.get(column, column)  # Table 5 has no 70 C: the class below counts
    cfr_factor = tables["cfr_engine_space_factors"]["factors"][name]
    bare = [(awg_mm2(row[0]), row[cfr["columns"].index(name)]) for row in cfr["rows"]]
    tried = 0
    for row in iso["rows"]:
        if not bare[0][0] <= row[0] <= bare[-1][0]:
            continue
        hot = min(row[iso["columns"].index(column)] * iso_factor, between(bare, row[0]) * cfr_factor)
        found = ampacity(size_of(area_mm2=row[0]), practice=Practice.ISO, insulation_c=insulation, hot_space=True)
        assert found.current_a == pytest.approx(hot, rel=0.005), row
        tried += 1
    assert tried >= 10


@pytest.mark.parametrize(("volts", "factor"), [(49.9, 1.0), (50.0, 0.7)])
def test_bundling_from_fifty_volts_begins_at_fifty(volts, factor):
    """The reading that spares low voltage ends below 50 V; at 50 V four conductors count."""
    assert bundle_factor(Practice.ISO, 4, voltage_v=volts, below_50v=False) == factor


def test_table_5_rests_on_no_memory():
    """What was read says so, whichever flag is asked."""
    found = ampacity(awg("10"), practice=Practice.ABYC)
    assert (found.unverified, found.governed_by_memory, found.bundle_factor, found.hot_factor) == (
        False,
        False,
        1.0,
        1.0,
    )


@pytest.mark.parametrize(("area", "gauge"), [(3.3088, "12"), (3.30, "14"), (2.0809, "14"), (2.07, "16")])
def test_metric_cable_under_abyc_at_a_gauges_own_area(area, gauge, reference):
    """12 AWG is 3.3088 mm2 and 14 AWG 2.0809 mm2 (ASTM B258): as much area bears what it does, less does not."""
    cells = {row[0]: row[CFR_COLUMNS[105]] for row in reference("ampacity")["cfr_33_183_425_table5"]["rows"]}
    assert ampacity(size_of(area_mm2=area), practice=Practice.ABYC).current_a == cells[gauge]


def test_metric_cable_thinner_than_the_first_gauge_is_refused():
    """18 AWG (0.823 mm2) is the first row of Table 5."""
    assert ampacity(size_of(area_mm2=0.8231), practice=Practice.ABYC).base_a == 20
    with pytest.raises(NotAllowedError, match="no value"):
        ampacity(size_of(area_mm2=0.82), practice=Practice.ABYC)


@pytest.mark.parametrize(
    ("area", "insulation", "amps", "table", "of_last_row"),
    [
        (107.215, 70, 300.0, CFR_NAME, False),  # 4/0 AWG: by hand ISO 310 + 50 * 12.2 / 25 = 334 A, Table 5 300 A
        (107.3, 70, 300.0, CFR_NAME, True),
        (120, 70, 300.0, CFR_NAME, True),
        (150, 70, 300.0, CFR_NAME, True),
        (107.3, 105, 390 + 60 * 12.3 / 25, ISO_NAME, False),  # 419.5 A, under 445 A
        (117, 105, 390 + 60 * 22 / 25, ISO_NAME, False),  # 442.8 A
        (118, 105, 445.0, CFR_NAME, True),  # ISO would be 445.2 A
        (150, 105, 445.0, CFR_NAME, True),
        (150, 200, 560.0, ISO_NAME, False),  # read
    ],
)
def test_above_the_last_gauge_of_table_5_memory_adds_nothing(area, insulation, amps, table, of_last_row):
    """4/0 AWG, 107.22 mm2, is the last row that was read; 70 °C takes its 60 °C column."""
    found = ampacity(size_of(area_mm2=area), practice=Practice.ISO, insulation_c=insulation)
    assert (found.table, found.of_last_row) == (table, of_last_row)
    assert found.current_a == pytest.approx(amps, rel=1e-4)


@pytest.mark.parametrize(
    ("insulation", "hot"), [(60, False), *((c, hot) for c in (70, 85, 105, 125) for hot in (False, True))]
)
def test_no_figure_from_memory_jumps_where_the_read_table_ends(insulation, hot):
    """From one hundredth of a mm² to the next by no more than the steepest slope of the tables, 3 A/mm²."""
    amps = [
        ampacity(size_of(area_mm2=step / 100), practice=Practice.ISO, insulation_c=insulation, hot_space=hot).current_a
        for step in range(10_600, 10_900)
    ]
    assert all(-1e-9 <= after - before <= 0.03 for before, after in pairwise(amps))


def test_the_lower_of_both_tables_outside_a_hot_space(reference):
    """Where Table 5 is lower by less than 1 %, it counts all the same: no factor belongs to it outside a hot space.

    By hand for 125 °C: between 14 AWG (2.0809 mm2, 40 A) and 12 AWG (3.3088 mm2, 50 A) it gives at 2.5 mm2
    40 + 10 * 0.4191 / 1.2279 = 43.4 A, over the 40 A of ISO; for 4 mm2 between 12 (50 A) and 10 AWG (5.2612 mm2, 70 A)
    50 + 20 * 0.6912 / 1.9524 = 57.1 A, over 50 A; the tables are held together at each row of ISO here.
    """
    iso = reference("ampacity")["iso_10133_13297_table_A"]
    cfr = reference("ampacity")["cfr_33_183_425_table5"]
    for insulation, column in {105: "t105", 125: "t125", 200: "t200", 60: "t60"}.items():
        bare = [(0.0, 0.0), *((awg_mm2(row[0]), row[cfr["columns"].index(column)]) for row in cfr["rows"])]
        here = [(row[0], row[iso["columns"].index(column)]) for row in iso["rows"]]
        for step in range(76, 10_700, 23):
            area = step / 100
            if insulation == 200 and area >= 2.5:
                continue
            low = min(between(here, area), between(bare, area))
            found = ampacity(size_of(area_mm2=area), practice=Practice.ISO, insulation_c=insulation)
            assert found.current_a == pytest.approx(low, rel=1e-4), (insulation, area)


def test_ends_of_the_iso_table_and_its_words():
    """0.75 and 150 mm2 are in it; what lies outside is told with the ends, poor insulation with the least."""
    assert ampacity(size_of(area_mm2=0.75), practice=Practice.ISO, insulation_c=200).current_a <= 25
    assert ampacity(size_of(area_mm2=150), practice=Practice.ISO, insulation_c=200).current_a == 560
    with pytest.raises(NotAllowedError, match=r"0\.75 to 150"):
        ampacity(size_of(area_mm2=150.1), practice=Practice.ISO)
    with pytest.raises(NotAllowedError, match="the least is 60 °C"):
        ampacity(size_of(area_mm2=2.5), practice=Practice.ISO, insulation_c=59)


@pytest.mark.parametrize(("practice", "alone"), [(Practice.ISO, 3), (Practice.ABYC, 2)])
def test_few_conductors_lie_as_if_alone(practice, alone):
    """Up to three (ISO 13297) or two (ABYC E-11) bear what the table says; one more bears 70 % of it."""
    assert [bundle_factor(practice, count) for count in (1, alone, alone + 1)] == [1.0, 1.0, 0.7]
