"""How far from its source a protective device may stand, measured along the conductor."""

from __future__ import annotations

from enum import StrEnum
from typing import Any

from layout.light_dataclass import dataclass
from layout.standards.tables import Basis, Practice, all_tables


class SourceKind(StrEnum):
    """What the unprotected conductor starts from."""

    BATTERY = "battery"
    CHARGING = "charging source"
    OTHER = "other point of supply"
    AC = "ac source"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceLimit:
    """Greatest length of unprotected conductor, mm; None where there is no figure, only the enclosure rule."""

    max_mm: float | None
    rule: str
    source: str
    basis: Basis


def place_limit(practice: Practice, source: SourceKind, *, sheathed: bool, federal: bool = True) -> PlaceLimit:
    """Return the greatest distance of a protective device from its source.

    Parameters
    ----------
    practice
        Whose clause counts.
    source
        Where the conductor starts.
    sheathed
        In sheath, conduit or enclosure over the whole distance.
    federal
        Under ABYC, take 33 CFR 183.455(b) as well, which has no 72 in case: the safer of the two.
    """
    if practice is Practice.ISO:
        return _iso(source, sheathed=sheathed)
    return _abyc(source, sheathed=sheathed, federal=federal)


def _iso(source: SourceKind, *, sheathed: bool) -> PlaceLimit:
    place = all_tables("protection")["placement"]
    if source is SourceKind.CHARGING:
        found = place["iso_charging_source"]
        return PlaceLimit(max_mm=float(found["max_mm"]), rule=found["rule"], source=found["source"], basis=Basis.READ)
    if source is SourceKind.AC:
        found = place["iso_ac"]
        most = None if sheathed else 500.0
        return PlaceLimit(max_mm=most, rule=found["rules"][0], source=found["source"], basis=Basis.READ)
    found = place["iso_dc"]
    most = None if sheathed else float(found["max_mm"])
    return PlaceLimit(max_mm=most, rule=found["otherwise"], source=found["source"], basis=Basis.MEMORY)


def _abyc(source: SourceKind, *, sheathed: bool, federal: bool) -> PlaceLimit:
    place = all_tables("protection")["placement"]
    if source is SourceKind.AC:
        rules = place["abyc_ac"]["rules"]
        row = rules[1 if sheathed else 0]
        return _made({**row, "max_mm": row["max_in"] * 25.4}, place["abyc_ac"]["source"])
    bare, enclosed, battery = place["abyc_dc"]["rules"]
    if not sheathed:
        return _made(bare, place["abyc_dc"]["source"])
    if source is SourceKind.BATTERY and not federal:
        return _made(battery, place["abyc_dc"]["source"])
    if federal:
        row = place["cfr"]["rules"][2]
        return _made({**row, "max_mm": row["max_in"] * 25.4}, place["cfr"]["source"])
    return _made(enclosed, place["abyc_dc"]["source"])


def _made(row: dict[str, Any], source: str) -> PlaceLimit:
    return PlaceLimit(max_mm=float(row["max_mm"]), rule=str(row["case"]), source=source, basis=Basis.READ)


SHORE_INLET_MAX_MM = 3048.0
"""Main shore breaker within 10 ft of the inlet along the conductor (ABYC E-11, from memory)."""
