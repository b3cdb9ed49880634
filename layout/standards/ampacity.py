"""Current-carrying capacity of single copper conductors on small craft, by two rule sets that are kept apart.

ISO 13297 Annex A goes by area and takes a hot space as 60 C; 33 CFR 183.425 Table 5 (= ABYC E-11) goes by gauge and
takes it as 50 C. A table is only ever used with its own hot-space factor.

Most of the ISO table is from memory. Such a cell is held against Table 5 at equal area and insulation, and the lower
of the two counts; the result says so (``unverified``). Above Table 5's last row, 4/0 AWG, such a cell is held to that
row: a thicker conductor bears no less, and nothing that was read says how much more.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import replace
from functools import cache

from layout.light_dataclass import dataclass
from layout.standards.conductors import ConductorSize, gauge_area_mm2
from layout.standards.tables import Practice, all_tables, rows

ISO_TABLE = "iso_10133_13297_table_A"
CFR_TABLE = "cfr_33_183_425_table5"
ISO_NAME = "ISO 13297 Annex A"
CFR_NAME = "33 CFR 183.425 Table 5"
LAST_GAUGE = "4/0"
"""Last row of Table 5, 107.2 mm²."""
LOW_VOLTAGE_V = 50.0
"""Below it one published reading asks for no bundling factor."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ampacity:
    """What one conductor bears, and from where.

    Attributes
    ----------
    current_a
        Base value times both factors.
    base_a, hot_factor, bundle_factor
        Cell of the table at 30 C; factor of its own hot space; factor of the practice for conductors loaded together.
    table
        Name of the table that counts.
    unverified
        Whether a value from memory only took part.
    governed_by_memory
        Whether the value that counts is itself from memory only.
    of_last_row
        Whether it is that of the last row read, for a conductor thicker than that.
    """

    current_a: float
    base_a: float
    hot_factor: float
    bundle_factor: float
    table: str
    unverified: bool
    governed_by_memory: bool
    of_last_row: bool = False


class NotAllowedError(ValueError):
    """The table has no value for such a conductor in such a place; the text says why."""


def bundle_factor(practice: Practice, conductors: int, *, voltage_v: float = 12.0, below_50v: bool = True) -> float:
    """Return the factor for current-carrying conductors that lie and are loaded together.

    Parameters
    ----------
    practice
        ISO: 1-3, 4-6, 7-24, 25 and more; ABYC: one step harsher, from 3 conductors on.
    conductors
        Both legs of every circuit loaded in the worst declared situation; earth, data, antenna and spares not counted.
    voltage_v, below_50v
        With ``below_50v`` false the reading is taken in which no factor binds below 50 V.

    Raises
    ------
    ValueError
        If there is less than one conductor.
    """
    if conductors < 1:
        raise ValueError(f"conductors must be at least 1, got {conductors}")
    if voltage_v < LOW_VOLTAGE_V and not below_50v:
        return 1.0
    found = 1.0
    for first, factor in _bundle_steps(practice):
        if conductors >= first:
            found = factor
    return found


@cache
def _bundle_steps(practice: Practice) -> tuple[tuple[int, float], ...]:
    table = all_tables("ampacity")[f"{practice.value}_bundling_factors"]["factors"]
    return tuple((int(str(row["conductors"]).split("-")[0].rstrip("+")), float(row["factor"])) for row in table)


@cache
def ampacity(
    size: ConductorSize,
    *,
    practice: Practice,
    insulation_c: float = 105.0,
    hot_space: bool = False,
    conductors: int = 1,
    voltage_v: float = 12.0,
    below_50v: bool = True,
) -> Ampacity:
    """Return what one conductor of a bundle bears.

    Parameters
    ----------
    size
        A gauge under ABYC takes its row of Table 5, whichever area it is made to; all else goes by area.
    insulation_c
        Temperature class of the insulation; the column not above it counts.
    hot_space
        Engine space: 60 C with the ISO table, 50 C with Table 5.
    conductors, voltage_v, below_50v
        See ``bundle_factor``.

    Raises
    ------
    NotAllowedError
        If insulation or size lie outside the table, or the insulation must not go into a hot space.
    """
    bundle = bundle_factor(practice, conductors, voltage_v=voltage_v, below_50v=below_50v)
    cfr = _cfr(size, insulation_c, by_gauge=practice is Practice.ABYC)
    if practice is Practice.ABYC:
        if cfr is None:
            raise NotAllowedError(f"{CFR_NAME} has no value for {size}")
        base, hot = cfr[0], _cfr_hot(insulation_c) if hot_space else 1.0
        return _made(base, hot, bundle, CFR_NAME, unverified=False, memory=False)
    base, memory = _iso(size.area_mm2, insulation_c)
    hot = _iso_hot(insulation_c) if hot_space else 1.0
    if memory and cfr is not None:
        other_hot = _cfr_hot(insulation_c) if hot_space else 1.0
        if cfr[0] * other_hot < base * hot:
            found = _made(cfr[0], other_hot, bundle, CFR_NAME, unverified=True, memory=False)
            return replace(found, of_last_row=size.area_mm2 > gauge_area_mm2(LAST_GAUGE) * 1.0001)
    return _made(base, hot, bundle, ISO_NAME, unverified=memory, memory=memory)


