"""Overcurrent protection: standard ratings, rating against ampacity, breaking capacity that a practice asks for."""

from __future__ import annotations

import re
from enum import StrEnum
from functools import cache

from layout.light_dataclass import dataclass
from layout.standards.ampacity import LOW_VOLTAGE_V
from layout.standards.tables import all_tables


class DeviceSeries(StrEnum):
    """Range of standard ratings that a protective device is made in."""

    NEC = "nec_240_6"
    MINIATURE_BREAKER = "iec_60898_miniature_breaker"
    BLADE_FUSE = "iso_8820_3_blade_fuse"
    CARTRIDGE = "iec_60127_cartridge"
    DC_LINK_FUSE = "large_dc_link_fuse"
    PANEL_BREAKER = "panel_breaker_hydraulic_magnetic"


class RatingRule(StrEnum):
    """How far a rating may exceed what the conductor bears."""

    STRICT = "strict"
    """Not at all (ISO); the default of a careful tool in both practices."""
    NEXT_SIZE = "next size"
    """Next standard rating up where ampacity is not one, never over 150 % (ABYC E-11, 46 CFR 183.380)."""
    FLAT_150 = "150 %"
    """150 % below 50 V (33 CFR 183.455(c)); from 50 V as ``NEXT_SIZE``."""


_MARGIN = 1.5
"""Ceiling of both looser rules, against the ampacity."""

CONTINUOUS_SHARE = 0.8
"""Share of its rating that a device carries continuously (NEC 210.20(A), from memory)."""


def rating_needed_a(current_a: float, *, continuous: bool) -> float:
    """Return the least rating that carries a current, A; one that flows for hours is at most 80 % of it."""
    return current_a / CONTINUOUS_SHARE if continuous else current_a


@cache
def standard_ratings_a(series: DeviceSeries) -> tuple[float, ...]:
    """Return the ratings of a range, A, low to high."""
    found = all_tables("protection")["standard_ratings"][series.value]
    return tuple(sorted({float(a) for a in (*found["amps"], *found.get("extra_fuse_amps", ()))}))


def least_rating_a(series: DeviceSeries, current_a: float, *, continuous: bool = False) -> float | None:
    """Return the lowest standard rating that carries a current; None where the range ends below it."""
    need = rating_needed_a(current_a, continuous=continuous)
    return next((rating for rating in standard_ratings_a(series) if rating >= need - 1e-9), None)


def rating_limit_a(
    ampacity_a: float, *, rule: RatingRule, voltage_v: float = 12.0, ratings: tuple[float, ...] = ()
) -> float:
    """Return the highest rating that a rule allows on a conductor, A.

    Parameters
    ----------
    ampacity_a
        With the factors for hot space and bundle in it.
    rule, voltage_v
        See ``RatingRule``.
    ratings
        Standard ratings to be had; needed to find the next size up.
    """
    ceiling = _MARGIN * ampacity_a
    if rule is RatingRule.STRICT:
        return ampacity_a
    if rule is RatingRule.FLAT_150 and voltage_v < LOW_VOLTAGE_V:
        return ceiling
    if any(abs(rating - ampacity_a) < 1e-9 for rating in ratings):
        return ampacity_a
    above = min((rating for rating in ratings if rating > ampacity_a), default=ampacity_a)
    return above if above <= ceiling + 1e-9 else ampacity_a


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakingCapacity:
    """Least breaking capacity by table, A: of the first device after the source, and of all later ones."""

    main_a: float
    branch_a: float
    source: str


def breaking_capacity_dc(cranking_a: float, *, nominal_v: float) -> BreakingCapacity:
    """Return what ABYC E-11 Table V-A asks of devices on a battery, by its total cold cranking amperes.

    The table has 12 V and 24 V (read) and 32 V (from memory); 48 V takes the 32 V rows, which are not lower.

    Raises
    ------
    ValueError
        If the cranking amperes are not more than 0.
    """
    if not cranking_a > 0:
        raise ValueError(f"cranking_a must be more than 0, got {cranking_a}")
    found = all_tables("protection")["interrupting_capacity"]
    table = found["dc"] if nominal_v <= 24 else found["dc_32V"]
    rows = table["rows"]
    row = next((row for row in rows if cranking_a <= _upper(str(row[0]))), rows[-1])
    return BreakingCapacity(main_a=float(row[1]), branch_a=float(row[2]), source=str(table["source"]))


def _upper(band: str) -> float:
    """Return the last number of a band; the open band ("over 1100") comes last and takes what no other does."""
    return float(re.findall(r"\d+", band)[-1])


LITHIUM_CLASS_A = 20_000.0
"""Breaking capacity taken for a lithium bank whose maker gives no figure (newer ABYC E-11, from memory)."""


def breaking_capacity_ac_shore() -> BreakingCapacity:
    """Return ABYC E-11 Table V-B for 120 V shore supplies; both of its rows are alike."""
    table = all_tables("protection")["interrupting_capacity"]["ac_120V_shore"]
    row = table["rows"][0]
    return BreakingCapacity(main_a=float(row["main_A"]), branch_a=float(row["branch_A"]), source=str(table["source"]))
