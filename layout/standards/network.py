"""The instrument bus of IEC 61162-3: limits, cables, connectors, terminators; and the serial links of IEC 61162-1, -2.

Lengths are in mm, resistances in ohm per m of one conductor. Where published figures differ the safer one is given:
1.5 V of drop, 3 A on light cable, and the worst-case resistances of IEC 62026-3 for pass or fail.
"""

from __future__ import annotations

import math
from functools import cache

from layout.standards.tables import all_tables, rows

_FILE = "network"
LIGHT, MID, HEAVY = "light", "mid", "heavy"


def amps_per_len() -> float:
    """Return the current of one load equivalency number, A."""
    return float(all_tables(_FILE)["load_equivalency"]["amps_per_len"])


def lens_of(current_a: float) -> int:
    """Return the load equivalency number of a current: each started 50 mA counts (151 mA is LEN 4)."""
    return math.ceil(current_a / amps_per_len() - 1e-9)


def most_device_current_a() -> float:
    """Return what one device may draw from the bus, A."""
    return float(all_tables(_FILE)["load_equivalency"]["max_device_current_A"])


def most_devices() -> int:
    """Return how many devices one bus may have."""
    return int(all_tables(_FILE)["limits"]["max_physical_devices"])


def most_drop_mm() -> float:
    """Return the greatest length of one drop, mm."""
    return 1000.0 * float(all_tables(_FILE)["limits"]["max_drop_m"])


def most_drops_together_mm() -> float:
    """Return the greatest length of all drops together, mm."""
    return 1000.0 * float(all_tables(_FILE)["limits"]["max_cumulative_drop_m"])


def most_backbone_mm(cable: str) -> float:
    """Return the greatest length of a backbone by cable kind, mm; a mixed one goes by its lightest cable."""
    return 1000.0 * float(all_tables(_FILE)["limits"]["max_backbone_m"][cable])


def terminator_ohm() -> float:
    """Return the nominal resistance of a terminator, ohm (121 ohm is the nearest value that can be bought)."""
    return float(all_tables(_FILE)["terminators"]["ohms"])


def measured_range_ohm() -> tuple[float, float]:
    """Return between what the data pair must measure with the bus unpowered and both terminators in, ohm."""
    low, high = all_tables(_FILE)["terminators"]["measured_range_ohms"]
    return float(low), float(high)


def supply_range_v() -> tuple[float, float]:
    """Return lowest and highest voltage of the bus, V."""
    low, high = all_tables(_FILE)["supply"]["range_V"]
    return float(low), float(high)


def most_fuse_light_a() -> float:
    """Return the largest protective device that light cable bears, A."""
    return float(all_tables(_FILE)["supply"]["fuse_light_cable_A"])


@cache
def most_side_current_a(cable: str, connector: str) -> float:
    """Return what one side of the power tap may carry by cable and connector, A.

    Raises
    ------
    KeyError
        If the table has no such pair (heavy cable with micro connectors, light with mini).
    """
    for row in rows(_FILE, "current_per_side"):
        if row["cable"] == cable and row["connector"] == connector:
            return float(row["amps"])
    raise KeyError(f"no {cable} cable with {connector} connectors in the table")


def ohm_per_m(cable: str, *, worst_case: bool = True) -> float:
    """Return the resistance of one conductor, ohm/m: worst case (decides) or nominal (only shown)."""
    table = "resistance_worst_case" if worst_case else "resistance_shown"
    return float(all_tables(_FILE)[table]["ohm_per_m"][cable])


def tap_ohm() -> float:
    """Return the resistance that each tap passed adds to one conductor, ohm."""
    return float(all_tables(_FILE)["resistance_worst_case"]["per_tap_ohm"])


def outer_diameter_mm(cable: str) -> float:
    """Return the larger published outer diameter of a bus cable, mm."""
    return float(all_tables(_FILE)["cable_mechanics"]["od_mm"][cable][1])


def bus_bend_radius_mm(cable: str) -> float:
    """Return the least bend radius of an installed bus cable, mm."""
    return float(all_tables(_FILE)["cable_mechanics"]["bend_radius_times_od"]) * outer_diameter_mm(cable)


def wire_colours() -> dict[str, str]:
    """Return the colour of each conductor of a bus cable, by its name (``NET-S`` is the positive)."""
    return {row["name"]: row["colour"] for row in rows(_FILE, "wire_colours")}


def serial_baud(standard: str) -> int:
    """Return the baud of ``IEC 61162-1`` or ``IEC 61162-2`` (from memory)."""
    return int(all_tables(_FILE)["serial"]["baud"][standard])
