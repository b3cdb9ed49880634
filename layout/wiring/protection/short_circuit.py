"""Prospective short-circuit current on DC: highest (full bank, cold cable) and lowest (low bank, hot cable)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from layout.standards.protection import LITHIUM_CLASS_A, breaking_capacity_dc

if TYPE_CHECKING:
    from collections.abc import Iterable

COLD_C = 20.0
"""Temperature of the cable for the highest fault."""
FULL_SHARE = 12.8 / 12.0
"""Open-circuit voltage of a full lead bank against nominal (from memory)."""
FULL_SHARE_LITHIUM = 13.6 / 12.0
"""The same of a full lithium iron phosphate bank, 3.4 V a cell (from memory)."""
LOW_SHARE = 0.9
"""Voltage of a low bank against nominal where the project says nothing."""
CRANKING_END_SHARE = 7.2 / 12.0
"""Share of nominal at which cold cranking amperes are measured (SAE J537, EN 50342-1 nearly so, from memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultSource:
    """One source as a fault sees it.

    Attributes
    ----------
    resistance_ohm
        Internal; None where it limits itself (then ``most_a`` stands) or is unknown.
    most_a
        Largest current it gives, from its maker or because it limits itself.
    full_v, low_v
        Open-circuit voltage full and low.
    cranking_a
        Cold cranking amperes of a lead bank.
    basis
        Where the figure comes from, in words.
    """

    name: str
    full_v: float
    low_v: float
    resistance_ohm: float | None = None
    most_a: float | None = None
    cranking_a: float | None = None
    lithium: bool = False
    limits_itself: bool = False
    basis: str = ""

    @property
    def known(self) -> bool:
        """Whether a fault current can be worked out."""
        return self.resistance_ohm is not None or self.most_a is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultRange:
    """Fault currents of one protective device: highest at the device, lowest at the far end of what it protects.

    ``limited`` says that every source of it limits itself.
    """

    highest_a: float | None
    lowest_a: float | None
    table_a: float | None
    table: str
    unknown: tuple[str, ...] = ()
    limited: bool = False

    @property
    def needed_breaking_a(self) -> float | None:
        """What the device must be able to break: the higher of U/R and the cranking-amperes table."""
        found = [amps for amps in (self.highest_a, self.table_a) if amps is not None]
        return max(found) if found else None


def internal_ohm(*, nominal_v: float, cranking_a: float) -> float:
    """Return the resistance that cold cranking amperes imply: fall from full to 60 % of nominal at that current."""
    return nominal_v * (FULL_SHARE - CRANKING_END_SHARE) / cranking_a


def highest_a(parts: Iterable[tuple[FaultSource, float]]) -> float | None:
    """Return the sum of all sources into a dead short, each over its own cold path; None where one is unknown.

    Parameters
    ----------
    parts
        Sources, each with the resistance of its path to the fault and back, ohm.
    """
    total = 0.0
    for source, path_ohm in parts:
        amps = _one(source, path_ohm, source.full_v)
        if amps is None:
            return None
        total += amps
    return total


def lowest_a(parts: Iterable[tuple[FaultSource, float]]) -> float | None:
    """Return the least fault: the weakest source that is not self-limiting, alone, over its hot path.

    Where all sources limit themselves, the weakest of them. None where any that counts is unknown, or there is none.
    """
    found: list[float] = []
    everything = list(parts)
    strong = [part for part in everything if not part[0].limits_itself]
    for source, path_ohm in strong or everything:
        amps = _one(source, path_ohm, source.low_v)
        if amps is not None and source.limits_itself and path_ohm > 0:
            amps = min(amps, source.low_v / path_ohm)
        if amps is None:
            return None
        found.append(amps)
    return min(found, default=None)


def _one(source: FaultSource, path_ohm: float, volts: float) -> float | None:
    if source.resistance_ohm is not None:
        amps = volts / (source.resistance_ohm + path_ohm)
        return amps if source.most_a is None or not source.limits_itself else min(amps, source.most_a)
    if source.most_a is None:
        return None
    if source.limits_itself or path_ohm <= 0:
        return source.most_a
    inner = source.full_v / source.most_a
    return volts / (inner + path_ohm)


def table_breaking_a(sources: Iterable[FaultSource], *, nominal_v: float, main: bool) -> tuple[float | None, str]:
    """Return the breaking capacity that ABYC E-11 Table V-A asks for, by the summed cold cranking amperes.

    A lithium bank without its maker's figure asks for the 20 kA class.

    Returns
    -------
    tuple
        Amperes (None where no cranking amperes are known) and the source in words.
    """
    found = list(sources)
    if any(source.lithium and source.most_a is None for source in found):
        return LITHIUM_CLASS_A, "20 kA class for lithium without a maker's figure (from memory)"
    cranking = sum(source.cranking_a or 0.0 for source in found)
    if not cranking > 0:
        return None, ""
    capacity = breaking_capacity_dc(cranking, nominal_v=nominal_v)
    return (capacity.main_a if main else capacity.branch_a), capacity.source
