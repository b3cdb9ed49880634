"""Protective devices: there, rated right, near enough, able to break, and in order one behind the other."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.findings import Severity
from layout.standards.placement import SHORE_INLET_MAX_MM, PlaceLimit, SourceKind, place_limit
from layout.standards.protection import CONTINUOUS_SHARE, standard_ratings_a
from layout.standards.tables import Practice
from layout.wiring.protection.protective_device import SERIES, ProtectiveDevice

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.findings import Finding
    from layout.project.model.project import Project
    from layout.wiring.circuits.segments import WireSegment
    from layout.wiring.declared import Declared
    from layout.wiring.loaded import Loaded
    from layout.wiring.settled import Settled


_NEAR_MM = 10.0
"""By so much may a conductor up to a holder lie longer than the file says; runs are cut to whole centimetres."""


def protection_findings(declared: Declared, loaded: Loaded, settled: Settled) -> Iterator[Finding]:
    """Yield what is wrong with protective devices, feeders first."""
    yield from _feeders(declared, settled)
    yield from _circuits(declared, loaded, settled)
    yield from _shared_holders(declared, settled)


def _shared_holders(declared: Declared, settled: Settled) -> Iterator[Finding]:
    """Report a holder that two devices are said to stand in: its terminals are one device's."""
    held: dict[str, dict[str, ProtectiveDevice]] = {}
    for stand in (*settled.feeder_stands.values(), *settled.stands.values()):
        if stand.held_in in declared.ends.holders:
            held.setdefault(stand.held_in, {})[stand.key] = stand
    for holder, stands in held.items():
        if len(stands) > 1:
            keys = list(stands)
            named = ", ".join(keys)
            text = f"{declared.ends.name(holder)}: {len(stands)} protective devices are said to stand in it ({named})"
            remedy = "give each a holder, or make it a bus bar with this device, from which each conductor starts"
            yield declared.project.finding("fuse 121", f"{keys[1]}.device", text, remedy=remedy)


def _feeders(declared: Declared, settled: Settled) -> Iterator[Finding]:
    for key, segment in declared.segments.items():
        if segment.owner_kind != "feeder" or not any(lead.live for lead in segment.leads):
            continue
        start, end = settled.feeder_stands.get((key, False)), settled.feeder_stands.get((key, True))
        if segment.cranking:
            text = f"{segment.name}: engine starting conductor, exempt from overcurrent protection"
            yield declared.project.finding("fuse 20", key, text)
        for stand in (start, end):
            if stand is None:
                continue
            yield from _device(declared.project, segment, stand)
            yield from _place(declared, segment, stand)


def _circuits(declared: Declared, loaded: Loaded, settled: Settled) -> Iterator[Finding]:
    done: set[tuple[str, str]] = set()
    for circuit, ways in loaded.chains.items():
        for chain in ways:
            first = chain.feed[0].segment
            if (circuit, first) in done:
                continue
            done.add((circuit, first))
            segment = declared.segments[first]
            stand = settled.stands.get((circuit, first))
            if stand is None:
                continue
            yield from _load(declared, circuit, segment, stand)
            yield from _device(declared.project, segment, stand)
            if not stand.from_way:
                yield from _place(declared, segment, stand)


def _load(declared: Declared, circuit: str, segment: WireSegment, stand: ProtectiveDevice) -> Iterator[Finding]:
    load = declared.project.circuits[circuit].load
    amps = declared.currents[circuit].current_a
    rating = stand.rating_a
    if rating is None:
        if amps is not None:
            text = f"{segment.name}: no standard rating of a {stand.kind} carries {amps:.3g} A"
            yield declared.project.finding(
                "fuse 21", stand.key, text, remedy="give a rating, or another kind of device"
            )
        return
    share = CONTINUOUS_SHARE * rating
    if load is not None and load.continuous and amps is not None and share * 1.0001 < amps <= rating * 1.0001:
        text = f"{segment.name}: {amps:.3g} A for hours is over 80 % of the device's {rating:g} A"
        yield declared.project.finding(
            "fuse 5",
            stand.key,
            text,
            measured=amps,
            limit=share,
            unit="A",
            subjects=(segment.owner,),
            remedy="take the next rating and the conductor for it",
        )
    if load is not None and load.largest_protection is not None and rating > load.largest_protection:
        text = f"{segment.name}: {rating:g} A, its maker allows {load.largest_protection:g} A"
        yield declared.project.finding(
            "fuse 17",
            stand.key,
            text,
            measured=rating,
            limit=load.largest_protection,
            unit="A",
            subjects=(segment.owner,),
            remedy="take a lower rating",
        )


