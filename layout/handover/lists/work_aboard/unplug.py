"""What must be unplugged before an insulation test: electronics, surge parts, the bus and self-limiting sources."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from layout.project.model.circuits import Circuit
    from layout.project.model.project import Project

ELECTRONIC = frozenset({"instrument", "radio", "antenna", "display", "electronics", "data", "surge"})
"""Classes whose devices an insulation test would destroy."""
_PLAIN = frozenset({"horn", "motor", "wiper", "bilge blower", "fans", "panel feeder"})
"""Purposes that need no electronics; what else a circuit feeds may hold some (lamps, pumps and sockets today do)."""
_SUPPLIES = ("converter", "charger", "solar", "inverter", "alternator")


def to_unplug(project: Project) -> tuple[tuple[str, str], ...]:
    """Return name and reason of everything to unplug, in the project's order.

    A device that says nothing of its classes is on the list when it takes data or antenna conductors, and so is what a
    circuit feeds unless its purpose needs no electronics: better once too often than once too few.
    """
    found: dict[str, str] = {}
    on_bus = {node.device_id for bus in project.networks.values() for node in bus.nodes.values()}
    for supply in project.supplies.values():
        if supply.kind in _SUPPLIES:
            found[supply.device or supply.id] = f"{supply.kind}: power electronics"
    for device in project.devices.values():
        poles = {terminal.pole for terminal in device.terminals.values()}
        if device.id in on_bus:
            found.setdefault(device.id, "on the instrument bus")
        elif ELECTRONIC.intersection(device.classes):
            found.setdefault(device.id, "electronics")
        elif poles & {"data", "antenna"}:
            found.setdefault(device.id, "takes data or antenna conductors")
    for circuit in project.circuits.values():
        if circuit.purpose.strip().lower() not in _PLAIN and not circuit.is_removed:
            for key in _fed(circuit):
                if key in project.devices:
                    found.setdefault(key, f"fed as {circuit.purpose}, may hold electronics")
    for bus in project.networks.values():
        found.setdefault(f"bus {bus.id}", "instrument bus: unplug its power tap and both terminators' side of it")
    return tuple((_name(project, key), why) for key, why in found.items())


def _fed(circuit: Circuit) -> tuple[str, ...]:
    """Return what a circuit ends at: its load, or the ends of its legs that no other leg goes on from."""
    legs = [leg for leg in circuit.legs.values() if leg.pole in ("+", "L", "switched")]
    onward = {leg.from_.owner for leg in legs}
    ends = [leg.to.owner for leg in legs] or [circuit.to.owner]
    return tuple(dict.fromkeys(end for end in ends if end not in onward))


def _name(project: Project, key: str) -> str:
    if key in project.devices:
        return project.devices[key].name or key
    if key in project.supplies:
        return project.supplies[key].name or key
    bus = project.networks.get(key.removeprefix("bus "))
    return (bus.name or f"Instrument bus {bus.id}") if bus else key
