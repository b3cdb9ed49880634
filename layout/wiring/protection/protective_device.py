"""Which protective device stands before each conductor, and with which rating."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TypeVar

from layout.light_dataclass import dataclass
from layout.standards.protection import DeviceSeries, least_rating_a, rating_needed_a
from layout.wiring.circuits.supply_graph import live_wires

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layout.project.model.project import Project
    from layout.project.model.supplies import Protection, Way
    from layout.wiring.circuits.chains import Chain
    from layout.wiring.circuits.ends import Ends
    from layout.wiring.circuits.segments import Lead, WireSegment
    from layout.wiring.circuits.supply_graph import SourceInState
    from layout.wiring.result import Length

Key = TypeVar("Key")
SERIES = {
    "blade fuse": DeviceSeries.BLADE_FUSE,
    "link fuse": DeviceSeries.DC_LINK_FUSE,
    "cartridge fuse": DeviceSeries.CARTRIDGE,
    "breaker": DeviceSeries.PANEL_BREAKER,
    "miniature breaker": DeviceSeries.MINIATURE_BREAKER,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class ProtectiveDevice:
    """A protective device where it stands.

    Attributes
    ----------
    key
        Dotted key of the entry that declares it.
    where
        Node it stands at.
    rating_a, given
        None where neither given nor to be chosen yet.
    from_way
        Whether it is a way of a distribution panel (its place is the panel's).
    held_in
        Device or named place that holds it; empty where that is not said, or it is a way.
    breaking_a, voltage_v, poles, residual_a, enclosed
        As declared; None is not known.
    from_source_mm, said_mm
        How far from its source it stands: the greater of what is declared, and of the conductor up to its holder as
        that is laid; and what is declared alone.
    """

    key: str
    where: str
    kind: str
    rating_a: float | None
    given: bool
    from_way: bool = False
    breaking_a: float | None = None
    voltage_v: float | None = None
    poles: int = 1
    residual_a: float | None = None
    held_in: str = ""
    from_source_mm: float | None = None
    said_mm: float | None = None
    enclosed: bool | None = None


def of_protection(
    key: str, where: str, device: Protection, *, current_a: float | None, continuous: bool
) -> ProtectiveDevice:
    """Return a declared device; a rating left out is chosen from its standard range."""
    rating = device.rating
    series = SERIES.get(device.kind)
    if rating is None and current_a is not None and series is not None:
        rating = least_rating_a(series, current_a, continuous=continuous)
    return ProtectiveDevice(
        key=key,
        where=where,
        kind=device.kind,
        rating_a=rating,
        given=device.rating is not None,
        breaking_a=device.breaking_capacity,
        voltage_v=device.voltage,
        poles=device.poles,
        residual_a=device.residual,
        held_in=device.device or device.location or "",
        from_source_mm=device.from_source,
        said_mm=device.from_source,
        enclosed=device.enclosed,
    )


def as_laid(
    stands: Mapping[Key, ProtectiveDevice], laid: Iterable[tuple[WireSegment, Length]]
) -> dict[Key, ProtectiveDevice]:
    """Return devices with their distance as the conductor up to their holder lies, where that is more than was said.

    Parameters
    ----------
    laid
        Conductors up to holders with their lengths; slack does not count.
    """
    lies_mm = {
        segment.device_key(at_end=segment.protection is None): length.total_mm - length.slack_mm
        for segment, length in laid
        if length.total_mm is not None
    }
    return {
        key: replace(stand, from_source_mm=max(lies_mm[stand.key], stand.from_source_mm or 0.0))
        if stand.key in lies_mm
        else stand
        for key, stand in stands.items()
    }


def of_way(key: str, where: str, way: Way, *, current_a: float | None, continuous: bool) -> ProtectiveDevice:
    """Return a way's device; without a rating the lowest of its own, else of its range, that carries the load."""
    rating = way.rating
    if rating is None and current_a is not None:
        rating = way_rating_a(way, current_a, continuous=continuous)
    return ProtectiveDevice(
        key=key,
        where=where,
        kind=way.kind,
        rating_a=rating,
        given=way.rating is not None,
        from_way=True,
        breaking_a=way.breaking_capacity,
        poles=way.poles,
        residual_a=way.residual,
    )


def way_rating_a(way: Way, current_a: float, *, continuous: bool) -> float | None:
    """Return the lowest rating a way can have that carries a current; None where it has none so high."""
    if way.rating is not None:
        return way.rating if way.rating >= current_a - 1e-9 else None
    if way.ratings:
        need = rating_needed_a(current_a, continuous=continuous)
        found = next((rating for rating in sorted(way.ratings) if rating >= need - 1e-9), None)
    else:
        found = least_rating_a(SERIES[way.kind], current_a, continuous=continuous)
    return None if found is None or (way.most is not None and found > way.most) else found


def circuit_stands(
    ends: Ends,
    segments: Mapping[str, WireSegment],
    chains: Mapping[str, tuple[Chain, ...]],
    currents: Mapping[str, float | None],
) -> dict[tuple[str, str], ProtectiveDevice]:
    """Return the device of every feed of every circuit by (circuit, first segment of the feed).

    A feed without any has no entry.
    """
    project = ends.project
    found: dict[tuple[str, str], ProtectiveDevice] = {}
    for circuit, ways in chains.items():
        load = project.circuits[circuit].load
        continuous = bool(load and load.continuous)
        for chain in ways:
            step = chain.feed[0]
            segment = segments[step.segment]
            owner, _, terminal = step.lead.start.partition("/")
            amps = currents.get(circuit)
            panel = project.breaker_panels.get(owner)
            way = panel.ways.get(terminal) if panel else None
            key = (circuit, step.segment)
            if way is not None:
                path = f"breaker_panels.{owner}.ways.{terminal}"
                found[key] = of_way(path, step.lead.start, way, current_a=amps, continuous=continuous)
            elif segment.protection is not None:
                device = segment.protection
                path = segment.device_key(at_end=False)
                found[key] = of_protection(path, step.lead.start, device, current_a=amps, continuous=continuous)
    return found


def feeder_stands(
    segments: Iterable[WireSegment], currents: Mapping[str, float | None]
) -> dict[tuple[str, bool], ProtectiveDevice]:
    """Return the devices of feeders by (segment key, whether at its end)."""
    found: dict[tuple[str, bool], ProtectiveDevice] = {}
    for segment in segments:
        if segment.owner_kind != "feeder" or segment.tail_of:
            continue
        for device, at_end in ((segment.protection, False), (segment.protection_end, True)):
            if device is not None:
                where = (segment.fed_at_end or segment.end) if at_end else (segment.fed_at or segment.start)
                path = segment.device_key(at_end=at_end)
                amps = currents.get(segment.key)
                found[segment.key, at_end] = of_protection(path, where, device, current_a=amps, continuous=True)
    return found


def stand_before(
    key: str, sources: Iterable[SourceInState], stands: Mapping[tuple[str, bool], ProtectiveDevice]
) -> ProtectiveDevice | None:
    """Return the device that protects a feeder without one of its own: the nearest on the way from the source.

    Of several sources the one with the highest rating counts, since the conductor must bear that.
    """
    found: list[ProtectiveDevice] = []
    for one in sources:
        link = next((link for link in one.live.by.values() if link.key == key and link.kind == "wire"), None)
        if link is None:
            continue
        far = link.b if one.live.by.get(link.b) is link else link.a
        path = live_wires(one.live.path(far) or ())
        for before in path[1:]:
            stand = stands.get((before.key, False)) or stands.get((before.key, True))
            if stand is not None and stand.rating_a is not None:
                found.append(stand)
                break
    return max(found, key=lambda stand: stand.rating_a or 0.0, default=None)


def as_thick_as_its_feeders(
    project: Project, segment: WireSegment, segments: Mapping[str, WireSegment], bears: Mapping[str, float | None]
) -> float | None:
    """Return the most that live feeders of a panel or source at either end must bear; cranking conductors aside.

    A return is made as thick as the feeder beside it, though less may flow in it (common practice, no single source):
    what is added to the panel next year goes home over it as well.
    """
    owners = {owner for lead in segment.leads for owner in _owners(lead)}
    owners &= project.breaker_panels.keys() | project.supplies.keys()
    # a charger's return that ends on the battery is beside the charger's feeder, not beside the battery's main lead
    owners = {key for key in owners if key not in _batteries(project)} or owners
    ratings = [
        bears.get(key)
        for key, other in segments.items()
        if other.owner_kind == "feeder"
        and not other.cranking
        and any(lead.live and _owners(lead) & owners for lead in other.leads)
    ]
    known = [rating for rating in ratings if rating is not None]
    return max(known, default=None)


def _batteries(project: Project) -> set[str]:
    return {key for key, supply in project.supplies.items() if supply.kind == "battery"}


def _owners(lead: Lead) -> set[str]:
    return {lead.start.partition("/")[0], lead.end.partition("/")[0]}
