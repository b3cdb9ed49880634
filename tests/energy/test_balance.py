"""The energy sheet against examples worked by hand; the arithmetic is watts times hours and stands beside each."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.energy import energy_balance
from layout.project.model.circuits import Circuit, Load
from layout.project.model.energy import Bank, ChargingSource, Conversion, Energy, Running, Situation, Use
from layout.project.model.keys import End
from tests.energy.make import SOLAR, boat, day


def rules(sheet):
    """Return the codes of a sheet's findings."""
    return {finding.rule for finding in sheet.findings}


def house(sheet):
    """Return the house bank of the only situation."""
    return sheet.situations[0].banks[0]


IDLE = 24.0 * 1.0
"""The converter's standby of 1 W goes on all day, whatever is used: 24 Wh."""


def test_plain_load():
    """24 W for 5 h is 120 Wh, from the bank as it is, besides the converter's standby."""
    sheet = energy_balance(boat(day({"lamp": Use(hours=5.0)})))
    (row,) = sheet.situations[0].use.uses
    assert row.load_wh == pytest.approx(120.0)
    assert house(sheet).drawn_wh == pytest.approx(120.0 + IDLE)
    assert sheet.findings == ()


def test_load_in_amperes_with_duty():
    """5 A at 12 V for 2 h at 30 % duty is 36 Wh."""
    sheet = energy_balance(boat(day({"pump": Use(hours=2.0, duty=0.3)})))
    assert house(sheet).drawn_wh == pytest.approx(5 * 12 * 2 * 0.3 + IDLE)


def test_standby_in_the_rest_of_the_day():
    """0.1 A standby for the 20 h that are left at 12 V adds 24 Wh."""
    sheet = energy_balance(boat(day({"lamp": Use(hours=4.0, standby=0.1)})))
    assert house(sheet).drawn_wh == pytest.approx(24 * 4 + 0.1 * 12 * 20 + IDLE)


def test_through_a_converter():
    """2 A at 24 V for 3 h is 144 Wh at the load, 180 Wh at the converter's input at 80 %, and 24 Wh of standby."""
    sheet = energy_balance(boat(day({"radar": Use(hours=3.0)})))
    (row,) = sheet.situations[0].use.uses
    up = next(c for c in sheet.situations[0].use.conversions if c.id == "up")
    assert (row.system, row.bank, row.through) == ("up", "house", ("up",))
    assert row.bank_wh == pytest.approx(144 / 0.8)
    assert up.in_wh == pytest.approx(180.0 + 24.0)
    assert house(sheet).drawn_wh == pytest.approx(204.0)


def test_through_an_inverter():
    """60 W for 6 h through an inverter of 90 % takes 400 Wh from the bank."""
    sheet = energy_balance(boat(day({"laptop": Use(hours=6.0)})))
    assert house(sheet).drawn_wh == pytest.approx(400.0 + IDLE)


def test_shore_is_no_bank():
    """What shore feeds costs the bank nothing, and is still listed."""
    sheet = energy_balance(boat(day({"heater": Use(hours=6.0)})))
    (row,) = sheet.situations[0].use.uses
    assert (row.load_wh, row.bank, row.bank_wh) == (pytest.approx(6000.0), None, None)
    assert house(sheet).drawn_wh == pytest.approx(IDLE)


def test_autonomy():
    """200 Ah at 12 V to 50 % is 1200 Wh; 10 h of 24 W and the standby take 264 Wh a day: 109.1 h."""
    sheet = energy_balance(boat(day({"lamp": Use(hours=10.0)})))
    assert house(sheet).usable_wh == pytest.approx(1200.0)
    assert house(sheet).autonomy_h == pytest.approx(24 * 1200 / 264)


def test_solar_covers_part_of_the_day():
    """100 W x 4 h x 75 % is 300 Wh; at 80 % charge efficiency 240 Wh; against 504 Wh the bank loses 264 Wh a day."""
    sheet = energy_balance(boat(day({"lamp": Use(hours=20.0)}), charging={"sun": SOLAR}))
    bank = house(sheet)
    assert bank.brought_wh == pytest.approx(300.0)
    assert bank.net_wh == pytest.approx(-264.0)
    assert bank.days_left == pytest.approx(1200 / 264)
    assert "day 7" in rules(sheet)


