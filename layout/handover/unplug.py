"""What must be unplugged before an insulation test: electronics, surge parts, the bus and self-limiting sources."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from layout.project.model.project import Project

ELECTRONIC = frozenset({"instrument", "radio", "antenna", "display", "electronics", "data", "surge"})
"""Classes whose devices an insulation test would destroy."""
_SUPPLIES = ("converter", "charger", "solar", "inverter", "alternator")


def to_unplug(project: Project) -> tuple[tuple[str, str], ...]:
    """Return name and reason of everything to unplug, in the project's order.

    A device that says nothing of its classes is on the list when it takes data or antenna conductors: better once too
    often than once too few.
    """
    found: dict[str, str] = {}
    on_bus = {node.device_id for bus in project.buses.values() for node in bus.nodes.values()}
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
    for bus in project.buses.values():
        found.setdefault(f"bus {bus.id}", "instrument bus: unplug its power tap and both terminators' side of it")
    return tuple((_name(project, key), why) for key, why in found.items())


def _name(project: Project, key: str) -> str:
    if key in project.devices:
        return project.devices[key].name or key
    if key in project.supplies:
        return project.supplies[key].name or key
    bus = project.buses.get(key.removeprefix("bus "))
    return (bus.name or f"Instrument bus {bus.id}") if bus else key
