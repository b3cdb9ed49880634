"""Examples as handbooks for small craft work them, written from memory and reckoned here by hand, step by step."""

from __future__ import annotations

import pytest

from layout.energy.bank import charge_hours
from layout.network.antenna import loss_db
from layout.standards.ampacity import ampacity
from layout.standards.conductors import Series, size_of, sizes
from layout.standards.conduit import circle_mm2, fill_limit_percent, jams
from layout.standards.tables import Practice
from layout.wiring.sizing.conductor_size import Criterion, Demand, choose_size
from layout.wiring.sizing.drop import Copper, drop
from layout.wiring.system.device_faults import device_faults
from layout.wiring.system.graph import System
from layout.wiring.system.infeeds import internal_ohm
from tests.wiring.laws.fault_systems import battery, guard, node, posts, wire


def metric(area_mm2):
    """Return a metric size."""
    return size_of(area_mm2=area_mm2)


def gauge(number):
    """Return a gauge of ASTM area."""
    return size_of(gauge=number, series=Series.AWG)


def test_a_fan_six_metres_away():
    """10 A, 6 m out and 6 m back on 2.5 mm2: 0.0164 x 10 x 12 / 2.5 = 0.787 V, 6.6 % of 12 V."""
    found = drop(metric(2.5), practice=Practice.ISO, copper=Copper(), current_a=10, loop_m=12)
    assert found.formula_v == pytest.approx(0.7872)
    assert found.copper_v == pytest.approx(10 * 12 * 8.21e-3 * (1 + 0.00393 * 30))  # tinned class 5 at 50 C


def test_a_windlass_takes_the_next_size_because_copper_is_warm():
    """80 A over 20 m at 12 V, 10 %: the formula asks for 21.9 mm2, so 25; warm copper drops 1.42 V on that, so 35."""
    asked = Demand(
        practice=Practice.ISO, current_a=80, loop_m=20, allowed_v=1.2, nominal_v=12, protection_a=100, insulation_c=105
    )
    found = choose_size(asked, sizes(Series.METRIC))
    assert found.verdict.size.area_mm2 == 35
    assert found.governing is Criterion.DROP
    assert 0.0164 * 80 * 20 / 25 < 1.2 < 80 * 20 * 0.795e-3 * (1 + 0.00393 * 30)


def test_a_pump_by_circular_mils():
    """15 A over 40 ft there and back at 12 V, 3 %: 10.75 x 15 x 40 / 0.36 = 17917 CM: 6 AWG (26240), not 8 (16510)."""
    asked = Demand(
        practice=Practice.ABYC, current_a=15, loop_m=40 * 0.3048, allowed_v=0.36, nominal_v=12, protection_a=20,
        insulation_c=105, copper=Copper(temperature_c=20, tinned=False),
    )  # fmt: skip
    assert choose_size(asked, sizes(Series.AWG)).verdict.size.gauge == "6"


@pytest.mark.parametrize(
    ("size", "practice", "place", "conductors", "amps"),
    [
        (gauge("14"), Practice.ABYC, (105, True), 3, 35 * 0.85 * 0.7),
        (gauge("8"), Practice.ABYC, (75, True), 7, 65 * 0.75 * 0.5),
        (gauge("10"), Practice.ABYC, (105, False), 2, 60),
        (metric(6), Practice.ISO, (105, True), 5, 60 * 0.86 * 0.7),
    ],
)
def test_hot_space_and_bundle_multiply(size, practice, place, conductors, amps):
    """Cell of the table, times the factor of its own hot space, times the factor of the bundle."""
    insulation_c, hot = place
    found = ampacity(size, practice=practice, insulation_c=insulation_c, hot_space=hot, conductors=conductors)
    assert found.current_a == pytest.approx(amps)


def test_three_sizes_in_one_conduit():
    """Four of 3.6, two of 5.2 and one of 8.6 mm in 25 mm: (4 x 3.6^2 + 2 x 5.2^2 + 8.6^2) / 25^2 = 28.8 %, under 40."""
    area = 4 * circle_mm2(3.6) + 2 * circle_mm2(5.2) + circle_mm2(8.6)
    percent = 100 * area / circle_mm2(25)
    assert percent == pytest.approx(100 * (4 * 3.6**2 + 2 * 5.2**2 + 8.6**2) / 625)
    assert percent < fill_limit_percent(7) == 40


def test_three_equal_cables_jam_near_a_third_of_the_bore():
    """25 over 8.4 is 2.98, between 2.8 and 3.2; 20 over 8.4 is not, nor do two cables jam."""
    assert jams(25.0, (8.4, 8.4, 8.4))
    assert not jams(20.0, (8.4, 8.4, 8.4))
    assert not jams(25.0, (8.4, 8.4))


def test_two_banks_and_an_alternator_into_one_short():
    """12.8 V over 4 + 2 and over 6 + 2 milliohm are 2133 and 1600 A; the alternator adds its 60 A and no more."""
    sources = (
        battery("four", ohm=0.004),
        battery("six", ohm=0.006),
        battery("alternator", kind="alternator", limit_a=60.0),
    )
    system = System(
        nodes=(*posts(*sources), node("bar/+", "+"), node("bar/-", "-"), node("way/+", "+", "way")),
        conductors=tuple(
            conductor
            for source in sources
            for conductor in (wire(source.live, "bar/+", "+", 0.001), wire(source.back, "bar/-", "-", 0.001))
        ),
        guards=(guard("bar/+", "way/+", "+"),),
        sources=sources,
    )
    highest = device_faults(system)["bar/+|way/+"].highest_a
    assert highest == pytest.approx(12.8 / 0.006 + 12.8 / 0.008 + 60, rel=1e-3)


def test_cranking_amperes_say_the_resistance():
    """600 A at 7.2 V from 12.8 V open: 5.6 V over 600 A, 9.3 milliohm."""
    assert internal_ohm(nominal_v=12, cranking_a=600) == pytest.approx(5.6 / 600)


def test_a_lead_of_twenty_metres():
    """20 m of 8.9 dB per 100 m and two connections of 0.25 dB: 2.28 dB, so 59 % of the power arrives."""
    loss = loss_db(db_per_100m=8.9, length_mm=20_000, connectors=2, connector_db=0.25)
    assert loss == pytest.approx(2.28)
    assert 10 ** (-loss / 10) == pytest.approx(0.592, abs=0.001)


def test_filling_half_a_bank():
    """110 Ah at 85 % with 30 A while 2 A are drawn: 110 / (0.85 x 28) = 4.6 h; at 2 A it never fills."""
    assert charge_hours(110, efficiency=0.85, current_a=30, drawn_a=2) == pytest.approx(110 / (0.85 * 28))
    assert charge_hours(110, efficiency=0.85, current_a=2, drawn_a=2) is None
