"""Least copper of protective and bonding conductors (from memory; no load current flows in them)."""

from __future__ import annotations

from layout.standards.tables import all_tables

_FILE = "earthing"


def protective_mm2(line_mm2: float) -> float:
    """Return the least area of a protective conductor laid by itself, by that of the line conductor it serves."""
    table = all_tables(_FILE)["protective"]
    if line_mm2 <= table["same_up_to_mm2"]:
        need = line_mm2
    elif line_mm2 <= table["then_up_to_mm2"]:
        need = float(table["same_up_to_mm2"])
    else:
        need = line_mm2 / 2
    return max(need, float(all_tables(_FILE)["separate_protective"]["least_mm2"]))


def bonding_mm2(line_mm2: float) -> float:
    """Return the least area of a bonding conductor; 0 as line area where there is no AC.

    It is never below that of a protective conductor, since an AC fault to what it bonds flows through it.
    """
    least = float(all_tables(_FILE)["bonding"]["least_mm2"])
    return max(least, protective_mm2(line_mm2)) if line_mm2 else least
