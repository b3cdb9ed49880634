"""Typical outer diameters and copper weight, where a project gives no figures of its own."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.standards.conductors import gauge_area_mm2
from layout.standards.tables import Basis, all_tables, rows

if TYPE_CHECKING:
    from layout.standards.conductors import ConductorSize


@dataclass(frozen=True, slots=True, kw_only=True)
class OuterDiameter:
    """Outer diameter of a single core, mm; typical, and to be confirmed by the maker's figure."""

    od_mm: float
    source: str
    basis: Basis


def single_core_od(size: ConductorSize) -> OuterDiameter | None:
    """Return the typical diameter of a single core; None where no table reaches that far.

    A gauge takes the boat-cable row, a metric size the class 5 row; between rows the next larger counts.
    """
    curve, source = _by_gauge() if size.gauge is not None else _by_area()
    found = next((od for known, od in curve if known >= size.area_mm2 * 0.9999), None)
    return None if found is None else OuterDiameter(od_mm=found, source=source, basis=Basis.MEMORY)


@cache
def _by_gauge() -> tuple[tuple[tuple[float, float], ...], str]:
    table = all_tables("conduit")["boat_cable_od_typical"]
    curve = tuple((gauge_area_mm2(row["awg"]), float(row["od"])) for row in table["rows"])
    return curve, str(table["source"])


@cache
def _by_area() -> tuple[tuple[tuple[float, float], ...], str]:
    curve = tuple((float(r["area_mm2"]), float(r["od_mm"])) for r in rows("cable_kinds", "single_core_metric_od"))
    return curve, str(all_tables("cable_kinds")["single_core_metric_od"]["source"])


def copper_kg(area_mm2: float, length_m: float) -> float:
    """Return the mass of copper in one conductor, kg (IEC 60028, 8.89 g/cm3)."""
    density: float = all_tables("cable_kinds")["copper_density"]["kg_per_m_per_mm2"]
    return density * area_mm2 * length_m
