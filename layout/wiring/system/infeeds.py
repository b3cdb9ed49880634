"""Sources as a short sees them: strongest when full and cold, weakest when low; what is not known stays not known."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.wiring.system.fault_network import Infeed

if TYPE_CHECKING:
    from layout.wiring.system.graph import PowerSource

FULL_SHARE = 12.8 / 12.0
"""Open-circuit voltage of a full lead bank against nominal (from memory)."""
FULL_SHARE_LITHIUM = 13.6 / 12.0
"""The same of a full lithium iron phosphate bank, 3.4 V a cell (from memory); taken where the kind is not said."""
LOW_SHARE = 0.9
"""Voltage of a low bank against nominal where the project says nothing."""
CRANKING_END_SHARE = 7.2 / 12.0
"""Share of nominal at which cold cranking amperes are measured (SAE J537, EN 50342-1 nearly so, from memory)."""
STIFF = 1000.0
"""How many times its open-circuit voltage a source that limits itself is given, behind as much more resistance."""
FACTS_APART = 4.0
"""Ratio of two facts about one battery from which at least one of them is wrong (a guess)."""


def internal_ohm(*, nominal_v: float, cranking_a: float) -> float:
    """Return the resistance that cold cranking amperes imply: fall from full to 60 % of nominal at that current."""
    return nominal_v * (FULL_SHARE - CRANKING_END_SHARE) / cranking_a


def full_v(source: PowerSource) -> float:
    """Return the voltage behind the highest fault: of a full bank at rest, else nominal."""
    if source.kind != "battery":
        return source.nominal_v
    return (FULL_SHARE if source.chemistry == "lead" else FULL_SHARE_LITHIUM) * source.nominal_v


def low_v(source: PowerSource) -> float:
    """Return the voltage behind the lowest fault."""
    return source.lowest_v or LOW_SHARE * source.nominal_v


def limits_itself(source: PowerSource) -> bool:
    """Tell whether a source gives no more than its limit; a battery, a shore supply and a generator never do.

    A generator gives a multiple of its rating for the first instants, so only its maker's fault current counts.
    """
    return source.limit_a is not None and source.kind not in ("battery", "shore", "generator")


def stated_a(source: PowerSource) -> dict[str, float]:
    """Return what each known fact of a source says that it drives into a dead short at its posts, A."""
    said: dict[str, float] = {}
    if source.fault_a is not None:
        said["fault_current"] = source.fault_a
    if source.ohm is not None and source.ohm > 0:
        said["resistance"] = full_v(source) / source.ohm
    if source.cranking_a and source.chemistry != "lithium":
        said["cold_cranking"] = full_v(source) / internal_ohm(nominal_v=source.nominal_v, cranking_a=source.cranking_a)
    if limits_itself(source) and not said and source.limit_a is not None:
        said["limit"] = source.limit_a
    return said


def strongest(source: PowerSource) -> Infeed | None:
    """Return a source at its strongest; None where no fact says how strong it is.

    An AC source counts as a reactance, which adds to the resistance of its conductors in quadrature: the current is
    then an upper bound whatever its angle.
    """
    said = stated_a(source)
    if not said:
        return None
    amps, volts = max(said.values()), full_v(source)
    if limits_itself(source):
        return Infeed(
            source=source.key, live=source.live, back=source.back, volts=STIFF * volts, ohm=STIFF * volts / amps
        )
    ohm = volts / amps
    return Infeed(
        source=source.key, live=source.live, back=source.back, volts=volts, ohm=1j * ohm if source.ac else ohm
    )


def weakest(source: PowerSource) -> Infeed | None:
    """Return a source at its weakest; one that limits itself still has its limit, which the caller holds against it."""
    said = stated_a(source)
    if not said:
        return None
    ohm = 0.0 if limits_itself(source) else full_v(source) / min(said.values())
    return Infeed(source=source.key, live=source.live, back=source.back, volts=low_v(source), ohm=ohm)
