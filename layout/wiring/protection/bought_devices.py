"""Every protective device of a project once, as it has to be bought: at both ends of feeders, on ways, in mains."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.wiring.protection.protective_device import of_protection
from layout.wiring.result import FittedDevice

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.wiring.checks.short_circuits import FaultBook
    from layout.wiring.protection.protective_device import ProtectiveDevice
    from layout.wiring.sizing.circuitry import Case


def protectors(case: Case, book: FaultBook) -> tuple[FittedDevice, ...]:
    """Return the devices that are to be fitted, feeders first; what is aboard already is left out.

    A way counts once, however many conductors leave it, with the highest fault of any of them.
    """
    found: dict[tuple[str, str], FittedDevice] = {}
    for key, segment, stand in _stands(case):
        fault = book.by_segment.get(segment) if segment else None
        asked = [value for value in (fault.needed_breaking_a if fault else None,) if value is not None]
        known = found.get(key)
        if known is not None and known.needed_breaking_a is not None:
            asked.append(known.needed_breaking_a)
        found[key] = FittedDevice.of(stand, needed_breaking_a=max(asked, default=None))
    return tuple(found.values())


def _stands(case: Case) -> Iterator[tuple[tuple[str, str], str | None, ProtectiveDevice]]:
    """Yield an id, the segment whose fault counts and the device: of feeders, mains and circuits."""
    project = case.project
    for (segment, at_end), stand in case.feeder_stands.items():
        feeder = project.feeders[segment.removeprefix("feeders.")]
        device = feeder.protection_to if at_end else feeder.protection
        if device is not None and device.aboard in (None, "remove") and feeder.aboard not in ("keep", "reuse"):
            start_has_one = at_end and (segment, False) in case.feeder_stands
            yield (stand.key, segment), None if start_has_one else segment, stand
    for key, panel in project.breaker_panels.items():
        if panel.main is not None and panel.main.aboard is None and panel.aboard not in ("keep", "reuse"):
            path = f"breaker_panels.{key}.main"
            yield (path, ""), None, of_protection(path, f"{key}/in", panel.main, current_a=None, continuous=True)
    for (circuit, segment), stand in case.stands.items():
        if project.circuits[circuit].aboard not in ("keep", "reuse"):
            yield (stand.key, "" if stand.from_way else segment), segment, stand
