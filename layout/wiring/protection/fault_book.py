"""What each protective device must break and open on, for the sheets; worked out once for all of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.standards.protection import LITHIUM_CLASS_A, breaking_capacity_ac_shore, breaking_capacity_dc

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.wiring.system.device_faults import DeviceFault
    from layout.wiring.system.graph import PowerSource, System


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultRange:
    """Fault currents of one protective device, A: what it must break, and the lowest at the far end of its conductors.

    None is not known.
    """

    needed_breaking_a: float | None
    lowest_a: float | None


def fault_book(system: System) -> Mapping[str, FaultRange]:
    """Return the fault range of each device by its dotted key."""
    source = {entry.key: entry for entry in system.sources}
    return {
        fault.guard.entry: FaultRange(needed_breaking_a=needed_a(fault, source)[0], lowest_a=fault.lowest_a)
        for fault in system.device_faults.values()
    }


def needed_a(fault: DeviceFault, sources: Mapping[str, PowerSource]) -> tuple[float | None, str]:
    """Return what a device must break, A, and by what: the higher of U/R and the tables of ABYC E-11.

    None while a source of unknown strength feeds it, for which no table has a row, or one whose return is missing.
    """
    feeding = [sources[key] for key in (*fault.sources, *fault.unknown) if key in sources]
    found = [(fault.highest_a, "U/R with full sources and cold conductors")] if fault.highest_a is not None else []
    lithium = [s for s in feeding if s.chemistry == "lithium" and s.fault_a is None and s.ohm is None]
    cranking = sum(s.cranking_a or 0.0 for s in feeding if s.kind == "battery" and s.chemistry != "lithium")
    shore = [s for s in feeding if s.kind == "shore"]
    if lithium:
        found.append((LITHIUM_CLASS_A, f"the 20 kA class that stands for {lithium[0].name} (from memory)"))
    if cranking > 0:
        table = breaking_capacity_dc(cranking, nominal_v=max(s.nominal_v for s in feeding))
        found.append((table.main_a if fault.first else table.branch_a, table.source))
    if shore:
        ac = breaking_capacity_ac_shore()
        found.append((ac.main_a if fault.guard.poles > 1 else ac.branch_a, ac.source))
    stood_for = {s.key for s in (*lithium, *shore)}
    if not found or fault.one_sided or any(key not in stood_for for key in fault.unknown):
        return None, ""
    return max(found)
