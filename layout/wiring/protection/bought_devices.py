"""Every protective device of a project once, as it has to be bought: at both ends of feeders, on ways, in mains."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.wiring.protection.protective_device import of_protection
from layout.wiring.result import FittedDevice

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from layout.project.model.project import Project
    from layout.wiring.protection.fault_book import FaultRange
    from layout.wiring.protection.protective_device import ProtectiveDevice
    from layout.wiring.settled import Settled


def protectors(project: Project, settled: Settled, book: Mapping[str, FaultRange]) -> tuple[FittedDevice, ...]:
    """Return the devices that are to be fitted, feeders first; what is aboard already is left out.

    A way counts once, however many conductors leave it.
    """
    found: dict[tuple[str, str], FittedDevice] = {}
    for key, stand in _stands(project, settled):
        fault = book.get(stand.key)
        found[key] = FittedDevice.of(stand, needed_breaking_a=fault.needed_breaking_a if fault else None)
    return tuple(found.values())


def _stands(project: Project, settled: Settled) -> Iterator[tuple[tuple[str, str], ProtectiveDevice]]:
    """Yield an id and the device: of feeders, mains and circuits."""
    for (segment, at_end), stand in settled.feeder_stands.items():
        feeder = project.feeders[segment.removeprefix("feeders.")]
        device = feeder.protection_to if at_end else feeder.protection
        if device is not None and device.aboard in (None, "remove") and feeder.aboard not in ("keep", "reuse"):
            yield (stand.key, segment), stand
    for key, panel in project.breaker_panels.items():
        if panel.main is not None and panel.main.aboard is None and panel.aboard not in ("keep", "reuse"):
            path = f"breaker_panels.{key}.main"
            yield (path, ""), of_protection(path, f"{key}/in", panel.main, current_a=None, continuous=True)
    for (circuit, segment), stand in settled.stands.items():
        if project.circuits[circuit].aboard not in ("keep", "reuse"):
            yield (stand.key, "" if stand.from_way else segment), stand
