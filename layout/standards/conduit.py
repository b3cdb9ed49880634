"""Conduit: fill limits, bores, cable diameters, jam ratio, bends, supports."""

from __future__ import annotations

import math
from functools import cache

from layout.light_dataclass import dataclass
from layout.standards.tables import Basis, all_tables, rows

MM_PER_IN = 25.4
JAM_LOW, JAM_HIGH = 2.8, 3.2
"""Ratio of bore to cable between which three equal cables jam in a bend (NEC Chapter 9 Table 1, from memory)."""
MOST_BEND_DEG = 360.0
"""Sum of bends between two pull points (NEC 358.26 and its siblings, from memory)."""


def fill_limit_percent(cables: int, *, length_mm: float | None = None) -> float:
    """Return the share of the bore that may be filled (NEC Chapter 9 Table 1).

    Parameters
    ----------
    cables
        A multi-core cable counts as one; protective and bonding conductors count.
    length_mm
        Where given and not over 600 mm, the piece is a nipple.

    Raises
    ------
    ValueError
        If there is less than one cable.
    """
    if cables < 1:
        raise ValueError(f"cables must be at least 1, got {cables}")
    found = all_tables("conduit")["fill_limits"]
    if length_mm is not None and length_mm <= 600:
        return float(found["nipple_not_over_600mm_percent"])
    key = {1: "one_cable", 2: "two_cables"}.get(cables, "three_or_more")
    return float(found["percent"][key])


def circle_mm2(diameter_mm: float) -> float:
    """Return the area of a circle, mm2; an oval cable goes in with its larger diameter."""
    return math.pi / 4 * diameter_mm**2


def fill_percent(bore_mm: float, diameters_mm: tuple[float, ...]) -> float:
    """Return how much of a round bore the cables fill, percent.

    Raises
    ------
    ValueError
        If the bore is not more than 0.
    """
    if not bore_mm > 0:
        raise ValueError(f"bore_mm must be more than 0, got {bore_mm}")
    return 100 * sum(circle_mm2(d) for d in diameters_mm) / circle_mm2(bore_mm)


def jams(bore_mm: float, diameters_mm: tuple[float, ...]) -> bool:
    """Tell whether three equal cables may wedge side by side in a bend."""
    if len(diameters_mm) != 3 or max(diameters_mm) - min(diameters_mm) > 1e-6:
        return False
    return JAM_LOW <= bore_mm / diameters_mm[0] <= JAM_HIGH


@dataclass(frozen=True, slots=True, kw_only=True)
class Bore:
    """Inside of a size of conduit that can be bought."""

    kind: str
    trade: str
    bore_mm: float
    basis: Basis


@cache
def bores() -> tuple[Bore, ...]:
    """Return the conduits with a published bore, by kind and rising bore.

    Metric conduit (EN 61386) is not among them: its bore depends on the class and comes from the maker.
    """
    steel = [
        Bore(kind="steel tube", trade=f"{r['trade_in']} in", bore_mm=r["id_in"] * MM_PER_IN, basis=Basis.READ)
        for r in rows("conduit", "conduit_emt")
    ]
    plastic = [
        Bore(kind="rigid PVC", trade=f"{r['trade_in']} in", bore_mm=r["id_in"] * MM_PER_IN, basis=Basis.MEMORY)
        for r in rows("conduit", "conduit_pvc_sch40")
    ]
    return (*plastic, *steel)


def smallest_bore(kind: str, area_mm2: float, cables: int) -> Bore | None:
    """Return the smallest conduit of a kind that takes cables of a total area; None where none is wide enough."""
    limit = fill_limit_percent(cables) / 100
    return next((b for b in bores() if b.kind == kind and limit * circle_mm2(b.bore_mm) >= area_mm2), None)


def power_bend_radius_mm(od_mm: float) -> float:
    """Return the least bend radius of a power cable on board: 4 x OD to 25 mm, 6 x OD over (IEC 60092-352)."""
    return (4.0 if od_mm <= 25 else 6.0) * od_mm


def support_spacing_mm(*, sheathed_or_battery: bool) -> float:
    """Return the greatest distance of supports, mm (ISO 10133:2012 7.3, 7.4)."""
    found = all_tables("conduit")["supports"]["max_spacing_mm"]
    return float(found["sheathed_and_battery" if sheathed_or_battery else "general"])
