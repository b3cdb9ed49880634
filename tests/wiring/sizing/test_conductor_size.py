"""Size by ampacity, drop, protective device and least size: published examples and laws."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.standards.conductors import Series, size_of, sizes
from layout.standards.protection import DeviceSeries, standard_ratings_a
from layout.standards.tables import Practice
from layout.wiring.sizing.conductor_size import Criterion, Demand, checked_size, choose_size, judge_size
from layout.wiring.sizing.drop import Copper

PRACTICES = st.sampled_from(list(Practice))
SERIES = st.sampled_from(list(Series))


def demand(**more):
    """Return a demand with ordinary figures where nothing else is said."""
    base = {"practice": Practice.ISO, "current_a": 6.0, "loop_m": 16.0, "allowed_v": 0.36, "nominal_v": 12.0}
    return Demand(**{**base, **more})


def chosen(**more):
    """Return the sizing of a demand over the metric series."""
    return choose_size(demand(**more), sizes(Series.METRIC))


def test_vd_ref_2_needs_more_than_2_5_mm2_when_critical():
    """vd-ref-2 (ISO formula): 6 A over 16 m round trip drop 0.63 V on 2.5 mm2: too much at 3 %, fine at 10 %."""
    verdict = judge_size(size_of(area_mm2=2.5), demand())
    assert verdict.drop.formula_v == pytest.approx(0.630, abs=5e-4)
    assert Criterion.DROP in verdict.fails
    assert Criterion.DROP not in judge_size(size_of(area_mm2=2.5), demand(allowed_v=1.2)).fails


def test_vd_ref_4_is_the_worse_of_both_formulas():
    """vd-ref-4 (IEC 60228, 50 C): 0.881 V stands beside the formula's 0.630 V, and the worse decides."""
    found = judge_size(size_of(area_mm2=2.5), demand()).drop
    assert found.copper_v == pytest.approx(0.881, abs=1e-3)
    assert found.worse_v == found.copper_v


def test_vd_ref_3_by_formula_alone():
    """vd-ref-3 (ABYC formula): 7 A over 34 ft at 3 % of 12 V takes 10 AWG, also with warm copper."""
    cold_plain = Copper(temperature_c=20, tinned=False)
    wanted = demand(practice=Practice.ABYC, current_a=7, loop_m=34 * 0.3048, copper=cold_plain)
    assert choose_size(wanted, sizes(Series.AWG)).verdict.size.gauge == "10"


def test_op_ref_1_and_2():
    """op-ref-1, op-ref-2: what 14 and 12 AWG bear, and the largest standard device (ABYC E-11, NEC 240.6)."""
    open_air = demand(practice=Practice.ABYC, insulation_c=105, conductors=2)
    bears = judge_size(size_of(gauge="14", series=Series.AWG), open_air).ampacity.current_a
    assert max(a for a in standard_ratings_a(DeviceSeries.NEC) if a <= bears) == 35
    hot = demand(practice=Practice.ABYC, insulation_c=105, conductors=5, hot_space=True)
    bears = judge_size(size_of(gauge="12", series=Series.AWG), hot).ampacity.current_a
    assert bears == pytest.approx(22.95)
    assert max(a for a in standard_ratings_a(DeviceSeries.NEC) if a <= bears) == 20


@given(practice=PRACTICES, series=SERIES, low=st.floats(0.1, 80), more=st.floats(0, 80), loop=st.floats(0, 30))
def test_more_current_never_gives_a_thinner_wire(practice, series, low, more, loop):
    """At the same length and place, more amperes take the same size or a thicker one."""
    available = sizes(series)
    thin = choose_size(demand(practice=practice, current_a=low, loop_m=loop), available)
    thick = choose_size(demand(practice=practice, current_a=low + more, loop_m=loop), available)
    if thick is not None:
        assert thin is not None
        assert thin.verdict.size.area_mm2 <= thick.verdict.size.area_mm2


@given(practice=PRACTICES, series=SERIES, amps=st.floats(0.1, 60), low=st.floats(0, 30), more=st.floats(0, 30))
def test_longer_never_gives_a_thinner_wire(practice, series, amps, low, more):
    """At the same current, a longer run takes the same size or a thicker one."""
    available = sizes(series)
    short = choose_size(demand(practice=practice, current_a=amps, loop_m=low), available)
    long = choose_size(demand(practice=practice, current_a=amps, loop_m=low + more), available)
    if long is not None:
        assert short.verdict.size.area_mm2 <= long.verdict.size.area_mm2


@given(
    practice=PRACTICES,
    series=SERIES,
    amps=st.floats(0.1, 60),
    rating=st.sampled_from([5, 10, 15, 20, 30, 50, 100]),
    place=st.fixed_dictionaries({"conductors": st.integers(1, 40), "hot_space": st.booleans()}),
)
def test_device_never_above_what_the_conductor_bears(practice, series, amps, rating, place):
    """Whatever is chosen bears its protective device's rating and its load, with all factors."""
    asked = demand(practice=practice, current_a=amps, protection_a=rating, loop_m=1.0, **place)
    found = choose_size(asked, sizes(series))
    if found is not None:
        assert found.verdict.ampacity.current_a >= max(rating, amps) - 1e-9


