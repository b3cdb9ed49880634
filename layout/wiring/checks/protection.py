"""Protective devices: there, rated right, near enough, able to break, and in order one behind the other."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.findings import Severity
from layout.standards.placement import SHORE_INLET_MAX_MM, PlaceLimit, SourceKind, place_limit
from layout.standards.protection import CONTINUOUS_SHARE, RatingRule, rating_limit_a, standard_ratings_a
from layout.standards.tables import Practice
from layout.wiring.checks.common import about
from layout.wiring.protection.protective_device import SERIES, ProtectiveDevice, limits_itself, stand_before

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.findings import Finding
    from layout.wiring.circuits.segments import Segment
    from layout.wiring.circuits.supply_graph import SourceReach
    from layout.wiring.sizing.circuitry import Case


def protection_findings(case: Case) -> Iterator[Finding]:
    """Yield what is wrong with protective devices, feeders first."""
    yield from _feeders(case)
    yield from _circuits(case)


def _feeders(case: Case) -> Iterator[Finding]:
    for key, segment in case.segments.items():
        if segment.owner_kind != "feeder" or not any(lead.live for lead in segment.leads):
            continue
        start, end = case.feeder_stands.get((key, False)), case.feeder_stands.get((key, True))
        if segment.cranking:
            text = f"{segment.name}: engine starting conductor, exempt from overcurrent protection"
            yield about(case, "fuse 20", key, text)
        else:
            yield from _sources(case, segment, start, end)
        for stand in (start, end):
            if stand is None:
                continue
            yield from _device(case, segment, stand)
            yield from _place(case, segment, stand)
            amps = _at_once(case, key)
            if stand.rating_a is not None and amps is not None and amps > stand.rating_a * 1.0001:
                text = f"{segment.name}: {amps:.1f} A at once behind a device of {stand.rating_a:g} A"
                yield about(
                    case,
                    "fuse 4",
                    key,
                    text,
                    measured=amps,
                    limit=stand.rating_a,
                    unit="A",
                    remedy="load it less at once, or say its diversity",
                )


def _at_once(case: Case, key: str) -> float | None:
    """Return what a feeder's loads or charging sources can make flow at once, its own device left aside."""
    loads = [amps for one, amps in case.flows.load_a.items() if one[0] == key]
    charges = [amps for one, amps in case.flows.charge_a.items() if one[0] == key]
    return None if None in loads else max((amps for amps in (*loads, *charges) if amps is not None), default=None)


def _sources(
    case: Case, segment: Segment, start: ProtectiveDevice | None, end: ProtectiveDevice | None
) -> Iterator[Finding]:
    """Ask for a device at or before a feeder's start, and for one at its end where a source stands there."""
    first, last = case.ends.owner(segment.start), case.ends.owner(segment.end)
    supplies = case.project.supplies
    before = start or stand_before(segment.key, case.supplying, case.feeder_stands)
    if before is None and not (limits_itself(case.project, first) and end is not None):
        source = f"{case.ends.name(first)}"
        text = f"{segment.name}: no protective device between {source} and this conductor"
        yield about(case, "fuse 1", segment.key, text, remedy=f"put a fuse at {source} and say protection:")
        return
    fed_back = last in supplies and supplies[last].kind == "battery"
    fed_by_charger = first in supplies and supplies[first].kind in ("alternator", "charger", "solar")
    if fed_by_charger and end is None:
        text = f"{segment.name}: {case.ends.name(last)} can feed it from its far end, where it has no device"
        yield about(case, "fuse 15", segment.key, text, remedy="put a device at its end; say protection_to:")
    elif fed_back and end is None and not limits_itself(case.project, first) and first in supplies:
        text = f"{segment.name}: it lies between two sources and has no device at {case.ends.name(last)}"
        yield about(case, "fuse 15", segment.key, text, remedy="say protection_to:")
    elif fed_by_charger and start is None and not limits_itself(case.project, first):
        text = f"{segment.name}: {case.ends.name(first)} is not said to limit itself, and no device stands there"
        yield about(case, "fuse 15", segment.key, text, remedy="say self_limiting: true, or put a device there")

    else:
        yield from _bare(case, segment, start, end)


def _bare(
    case: Case, segment: Segment, start: ProtectiveDevice | None, end: ProtectiveDevice | None
) -> Iterator[Finding]:
    """Name each source that reaches a feeder in some state with no device on the way, whatever others have."""
    first = segment.leads[0]
    found: dict[str, str] = {}
    for one in case.supplying:
        if limits_itself(case.project, one.source):
            continue
        for near in _entered_at(one.live, segment.key):
            own = start if near == first.start_node else end
            before = [link.key for link in one.live.path(near) or () if link.kind == "wire"]
            guarded = any((key, at_end) in case.feeder_stands for key in before for at_end in (False, True))
            if own is None and not guarded:
                found.setdefault(one.source, one.state)
    for source, state in found.items():
        text = f"{segment.name}: {case.ends.name(source)} feeds it in state '{state}' with no protective device between"
        remedy = "put a device where that source's current enters it, or before: protection: or protection_to:"
        yield about(case, "fuse 15", segment.key, text, related=(f"supplies.{source}",), remedy=remedy)


def _entered_at(reach: SourceReach, key: str) -> list[str]:
    """Return the nodes at which a source's current enters a feeder: both where it closes a ring."""
    found = [link.other(node) for node, link in reach.by.items() if link.key == key and link.kind == "wire"]
    return found + [node for link in reach.closing if link.key == key for node in (link.a, link.b)]