def _device(project: Project, segment: WireSegment, stand: ProtectiveDevice) -> Iterator[Finding]:
    """Yield what is wrong with a device itself: its rating's range."""
    subjects = (segment.owner,)
    series = SERIES.get(stand.kind)
    if stand.given and stand.rating_a is not None and series and stand.rating_a not in standard_ratings_a(series):
        text = f"{segment.name}: {stand.rating_a:g} A is no standard rating of a {stand.kind}"
        yield project.finding("fuse 19", stand.key, text, subjects=subjects, remedy="check the maker's list")


def _place(declared: Declared, segment: WireSegment, stand: ProtectiveDevice) -> Iterator[Finding]:
    """Judge how far from its source the device stands, along the conductor."""
    owner = stand.where.partition("/")[0]
    if stand.kind == "built-in":
        return
    if stand.said_mm is not None and (stand.from_source_mm or 0.0) > stand.said_mm + _NEAR_MM:
        text = (
            f"{segment.name}: its {stand.kind} stands {stand.from_source_mm:.0f} mm from {declared.ends.name(owner)} "
            f"as its conductor is laid, the file says {stand.said_mm:.0f} mm"
        )
        yield declared.project.finding(
            "fuse 120",
            stand.key,
            text,
            measured=stand.from_source_mm,
            limit=stand.said_mm,
            unit="mm",
            subjects=(segment.owner,),
            remedy="set its holder nearer, or leave from_source out and enclose the conductor up to it",
        )
    limit = _limit(declared, segment, stand, federal=True)
    if stand.from_source_mm is None:
        text = f"{segment.name}: how far its {stand.kind} stands from {declared.ends.name(owner)} is not known"
        yield declared.project.finding(
            "fuse 7",
            stand.key,
            text,
            subjects=(segment.owner,),
            limit=limit.max_mm,
            unit="mm",
            remedy="give from_source: with its unit",
        )
    elif limit.max_mm is not None and stand.from_source_mm > limit.max_mm + 1e-6:
        words = "enclosed all the way" if stand.enclosed else "not enclosed"
        text = (
            f"{segment.name}: its {stand.kind} stands {stand.from_source_mm:.0f} mm from {declared.ends.name(owner)} "
            f"({words}), at most {limit.max_mm:.0f} mm ({limit.source})"
        )
        loose = _limit(declared, segment, stand, federal=False)
        allowed = loose.max_mm is not None and stand.from_source_mm <= loose.max_mm + 1e-6
        yield declared.project.finding(
            "fuse 6",
            stand.key,
            text + (f"; {loose.source} allows it" if allowed else ""),
            measured=stand.from_source_mm,
            limit=limit.max_mm,
            unit="mm",
            subjects=(segment.owner,),
            severity=Severity.WATCH if allowed else None,
            remedy="move it nearer, or enclose the conductor up to it",
        )


def _limit(declared: Declared, segment: WireSegment, stand: ProtectiveDevice, *, federal: bool) -> PlaceLimit:
    """Return the greatest distance; a shore inlet has one of its own in ABYC E-11."""
    owner = stand.where.partition("/")[0]
    kind = _source_kind(declared.project, segment, owner)
    found = place_limit(declared.practice, kind, sheathed=bool(stand.enclosed), federal=federal)
    supply = declared.project.supplies.get(owner)
    if declared.practice is Practice.ABYC and supply is not None and supply.kind == "shore":
        return replace(found, max_mm=SHORE_INLET_MAX_MM, source="ABYC E-11 (from memory)")
    return found


def _source_kind(project: Project, segment: WireSegment, owner: str) -> SourceKind:
    if segment.ac:
        return SourceKind.AC
    supply = project.supplies.get(owner)
    if supply is None:
        return SourceKind.OTHER
    if supply.kind == "battery":
        return SourceKind.BATTERY
    return SourceKind.CHARGING if supply.kind in ("alternator", "charger", "solar") else SourceKind.OTHER
