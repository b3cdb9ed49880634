"""Terminals: ring and tube lugs by stud and area, ferrules, tabs, heat-shrink. Torque stays with the maker's paper."""

from __future__ import annotations

from functools import cache

from layout.light_dataclass import dataclass
from layout.standards.tables import rows

TUBE_FROM_MM2 = 2.5
"""A tube lug of 6 mm2, the smallest, is crimped on conductors over this area (common practice, no single source)."""


MOST_ON_A_STUD = 4
"""Lugs on one stud at most (ABYC E-11 terminal clause, from memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lug:
    """One end fitting to buy; ``text`` is what stands in the schedule."""

    text: str
    area_min_mm2: float
    area_max_mm2: float
    hole_mm: float | None = None


@cache
def stud_hole_mm(stud: str) -> float:
    """Return the hole of a lug for a stud, mm.

    Raises
    ------
    KeyError
        If the table has no such stud; the text lists the known ones.
    """
    holes = {str(row["stud"]): float(row["hole_mm"]) for row in rows("terminals", "stud_holes")}
    if stud not in holes:
        raise KeyError(f"no stud '{stud}'; known: {', '.join(holes)}")
    return holes[stud]


def ring(area_mm2: float, stud: str) -> Lug | None:
    """Return the ring for an area and a stud: insulated crimp to 6 mm2, tube lug over; None if none is made."""
    hole = stud_hole_mm(stud)
    for row in rows("terminals", "insulated_ring"):
        low, high = float(row["area_min_mm2"]), float(row["area_max_mm2"])
        if low <= area_mm2 <= high and stud in row["studs"]:
            return Lug(text=f"ring {row['sleeve']} {stud}", area_min_mm2=low, area_max_mm2=high, hole_mm=hole)
    below = TUBE_FROM_MM2
    for row in rows("terminals", "tube_lug"):
        size = float(row["area_mm2"])
        if below < area_mm2 <= size * 1.0001 and stud in row["studs"]:
            return Lug(text=f"tube lug {size:g} mm² {stud}", area_min_mm2=below, area_max_mm2=size, hole_mm=hole)
        below = size
    return None


def ferrule(area_mm2: float) -> Lug | None:
    """Return the wire-end ferrule whose area is the next not below; None above the table."""
    below = 0.0
    for row in rows("terminals", "ferrule"):
        size = float(row["area_mm2"])
        if area_mm2 <= size:
            text = f"ferrule {size:g} mm² {row['colour']}, {row['sleeve_mm']:g} mm"
            return Lug(text=text, area_min_mm2=below, area_max_mm2=size)
        below = size
    return None


def push_on(area_mm2: float) -> Lug | None:
    """Return the flat push-on receptacle of 6.3 mm width (IEC 61210); None where the conductor does not fit it."""
    row = rows("terminals", "push_on")[0]
    low, high = float(row["area_min_mm2"]), float(row["area_max_mm2"])
    if not low <= area_mm2 <= high:
        return None
    return Lug(text=f"push-on {row['tab']}", area_min_mm2=low, area_max_mm2=high)


def heat_shrink_mm(od_mm: float) -> float | None:
    """Return the bore of adhesive-lined 3:1 sleeve that goes over a cable and grips it; None above the table."""
    for row in rows("terminals", "heat_shrink"):
        if row["shrunk_mm"] < od_mm and row["bore_mm"] >= 1.25 * od_mm:
            return float(row["bore_mm"])
    return None