def _circuits(case: Case) -> Iterator[Finding]:
    done: set[tuple[str, str]] = set()
    for circuit, ways in case.chains.items():
        for chain in ways:
            first = chain.feed[0].segment
            if (circuit, first) in done:
                continue
            done.add((circuit, first))
            segment = case.segments[first]
            stand = case.stands.get((circuit, first))
            if stand is None:
                text = f"{segment.name}: no protective device at {chain.source_node}"
                remedy = "give protection: to it, or start it at a way"
                yield about(case, "fuse 1", segment.owner, text, remedy=remedy)
                continue
            yield from _load(case, circuit, segment, stand)
            yield from _device(case, segment, stand)
            if not stand.from_way:
                yield from _place(case, segment, stand)


def _load(case: Case, circuit: str, segment: Segment, stand: ProtectiveDevice) -> Iterator[Finding]:
    load = case.project.circuits[circuit].load
    amps = case.currents[circuit].current_a
    rating = stand.rating_a
    if rating is None:
        if amps is not None:
            text = f"{segment.name}: no standard rating of a {stand.kind} carries {amps:.3g} A"
            yield about(case, "fuse 21", stand.key, text, remedy="give a rating, or another kind of device")
        return
    if amps is not None and amps > rating * 1.0001:
        text = f"{segment.name}: {amps:.3g} A behind a device of {rating:g} A"
        yield about(
            case,
            "fuse 3",
            stand.key,
            text,
            measured=amps,
            limit=rating,
            unit="A",
            subjects=(segment.owner,),
            remedy="take a higher rating and the conductor for it",
        )
    elif load is not None and load.continuous and amps is not None and amps > CONTINUOUS_SHARE * rating * 1.0001:
        text = f"{segment.name}: {amps:.3g} A for hours is over 80 % of the device's {rating:g} A"
        yield about(
            case,
            "fuse 5",
            stand.key,
            text,
            measured=amps,
            limit=CONTINUOUS_SHARE * rating,
            unit="A",
            subjects=(segment.owner,),
            remedy="take the next rating and the conductor for it",
        )
    if load is not None and load.largest_protection is not None and rating > load.largest_protection:
        text = f"{segment.name}: {rating:g} A, its maker allows {load.largest_protection:g} A"
        yield about(
            case,
            "fuse 17",
            stand.key,
            text,
            measured=rating,
            limit=load.largest_protection,
            unit="A",
            subjects=(segment.owner,),
            remedy="take a lower rating",
        )


def _device(case: Case, segment: Segment, stand: ProtectiveDevice) -> Iterator[Finding]:
    """Rating against conductor and range, voltage, and breaking capacity."""
    subjects = (segment.owner,)
    plan = case.plans[segment.key]
    bears = plan.sizing.verdict.ampacity if plan.sizing else None
    if stand.rating_a is not None and bears is not None and stand.rating_a > bears.current_a + 1e-9:
        loose = rating_limit_a(bears.current_a, rule=RatingRule.FLAT_150, voltage_v=segment.nominal_v or 12.0)
        text = f"{segment.name}: {stand.rating_a:g} A before a conductor that bears {bears.current_a:.3g} A"
        text += "; within the 150 % of 33 CFR 183.455(c)" if stand.rating_a <= loose else ""
        yield about(
            case,
            "fuse 2",
            stand.key,
            text,
            measured=stand.rating_a,
            limit=bears.current_a,
            unit="A",
            subjects=subjects,
            remedy="take a lower rating or a thicker conductor",
        )
    series = SERIES.get(stand.kind)
    if stand.given and stand.rating_a is not None and series and stand.rating_a not in standard_ratings_a(series):
        text = f"{segment.name}: {stand.rating_a:g} A is no standard rating of a {stand.kind}"
        yield about(case, "fuse 19", stand.key, text, subjects=subjects, remedy="check the maker's list")


def _place(case: Case, segment: Segment, stand: ProtectiveDevice) -> Iterator[Finding]:
    """Judge how far from its source the device stands, along the conductor."""
    owner = stand.where.partition("/")[0]
    if stand.kind == "built-in":
        return
    limit = _limit(case, segment, stand, federal=True)
    if stand.from_source_mm is None:
        text = f"{segment.name}: how far its {stand.kind} stands from {case.ends.name(owner)} is not known"
        yield about(
            case,
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
            f"{segment.name}: its {stand.kind} stands {stand.from_source_mm:.0f} mm from {case.ends.name(owner)} "
            f"({words}), at most {limit.max_mm:.0f} mm ({limit.source})"
        )
        loose = _limit(case, segment, stand, federal=False)
        allowed = loose.max_mm is not None and stand.from_source_mm <= loose.max_mm + 1e-6
        yield about(
            case,
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


def _limit(case: Case, segment: Segment, stand: ProtectiveDevice, *, federal: bool) -> PlaceLimit:
    """Return the greatest distance; a shore inlet has one of its own in ABYC E-11."""
    owner = stand.where.partition("/")[0]
    kind = _source_kind(case, segment, owner)
    found = place_limit(case.practice, kind, sheathed=bool(stand.enclosed), federal=federal)
    supply = case.project.supplies.get(owner)
    if case.practice is Practice.ABYC and supply is not None and supply.kind == "shore":
        return replace(found, max_mm=SHORE_INLET_MAX_MM, source="ABYC E-11 (from memory)")
    return found


def _source_kind(case: Case, segment: Segment, owner: str) -> SourceKind:
    if segment.ac:
        return SourceKind.AC
    supply = case.project.supplies.get(owner)
    if supply is None:
        return SourceKind.OTHER
    if supply.kind == "battery":
        return SourceKind.BATTERY
    return SourceKind.CHARGING if supply.kind in ("alternator", "charger", "solar") else SourceKind.OTHER
