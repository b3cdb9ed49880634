"""What the panels of a solar controller give, in cold and in full sun, against what it bears."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.findings.table import Severity
from layout.wiring.laws.breach import Breach

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.wiring.system.graph import PowerSource, System

COLD_SHARE = 1.2
"""Open-circuit voltage of a crystalline panel at 25 °C below zero against that at 25 °C (NEC Table 690.7(A), from
memory)."""

MOST_PANELS = 10.0
"""Panels against what a controller that limits itself lets through: more is hardly meant (a guess)."""


def solar_input(system: System) -> Iterator[Breach]:
    """Yield each solar controller whose panels give more voltage or power than it bears."""
    for source in system.sources:
        if source.kind == "solar":
            yield from _voltage(source)
            yield from _power(source)


def _voltage(source: PowerSource) -> Iterator[Breach]:
    if source.open_circuit_v is None or source.highest_input_v is None:
        return
    cold_v = COLD_SHARE * source.open_circuit_v
    if cold_v > source.highest_input_v * (1 + 1e-9):
        yield Breach(
            rule="fuse 61",
            entry=source.entry,
            message=f"{source.name}: its panels give {source.open_circuit_v:g} V open, {cold_v:.4g} V in cold, and its "
            f"input bears {source.highest_input_v:g} V",
            remedy="join fewer panels in series, or take a controller for a higher voltage",
            way=(source.live,),
            measured=cold_v,
            limit=source.highest_input_v,
            unit="V",
        )


def _power(source: PowerSource) -> Iterator[Breach]:
    """Hold the panels' current at nominal voltage against the controller's; one that limits itself loses the rest."""
    if source.array_w is None or source.output_a is None:
        return
    amps, limits_itself = source.array_w / source.nominal_v, source.limit_a is not None
    if amps <= source.output_a * (MOST_PANELS if limits_itself else 1 + 1e-9):
        return
    if limits_itself:
        message = (
            f"{source.name}: panels of {source.array_w:g} W give {amps:.0f} A at {source.nominal_v:g} V, "
            f"{amps / source.output_a:.0f} times what it lets through"
        )
        remedy = "check array_power: and current:, one of the two is mistyped"
    else:
        message = (
            f"{source.name}: panels of {source.array_w:g} W give {amps:.3g} A at {source.nominal_v:g} V, "
            f"and it is made for {source.output_a:g} A"
        )
        remedy = "take a larger controller, or say self_limiting: true if its maker says that it limits its current"
    yield Breach(
        rule="fuse 60",
        entry=source.entry,
        message=message,
        remedy=remedy,
        way=(source.live,),
        measured=amps,
        limit=source.output_a,
        unit="A",
        severity=Severity.WATCH if limits_itself else None,
    )