def test_charge_time():
    """100 Ah usable, 40 A alternator, 1 A drawn on average, 80 % efficiency: 100 / (0.8 x 39) = 3.205 h."""
    lamp = Use(hours=11.0)  # 24 W x 11 h + 24 Wh = 288 Wh = 24 Ah a day = 1 A
    yields = {"engine": ChargingSource(kind="alternator", supply="alternator", bank="house", current=40.0)}
    sheet = energy_balance(boat(day({"lamp": lamp}, sources={"engine": Running(hours=2.0)}), charging=yields))
    (charging,) = house(sheet).charging
    assert charging.hours == pytest.approx(100 / (0.8 * 39))
    assert house(sheet).brought_wh == pytest.approx(40 * 12 * 2)


def test_day_adds_up_hour_by_hour():
    """The hours of the chart add up to the day, at the bank and for each source."""
    uses = {"lamp": Use(between=("20:00-06:30",)), "radar": Use(hours=3.0), "laptop": Use(hours=2.0, duty=0.5)}
    sheet = energy_balance(boat(day(uses), charging={"sun": SOLAR}))
    systems = sheet.situations[0].use.by_hour_w["house"]
    assert sum(sum(profile) for profile in systems.values()) == pytest.approx(house(sheet).drawn_wh)
    assert sum(sheet.situations[0].charging[0].by_hour_w) == pytest.approx(300.0)


def test_charge_never_passes_full():
    """A source larger than the load leaves the bank full, not above."""
    yields = {"engine": ChargingSource(kind="alternator", supply="alternator", bank="house", current=90.0)}
    sheet = energy_balance(
        boat(day({"lamp": Use(hours=24.0)}, sources={"engine": Running(between=("10:00-16:00",))}), charging=yields)
    )
    assert max(house(sheet).state) == pytest.approx(1.0)
    assert min(house(sheet).state) < 1.0


EMPTY = Circuit(id="mystery", name="Mystery", from_=End.read("dc12/3"), to=End.read("x"), purpose="other")
STRONG = Circuit(
    id="crane", name="Crane", from_=End.read("dc24/2"), to=End.read("x"), purpose="motor", load=Load(power=200.0)
)
LOST = Circuit(
    id="lost", name="Lost", from_=End.read("nowhere/1"), to=End.read("x"), purpose="other", load=Load(power=1.0)
)
LAMP = {"lamp": Use(hours=5.0)}
ENGINE = {"engine": ChargingSource(kind="alternator", supply="alternator", bank="house", current=60.0)}

CASES = {
    "circuit not listed": ("day 1", boat(Situation(id="day", uses={}, off=("pump", "radar", "laptop", "heater")))),
    "load unknown": ("day 2", boat(day({"mystery": Use(hours=1.0)}), circuits={"mystery": EMPTY})),
    "efficiency unknown": ("day 3", boat(day({"radar": Use(hours=1.0)}), conversions={
        "up": Conversion(standby=0.0), "inverter": Conversion(efficiency=0.9, standby=0.0)})),
    "bank too small": ("day 4", boat(day({"pump": Use(hours=20.0)}), banks={
        "house": Bank(usable=0.5, charge_efficiency=0.8, autonomy=48.0)})),
    "converter too weak": ("day 5", boat(day({"crane": Use(hours=0.2)}), circuits={"crane": STRONG})),
    "bank not stated": ("day 6", boat(day(LAMP), banks={})),
    "day in deficit": ("day 7", boat(day(LAMP), charging={"sun": ChargingSource(
        kind="solar", supply="alternator", bank="house", peak=10.0, sun_hours=1.0, efficiency=0.5)})),
    "solar without efficiency": ("day 9", boat(day(LAMP), charging={"sun": ChargingSource(
        kind="solar", supply="alternator", bank="house", peak=100.0, sun_hours=4.0)})),
    "source not stated": ("day 10", boat(day(LAMP), charging=ENGINE)),
    "no supply behind it": ("day 11", boat(day({"lost": Use(hours=1.0)}), circuits={"lost": LOST})),
    "charged too fast": ("day 12", boat(day(LAMP, sources={"engine": Running(hours=2.0)}), charging=ENGINE, banks={
        "house": Bank(usable=0.5, charge_efficiency=0.8, largest_charge=40.0)})),
    "never fills": ("day 13", boat(day({"pump": Use(hours=24.0)}, sources={"e": Running(hours=24.0)}), charging={
        "e": ChargingSource(kind="charger", supply="alternator", bank="house", current=3.0)})),
    "deep discharge": ("day 14", boat(day(LAMP), banks={"house": Bank(usable=0.8, charge_efficiency=0.8)})),
    "charge efficiency unknown": ("day 15", boat(
        day(LAMP, sources={"engine": Running(hours=2.0)}), charging=ENGINE, banks={"house": Bank(usable=0.5)})),
    "standby unknown": ("day 16", boat(day(LAMP), conversions={"up": Conversion(efficiency=0.8)})),
}  # fmt: skip


