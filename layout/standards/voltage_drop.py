"""Voltage drop by the formula of each practice, and the limits.

Every length is the round trip, out and back. Drop from the resistance of real copper stands in ``wiring/drop.py``.
"""

from __future__ import annotations

from enum import StrEnum

from layout.standards.conductors import MM2_PER_CIRCULAR_MIL
from layout.standards.tables import Practice, all_tables

METRES_PER_FOOT = 0.3048


class Criticality(StrEnum):
    """Whether a circuit's drop matters: 3 % or 10 % of nominal."""

    CRITICAL = "critical"
    NON_CRITICAL = "non critical"


def resistivity_ohm_mm2_per_m(practice: Practice) -> float:
    """Return the figure that stands in a practice's formula: 0.0164 (ISO) or 10.75 ohm circular mil per foot (ABYC)."""
    if practice is Practice.ISO:
        value: float = all_tables("voltage_drop")["iso_formula"]["resistivity_ohm_mm2_per_m"]
        return value
    k: float = all_tables("voltage_drop")["abyc_formula"]["k_ohm_cm_per_ft"]
    return k * MM2_PER_CIRCULAR_MIL / METRES_PER_FOOT


def drop_v(practice: Practice, *, current_a: float, round_trip_m: float, area_mm2: float) -> float:
    """Return the drop by a practice's formula, V.

    ISO 10133 Annex A: ``E = 0.0164 * I * L / S``. ABYC E-11: ``CM = 10.75 * I * L / E`` solved for E.

    Raises
    ------
    ValueError
        If the area is not more than 0.
    """
    if not area_mm2 > 0:
        raise ValueError(f"area_mm2 must be more than 0, got {area_mm2}")
    return resistivity_ohm_mm2_per_m(practice) * current_a * round_trip_m / area_mm2


def area_mm2(practice: Practice, *, current_a: float, round_trip_m: float, allowed_v: float) -> float:
    """Return the least area by a practice's formula, mm2; the next larger size is to be taken.

    Raises
    ------
    ValueError
        If the allowed drop is not more than 0.
    """
    if not allowed_v > 0:
        raise ValueError(f"allowed_v must be more than 0, got {allowed_v}")
    return resistivity_ohm_mm2_per_m(practice) * current_a * round_trip_m / allowed_v


def drop_limit_percent(criticality: Criticality) -> float:
    """Return the greatest drop as percent of nominal, from the battery's post to the load and back."""
    limits = all_tables("voltage_drop")["limits"]
    return float(limits["critical_percent" if criticality is Criticality.CRITICAL else "non_critical_percent"])


def ac_limit_percent(*, lighting: bool) -> float:
    """Return the greatest AC drop as percent of nominal (IEC 60364-5-52 Annex G, from memory)."""
    return float(all_tables("voltage_drop")["ac_limits"]["lighting_percent" if lighting else "other_percent"])
