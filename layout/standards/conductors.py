"""Copper conductors: areas of the metric sizes and of both gauges, and resistance at a temperature.

Cable sold by gauge number comes in two areas: AWG by ASTM B258, and the thinner SAE sizes of the same numbers.
"""

from __future__ import annotations

import math
from enum import StrEnum
from functools import cache
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.standards.tables import all_tables, rows

if TYPE_CHECKING:
    from layout.quantity import WireSize

MM2_PER_CIRCULAR_MIL = math.pi / 4 * 0.0254**2
"""Area of a circle of one thousandth of an inch diameter, mm2."""

LAY_FACTOR = 1.02
"""Extra length of stranded against solid wire: ratio of the two columns of NEC Chapter 9 Table 8."""

TINNED_FACTOR = 1.04
"""Resistance of tinned against plain strands of gauge wire: coated column of NEC Chapter 9 Table 8, from memory."""


class Series(StrEnum):
    """Range of sizes that a project buys."""

    METRIC = "metric"
    AWG = "awg"
    SAE = "sae"


@dataclass(frozen=True, slots=True, kw_only=True)
class ConductorSize:
    """One size that can be bought, by its series; ``area_mm2`` is the copper that stands in the formulas.

    An AWG size may be counted with the thinner SAE area of its number; it is printed as AWG all the same.
    """

    series: Series
    area_mm2: float
    gauge: str | None = None

    def __str__(self) -> str:
        if self.gauge is None:
            return f"{self.area_mm2:g} mm²"
        return f"{self.gauge} AWG" if self.series is Series.AWG else f"{self.gauge} SAE"


def gauge_number(gauge: str) -> int:
    """Return the number that stands for a gauge in the formula: ``"14"`` is 14, ``"2/0"`` is -1.

    Raises
    ------
    ValueError
        If the gauge is not one of 4/0 to 40.
    """
    text = gauge.strip()
    try:
        number = 1 - int(text.removesuffix("/0")) if text.endswith("/0") else int(text)
    except ValueError:
        raise ValueError(f"'{gauge}' is no gauge; write one like 14 or 2/0") from None
    if not -3 <= number <= 40 or (text.endswith("/0") and number > 0):
        raise ValueError(f"gauge {gauge} is outside 4/0 to 40")
    return number


def gauge_diameter_mm(gauge: str) -> float:
    """Return the diameter of solid wire of an AWG number, mm: ``0.127 * 92 ** ((36 - n) / 39)`` (ASTM B258)."""
    return float(0.127 * 92 ** ((36 - gauge_number(gauge)) / 39))


def gauge_area_mm2(gauge: str) -> float:
    """Return the area of an AWG number, mm2 (ASTM B258)."""
    return math.pi / 4 * gauge_diameter_mm(gauge) ** 2


def sae_area_mm2(gauge: str) -> float | None:
    """Return the least area of an SAE size (J378, J1128), mm2; None where there is no such size (3 SAE)."""
    mils = all_tables("conductors")["awg_geometry"]["sae_minimum_circular_mils"]["values"].get(gauge)
    return None if mils is None else mils * MM2_PER_CIRCULAR_MIL


@cache
def sizes(series: Series) -> tuple[ConductorSize, ...]:
    """Return the sizes of a series that carry power, thin to thick.

    Metric as IEC 60228 up to 150 mm2 (where the ampacity table ends), gauges 18 to 4/0.
    """
    if series is Series.METRIC:
        areas = [float(row["area_mm2"]) for row in rows("conductors", "iec_60228_class5_flexible")]
        return tuple(ConductorSize(series=series, area_mm2=area) for area in areas if 0.75 <= area <= 150)
    gauges = [str(row["awg"]) for row in rows("ampacity", "cfr_33_183_425_table5")]
    found = [(gauge, gauge_area_mm2(gauge) if series is Series.AWG else sae_area_mm2(gauge)) for gauge in gauges]
    return tuple(ConductorSize(series=series, gauge=gauge, area_mm2=area) for gauge, area in found if area is not None)


def size_of(
    *, area_mm2: float | None = None, gauge: str | None = None, series: Series = Series.METRIC
) -> ConductorSize:
    """Return the size that a project or a handbook names.

    Raises
    ------
    ValueError
        If neither or both of area and gauge are given, or there is no such gauge in the series.
    """
    if area_mm2 is not None and gauge is None:
        if not area_mm2 > 0:
            raise ValueError(f"area_mm2 must be more than 0, got {area_mm2}")
        return ConductorSize(series=Series.METRIC, area_mm2=area_mm2)
    if gauge is None or area_mm2 is not None:
        raise ValueError("a size is given by area_mm2 or by gauge, one of the two")
    area = sae_area_mm2(gauge) if series is Series.SAE else gauge_area_mm2(gauge)
    if area is None:
        raise ValueError(f"there is no {gauge} in the SAE sizes")
    return ConductorSize(series=Series.SAE if series is Series.SAE else Series.AWG, gauge=gauge, area_mm2=area)


def least_area_mm2(size: WireSize) -> float:
    """Return the copper of a written size, mm2; of a gauge the thinner of the two areas that its number is sold in."""
    return size.area_mm2 or sae_area_mm2(size.gauge or "") or gauge_area_mm2(size.gauge or "")


def temperature_factor(temperature_c: float) -> float:
    """Return copper's resistance at a temperature against 20 C: ``1 + 0.00393 * (T - 20)`` (IEC 60028)."""
    alpha: float = all_tables("conductors")["copper_temperature"]["alpha_20_per_K"]
    return 1 + alpha * (temperature_c - 20)


def resistance_ohm_per_km(
    size: ConductorSize, *, temperature_c: float = 20.0, tinned: bool = True, strand_class: int = 5
) -> float:
    """Return the resistance of one conductor, ohm per kilometre.

    Parameters
    ----------
    size
        A metric size of IEC 60228 takes its greatest resistance; any other is computed from its copper area
        (IEC 60028 annealed copper, 2 % for the lay, 4 % more where tinned), as ASTM gauges are.
    temperature_c
        Of the conductor, not of the air.
    tinned, strand_class
        Column and table of IEC 60228: class 5 flexible or class 2 stranded.

    Raises
    ------
    ValueError
        If the class is neither 2 nor 5.
    """
    table = {5: "iec_60228_class5_flexible", 2: "iec_60228_class2_stranded"}.get(strand_class)
    if table is None:
        raise ValueError(f"strand_class must be 2 or 5, got {strand_class}")
    cold = _tabled(table, tinned=tinned).get(size.area_mm2) if size.series is Series.METRIC else None
    if cold is None:
        rho: float = all_tables("conductors")["copper_temperature"]["resistivity_20C_ohm_mm2_per_m"]
        cold = 1000 * rho * LAY_FACTOR * (TINNED_FACTOR if tinned else 1.0) / size.area_mm2
        if size.series is Series.METRIC:
            cold = max(cold, _between(table, size.area_mm2, tinned=tinned))
    return cold * temperature_factor(temperature_c)


@cache
def _tabled(table: str, *, tinned: bool) -> dict[float, float]:
    column = "tinned" if tinned else "plain"
    return {float(row["area_mm2"]): float(row[column]) for row in rows("conductors", table)}


def _between(table: str, area_mm2: float, *, tinned: bool) -> float:
    """Scale the row below by area: a metric size outside the table is no better made than its neighbour."""
    known = _tabled(table, tinned=tinned)
    nearest = max((area for area in known if area <= area_mm2), default=min(known))
    return known[nearest] * nearest / area_mm2