@pytest.mark.parametrize(("rule", "project"), CASES.values(), ids=CASES)
def test_rule_catches(rule, project):
    """A boat that breaks a rule is found by it."""
    assert rule in rules(energy_balance(project))


def test_rating_unknown():
    """A converter with neither rating nor output current is found."""
    made = boat(day({"radar": Use(hours=1.0)}))
    weak = {**made.supplies, "up": replace(made.supplies["up"], current=None)}
    assert "day 8" in rules(energy_balance(replace(made, supplies=weak)))


def test_unknown_load_is_never_nothing():
    """With a load unknown or not listed the day is unknown and no autonomy is promised."""
    for case in ("circuit not listed", "load unknown", "efficiency unknown", "standby unknown"):
        bank = house(energy_balance(CASES[case][1]))
        assert bank.drawn_wh is None
        assert bank.autonomy_h is None
        assert bank.net_wh is None
        assert bank.state == ()


def test_situation_may_ask_for_its_own_autonomy():
    """A situation's own autonomy goes before the bank's."""
    bank = {"house": Bank(usable=0.5, charge_efficiency=0.8, autonomy=48.0)}
    short = energy_balance(boat(day({"pump": Use(hours=20.0)}, autonomy=6.0), banks=bank))
    assert "day 4" not in rules(short)


def test_no_energy_no_sheet():
    """A project that declares no energy has an empty sheet and no findings."""
    sheet = energy_balance(replace(boat(day({})), energy=None))
    assert (sheet.situations, sheet.heat, sheet.findings) == ((), (), ())
    assert energy_balance(replace(boat(day({})), energy=Energy())).findings == ()


@given(hours=st.floats(0, 23), more=st.floats(0, 1), duty=st.floats(0, 1))
def test_longer_use_never_draws_less(hours, more, duty):
    """Using a load for longer never draws less, and never lasts longer."""
    short, long = (house(energy_balance(boat(day({"radar": Use(hours=h, duty=duty)})))) for h in (hours, hours + more))
    assert long.drawn_wh >= short.drawn_wh - 1e-9
    assert long.autonomy_h <= short.autonomy_h + 1e-9


@given(efficiency=st.floats(0.3, 1.0))
def test_converter_never_gives_more_than_it_takes(efficiency):
    """Whatever its efficiency, a converter takes at least what it gives."""
    conversions = {
        "up": Conversion(efficiency=efficiency, standby=0.0), "inverter": Conversion(efficiency=1.0, standby=0.0)
    }  # fmt: skip
    sheet = energy_balance(boat(day({"radar": Use(hours=2.0)}), conversions=conversions))
    up = sheet.situations[0].use.conversions[0]
    assert up.in_wh >= up.out_wh
    assert house(sheet).drawn_wh == pytest.approx(up.in_wh)
