"""Coaxial cables: attenuation by frequency, connectors, limits, bends.

Where published figures for one size differ the higher loss is given; the maker's figure is better and may be used
in its place by whoever has it.
"""

from __future__ import annotations

import math
from functools import cache

from layout.light_dataclass import dataclass
from layout.standards.tables import all_tables, rows

_FILE = "coax"


@dataclass(frozen=True, slots=True, kw_only=True)
class CoaxKind:
    """One kind of cable: impedance in ohm, outer diameter in mm, highest published loss in dB/100 m at 150 MHz."""

    name: str
    impedance_ohm: float
    outer_diameter_mm: float
    db_per_100m: float


@cache
def kinds() -> tuple[CoaxKind, ...]:
    """Return the kinds of the table, from the highest loss to the lowest."""
    losses = rows(_FILE, "attenuation_150MHz")
    found = [
        CoaxKind(
            name=row["cable"],
            impedance_ohm=float(row["impedance_ohm"]),
            outer_diameter_mm=float(row["od_mm"]),
            db_per_100m=max(float(loss["db_per_100m"]) for loss in losses if loss["cable"] in row["rows_of_table"]),
        )
        for row in rows(_FILE, "kinds")
    ]
    return tuple(sorted(found, key=lambda kind: (-kind.db_per_100m, kind.name)))


def kind(name: str) -> CoaxKind:
    """Return one kind.

    Raises
    ------
    KeyError
        If the table has no such kind.
    """
    for found in kinds():
        if found.name == name:
            return found
    raise KeyError(f"no cable '{name}' in the table; it has {', '.join(k.name for k in kinds())}")


def scaling(frequency_mhz: float) -> float:
    """Return the factor from 150 MHz to another frequency, by the skin-effect rule.

    Raises
    ------
    ValueError
        If the frequency is so far off that the rule no longer serves; the maker's figure is needed then.
    """
    table = all_tables(_FILE)["frequency_scaling"]
    low, high = table["range_MHz"]
    if not low <= frequency_mhz <= high:
        raise ValueError(f"{frequency_mhz:g} MHz lies outside {low:g} to {high:g} MHz, where the rule holds")
    return math.sqrt(frequency_mhz / float(table["table_MHz"]))


def connector_loss_db() -> float:
    """Return the loss of one connection, dB."""
    return float(all_tables(_FILE)["connector_loss"]["db_per_connection"])


def most_loss_db() -> float:
    """Return the commonly accepted greatest loss of a lead, dB."""
    return float(all_tables(_FILE)["limits"]["max_db"])


def share_of_power(loss_db: float) -> float:
    """Return which share of the power is left after a loss in dB."""
    return float(10 ** (-loss_db / 10))


def loss_of_share_db(share: float) -> float:
    """Return the loss in dB that leaves a share of the power.

    Raises
    ------
    ValueError
        If the share is not above 0 and at most 1.
    """
    if not 0 < share <= 1:
        raise ValueError(f"share must be above 0 and at most 1, got {share:g}")
    return 0.0 - 10 * math.log10(share)


def bend_radius_mm(outer_diameter_mm: float, *, moves: bool = False) -> float:
    """Return the least bend radius, mm: 5 x diameter at rest, 10 x where it moves with a hinged panel (from memory)."""
    return float(all_tables(_FILE)["bend_radius"]["times_od"]["repeated" if moves else "at rest"]) * outer_diameter_mm