@given(practice=PRACTICES, series=SERIES, amps=st.floats(0.1, 90), loop=st.floats(0.1, 60))
def test_chosen_is_the_thinnest_that_passes(practice, series, amps, loop):
    """Every thinner size fails something, and the governing criterion is one the next thinner fails."""
    available = sizes(series)
    found = choose_size(demand(practice=practice, current_a=amps, loop_m=loop), available)
    if found is None:
        assert all(judge_size(size, demand(practice=practice, current_a=amps, loop_m=loop)).fails for size in available)
        return
    at = available.index(found.verdict.size)
    thinner = [judge_size(size, found.demand) for size in available[:at]]
    assert all(verdict.fails for verdict in thinner)
    if thinner:
        assert found.governing in thinner[-1].fails


def test_governing_criterion_is_named():
    """Each criterion governs where it asks for most."""
    assert chosen(current_a=6, loop_m=16).governing is Criterion.DROP
    assert chosen(current_a=30, loop_m=0.5).governing is Criterion.AMPACITY
    assert chosen(current_a=3, loop_m=0.5, protection_a=30).governing is Criterion.PROTECTION
    assert chosen(current_a=0.1, loop_m=0.5).governing is Criterion.LEAST


def test_least_sizes_differ_by_practice_and_sheath():
    """1.0 and 0.75 mm2 (ISO 10133 7.7), 16 and 18 AWG (33 CFR 183.425), also for the thinner SAE areas."""
    assert chosen(current_a=0.1, loop_m=0.1).verdict.size.area_mm2 == 1.0
    assert chosen(current_a=0.1, loop_m=0.1, in_sheath=True).verdict.size.area_mm2 == 0.75
    for series in (Series.AWG, Series.SAE):
        asked = demand(practice=Practice.ABYC, current_a=0.1, loop_m=0.1)
        assert choose_size(asked, sizes(series)).verdict.size.gauge == "16"


def test_thin_sae_cable_is_never_taken_for_a_thicker_one():
    """25 A over 20 ft at 3 % of 12 V: 8 AWG by its area, 6 by the SAE areas (ABYC E-11 Table IX, note)."""
    cold = Copper(temperature_c=20, tinned=False)
    asked = demand(practice=Practice.ABYC, current_a=25, loop_m=20 * 0.3048, copper=cold, insulation_c=105)
    assert choose_size(asked, sizes(Series.AWG)).verdict.size.gauge == "8"
    assert choose_size(asked, sizes(Series.SAE)).verdict.size.gauge == "6"


def test_given_size_is_judged_not_changed():
    """A size that is given keeps standing, with what it fails."""
    found = checked_size(demand(current_a=20), size_of(area_mm2=1.0), sizes(Series.METRIC))
    assert found.verdict.size.area_mm2 == 1.0
    assert {Criterion.DROP} <= set(found.verdict.fails)


def test_thicker_than_needed_is_said_to_be_given():
    """A size above every criterion is governed by nothing but the owner."""
    found = checked_size(demand(current_a=1, loop_m=1), size_of(area_mm2=10.0), sizes(Series.METRIC))
    assert found.governing is Criterion.GIVEN
    assert found.verdict.passes


def test_what_if_names_both_neighbours():
    """One line for the next size up and one for the next down, with what it would change."""
    found = chosen()
    up, down = found.what_if
    assert up.startswith("next size up, 16 mm²")
    assert up.endswith("meets all")
    assert down.startswith("next size down, 6 mm²")
    assert "fails voltage drop" in down


def test_hot_space_with_poor_insulation_has_no_ampacity():
    """ISO 13297 Annex A has no hot-space factor for 60 C insulation: the verdict says why."""
    found = judge_size(size_of(area_mm2=2.5), demand(insulation_c=60, hot_space=True))
    assert found.ampacity is None
    assert "hot space" in found.reason
    assert Criterion.AMPACITY in found.fails


@pytest.mark.parametrize("share", [0.999, 1.001])
@pytest.mark.parametrize(
    ("field", "limit", "criterion"),
    [
        ("allowed_v", 0.78816, Criterion.DROP),  # 6 A over 16 m of 8.21 ohm/km (IEC 60228, tinned, class 5, 20 °C)
        ("start_v", 0.78816, Criterion.START),
        ("current_a", 30.0, Criterion.AMPACITY),  # ISO 13297 Annex A, 2.5 mm2 at 90 °C
        ("protection_a", 30.0, Criterion.PROTECTION),
    ],
)
def test_each_criterion_fails_just_past_its_limit(field, limit, criterion, share):
    """2.5 mm2 at 0.1 % either side: a drop may be that much, a current that small."""
    quiet = {"allowed_v": None, "copper": Copper(temperature_c=20)}
    verdict = judge_size(size_of(area_mm2=2.5), demand(**{**quiet, field: limit * share}))
    too_far = share < 1 if field.endswith("_v") else share > 1
    assert verdict.fails == ((criterion,) if too_far else ())


def test_negative_figures_are_refused():
    """A current or length below 0 is no demand."""
    with pytest.raises(ValueError, match="current_a"):
        demand(current_a=-1)
