"""All laws over one system."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.wiring.laws.closed_path import closed_path
from layout.wiring.laws.converted import converted
from layout.wiring.laws.currents import currents
from layout.wiring.laws.dead_when_off import dead_when_off
from layout.wiring.laws.fault_current import fault_current
from layout.wiring.laws.overload import overload
from layout.wiring.laws.poles import poles
from layout.wiring.laws.residual import residual
from layout.wiring.laws.selectivity import selectivity
from layout.wiring.laws.solar_input import solar_input
from layout.wiring.laws.spaces import spaces
from layout.wiring.laws.starting import starting
from layout.wiring.laws.switch_protection import switch_protection
from layout.wiring.laws.terminals import terminals
from layout.wiring.laws.voltages import voltages

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from layout.wiring.laws.breach import Breach
    from layout.wiring.system.graph import System

LAWS: tuple[Callable[[System], Iterator[Breach]], ...] = (
    closed_path, poles, overload, voltages, solar_input, converted, dead_when_off, residual, fault_current, selectivity,
    switch_protection, starting, spaces, terminals, currents,
)  # fmt: skip
"""In the order in which they are told; a system that is not closed makes the later ones say less."""


def breaches(system: System) -> tuple[Breach, ...]:
    """Return what breaks a law, each once, in the order of the laws and of the file."""
    return tuple(dict.fromkeys(breach for law in LAWS for breach in law(system)))