def _made(base: float, hot: float, bundle: float, table: str, *, unverified: bool, memory: bool) -> Ampacity:
    return Ampacity(
        current_a=base * hot * bundle,
        base_a=base,
        hot_factor=hot,
        bundle_factor=bundle,
        table=table,
        unverified=unverified,
        governed_by_memory=memory,
    )


ISO_CLASSES = {60: "t60", 70: "t70", 85: "t85_90", 105: "t105", 125: "t125", 200: "t200"}
CFR_CLASSES = {60: "t60", 75: "t75", 80: "t80", 90: "t90", 105: "t105", 125: "t125", 200: "t200"}


def _class(classes: dict[int, str], insulation_c: float, table: str) -> str:
    below = [name for degrees, name in classes.items() if degrees <= insulation_c]
    if not below:
        least = min(classes)
        raise NotAllowedError(f"{table} has no column for insulation of {insulation_c:g} °C; the least is {least} °C")
    return below[-1]


def _iso(area_mm2: float, insulation_c: float) -> tuple[float, bool]:
    """Return the ISO cell (interpolated between areas) and whether it is from memory only."""
    column = _class(ISO_CLASSES, insulation_c, ISO_NAME)
    curve = _curve(ISO_TABLE, "area_mm2", column)
    if not curve[0][0] <= area_mm2 <= curve[-1][0] * 1.0001:
        raise NotAllowedError(f"{ISO_NAME} goes from {curve[0][0]:g} to {curve[-1][0]:g} mm², not to {area_mm2:g} mm²")
    read = column == "t200" and area_mm2 >= 2.5
    return _interpolated(curve, area_mm2), not read


def _cfr(size: ConductorSize, insulation_c: float, *, by_gauge: bool) -> tuple[float, str] | None:
    column = _class(CFR_CLASSES, insulation_c, CFR_NAME)
    curve = _curve(CFR_TABLE, "awg", column)
    if by_gauge:
        if size.gauge is not None:
            cells = {str(row["awg"]): float(row[column]) for row in rows("ampacity", CFR_TABLE)}
            return (cells[size.gauge], column) if size.gauge in cells else None
        below = [amps for area, amps in curve if area <= size.area_mm2 * 1.0001]
        return (below[-1], column) if below else None
    return _interpolated(((0.0, 0.0), *curve), size.area_mm2), column


@cache
def _curve(table: str, key: str, column: str) -> tuple[tuple[float, float], ...]:
    found = rows("ampacity", table)
    return tuple(
        (gauge_area_mm2(str(row[key])) if key == "awg" else float(row[key]), float(row[column])) for row in found
    )


def _interpolated(curve: tuple[tuple[float, float], ...], area_mm2: float) -> float:
    """Read between rows; a straight line lies below the true curve, which bends down, so it is safe."""
    at = bisect_right(curve, (area_mm2, float("inf")))
    if at >= len(curve):
        return curve[-1][1]
    (x0, y0), (x1, y1) = curve[at - 1], curve[at]
    return y0 + (y1 - y0) * (area_mm2 - x0) / (x1 - x0)


def _iso_hot(insulation_c: float) -> float:
    column = _class(ISO_CLASSES, insulation_c, ISO_NAME)
    factor = all_tables("ampacity")["iso_engine_space_factors"]["factors"][column]
    if factor is None:
        raise NotAllowedError(f"insulation of {insulation_c:g} °C must not be used in a hot space (60 °C, {ISO_NAME})")
    return float(factor)


def _cfr_hot(insulation_c: float) -> float:
    column = _class(CFR_CLASSES, insulation_c, CFR_NAME)
    return float(all_tables("ampacity")["cfr_engine_space_factors"]["factors"][column])


@dataclass(frozen=True, slots=True, kw_only=True)
class LeastSize:
    """Smallest conductor that a practice allows at all."""

    area_mm2: float
    gauge: str | None
    source: str


def least_size(practice: Practice, *, in_sheath: bool, panel_internal: bool = False) -> LeastSize:
    """Return the smallest conductor: single, in the sheath of a cable, or inside a panel board.

    ISO 10133:2012 7.7: 1.0 mm2 single over 200 mm, 0.75 mm2 in a sheath or in a panel board.
    33 CFR 183.425 (d)-(f): 16 AWG single, 18 AWG in a sheath.
    """
    found = all_tables("ampacity")["minimum_cross_sections"]
    if practice is Practice.ISO:
        key = "in_multicore_sheath_mm2" if in_sheath else "single_conductor_longer_than_200mm_mm2"
        area = float(found["iso"]["panel_board_internal_wiring_mm2" if panel_internal else key])
        return LeastSize(area_mm2=area, gauge=None, source=str(found["iso"]["source"]))
    gauge = str(found["cfr"]["in_multiconductor_sheath_awg" if in_sheath else "single_conductor_awg"])
    return LeastSize(area_mm2=gauge_area_mm2(gauge), gauge=gauge, source=str(found["cfr"]["source"]))
