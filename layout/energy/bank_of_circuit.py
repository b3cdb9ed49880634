"""From a circuit to its bank: through which converters its energy comes, and what they add."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.project.model.energy import Conversion
from layout.wiring.circuits.supplied_from import fed_from, sources_of

if TYPE_CHECKING:
    from layout.project.model.project import Project

PASSING = ("converter", "inverter")
"""Kinds of supply that take their energy from another one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EnergyChain:
    """Way of the energy of a circuit.

    Attributes
    ----------
    system
        Supply that the circuit hangs on.
    converters
        Converters and inverters that the energy passes, from the circuit on.
    bank
        Battery behind them; None for what shore or a generator feeds.
    """

    system: str
    converters: tuple[str, ...]
    bank: str | None


def chain_of(project: Project, owner: str) -> EnergyChain | None:
    """Return the way of the energy of a circuit (or of a bar or distribution panel); None if no supply is behind it."""
    passed: list[str] = []
    here: str | None = owner
    while here is not None:
        found = sources_of(project, here)
        batteries = [source.id for source in found if source.supply.kind == "battery"]
        through = [source.id for source in found if source.supply.kind in PASSING and source.id not in passed]
        if batteries or not through:
            if not found:
                return None
            system = passed[0] if passed else (batteries or [found[0].id])[0]
            return EnergyChain(system=system, converters=tuple(passed), bank=batteries[0] if batteries else None)
        passed.append(through[0])
        here = input_of(project, through[0])
    return None


def input_of(project: Project, converter: str) -> str | None:
    """Return the owner that a converter takes its energy from; None where nothing says it."""
    return conversion_of(project, converter).source or fed_from(project, converter)


def behind_of(project: Project, converter: str) -> EnergyChain | None:
    """Return the way of the energy from a converter's input on; None if no supply is behind it."""
    owner = input_of(project, converter)
    return chain_of(project, owner) if owner is not None else None


def factor_of(project: Project, converters: tuple[str, ...]) -> float | None:
    """Return what goes into a row of converters for each Wh that leaves it; None while an efficiency is not known."""
    factor = 1.0
    for id_ in converters:
        efficiency = conversion_of(project, id_).efficiency
        if not efficiency:
            return None
        factor /= efficiency
    return factor


def conversion_of(project: Project, supply_id: str) -> Conversion:
    """Return what is known about a converter: the entry of ``energy``, filled up from the supply."""
    energy = project.energy
    entries = energy.conversions.items() if energy is not None else ()
    entry = next((e for key, e in entries if (e.supply or key) == supply_id), None)
    supply = project.supplies[supply_id]
    rating = supply.power
    if rating is None and supply.current is not None:
        rating = supply.current * supply.voltage
    return Conversion(
        id=supply_id,
        name=supply.name or supply_id,
        supply=supply_id,
        source=entry.source if entry is not None else None,
        efficiency=_first(entry.efficiency if entry is not None else None, supply.efficiency),
        standby=_first(entry.standby if entry is not None else None, supply.idle),
        standby_hours=entry.standby_hours if entry is not None else 24.0,
        rating=_first(entry.rating if entry is not None else None, rating),
    )


def _first(*values: float | None) -> float | None:
    return next((value for value in values if value is not None), None)


def working_w(project: Project, circuit_id: str, system: str) -> float | None:
    """Return the power of a circuit's load while it works, W; None where it is not known.

    A load in amperes is taken at the system's nominal voltage.
    """
    load = project.circuits[circuit_id].load
    if load is None:
        return None
    if load.power is not None:
        return load.power
    return None if load.current is None else load.current * project.supplies[system].voltage


def feeds_converter(project: Project, circuit_id: str) -> str | None:
    """Return the converter or inverter that a circuit feeds: its energy is counted there, not as a load."""
    owner = project.circuits[circuit_id].to.owner
    for id_, supply in project.supplies.items():
        if supply.kind in PASSING and owner in (id_, supply.device):
            return id_
    return None
