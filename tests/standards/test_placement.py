"""Place of protective devices against ABYC E-11, 33 CFR 183.455(b) and ISO 13297."""

from __future__ import annotations

import pytest

from layout.standards.placement import SHORE_INLET_MAX_MM, SourceKind, place_limit
from layout.standards.tables import Basis, Practice


def test_abyc_7_40_72(reference):
    """All three distances of ABYC E-11, within 1.6 % of the metres printed."""
    bare, enclosed, battery = reference("protection")["placement"]["abyc_dc"]["rules"]
    for source in (SourceKind.BATTERY, SourceKind.OTHER, SourceKind.CHARGING):
        assert place_limit(Practice.ABYC, source, sheathed=False, federal=False).max_mm == bare["max_mm"]
    found = place_limit(Practice.ABYC, SourceKind.OTHER, sheathed=True, federal=False)
    assert found.max_mm == enclosed["max_mm"]
    found = place_limit(Practice.ABYC, SourceKind.BATTERY, sheathed=True, federal=False)
    assert found.max_mm == battery["max_mm"]
    for row in (bare, enclosed, battery):
        assert row["max_in"] * 25.4 == pytest.approx(row["max_mm"])


def test_federal_rule_has_no_72(reference):
    """33 CFR 183.455(b): 7 in bare, 40 in enclosed, also at a battery."""
    _, bare, enclosed = reference("protection")["placement"]["cfr"]["rules"]
    found = place_limit(Practice.ABYC, SourceKind.BATTERY, sheathed=True)
    assert found.max_mm == pytest.approx(enclosed["max_in"] * 25.4)
    found = place_limit(Practice.ABYC, SourceKind.BATTERY, sheathed=False)
    assert found.max_mm == pytest.approx(bare["max_in"] * 25.4)


def test_iso(reference):
    """200 mm (from memory), enclosed without a figure, 1.8 m at charging sources, 500 mm on AC."""
    place = reference("protection")["placement"]
    dc = place_limit(Practice.ISO, SourceKind.BATTERY, sheathed=False)
    assert (dc.max_mm, dc.basis) == (place["iso_dc"]["max_mm"], Basis.MEMORY)
    assert place_limit(Practice.ISO, SourceKind.BATTERY, sheathed=True).max_mm is None
    charging = place_limit(Practice.ISO, SourceKind.CHARGING, sheathed=True)
    assert charging.max_mm == place["iso_charging_source"]["max_mm"]
    assert place_limit(Practice.ISO, SourceKind.AC, sheathed=False).max_mm == 500
    assert "500 mm" in place["iso_ac"]["rules"][0]


def test_abyc_ac(reference):
    """ABYC E-11 on AC: 7 in unsheathed, 40 in sheathed."""
    for sheathed, row in zip((False, True), reference("protection")["placement"]["abyc_ac"]["rules"], strict=True):
        found = place_limit(Practice.ABYC, SourceKind.AC, sheathed=sheathed)
        assert found.max_mm == pytest.approx(row["max_in"] * 25.4)


def test_shore_inlet():
    """Main shore breaker within 10 ft of the inlet (ABYC E-11, from memory)."""
    assert pytest.approx(10 * 304.8) == SHORE_INLET_MAX_MM


def test_each_limit_names_its_own_clause(reference):
    """On AC the AC clause is named, at 40 in under federal law the law, and otherwise ABYC E-11."""
    place = reference("protection")["placement"]
    for sheathed in (False, True):
        found = place_limit(Practice.ABYC, SourceKind.AC, sheathed=sheathed)
        assert found.source == place["abyc_ac"]["source"]
    for federal, key in ((True, "cfr"), (False, "abyc_dc")):
        found = place_limit(Practice.ABYC, SourceKind.OTHER, sheathed=True, federal=federal)
        assert found.source == place[key]["source"]


def test_iso_ac_enclosed_all_the_way(reference):
    """ISO 13297 gives no figure for an AC conductor that is enclosed; the rule it names is the 500 mm one."""
    found = place_limit(Practice.ISO, SourceKind.AC, sheathed=True)
    assert found.max_mm is None
    assert found.rule == reference("protection")["placement"]["iso_ac"]["rules"][0]
