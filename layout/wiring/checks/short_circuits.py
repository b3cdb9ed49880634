"""Fault currents at every protective device of the DC side, over all sources and states."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from layout.wiring.circuits.segments import return_end
from layout.wiring.protection.short_circuit import (
    COLD_C,
    FULL_SHARE,
    FULL_SHARE_LITHIUM,
    LOW_SHARE,
    FaultRange,
    FaultSource,
    highest_a,
    internal_ohm,
    lowest_a,
    table_breaking_a,
)
from layout.wiring.sizing.drop import Copper, copper_ohm_per_m

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layout.project.model.supplies import Supply
    from layout.wiring.circuits.segments import Segment
    from layout.wiring.circuits.supply_graph import Link, SourceInState
    from layout.wiring.sizing.circuitry import Case
    from layout.wiring.sizing.segment_state import SegmentState


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultBook:
    """Fault range by segment key, for the device that stands at the start of the segment."""

    by_segment: Mapping[str, FaultRange]


def source_of(key: str, supply: Supply) -> FaultSource:
    """Return a supply as a fault sees it.

    Internal resistance as declared, else from the maker's fault current, else from cold cranking amperes; a source
    that limits itself gives its largest current.
    """
    limits = bool(supply.self_limiting)
    most = supply.fault_current
    if limits and most is None:
        most = supply.current if supply.current is not None else (supply.power or 0.0) / supply.voltage or None
    resistance, basis = supply.resistance, "declared resistance"
    if resistance is None and most is None and supply.cold_cranking and supply.chemistry != "lithium":
        resistance = internal_ohm(nominal_v=supply.voltage, cranking_a=supply.cold_cranking)
        basis = "resistance from cold cranking amperes"
    return FaultSource(
        name=supply.name or key,
        full_v=(FULL_SHARE_LITHIUM if supply.chemistry == "lithium" else FULL_SHARE) * supply.voltage,
        low_v=supply.lowest_voltage or LOW_SHARE * supply.voltage,
        resistance_ohm=None if limits else resistance,
        most_a=most,
        cranking_a=supply.cold_cranking,
        lithium=supply.chemistry == "lithium",
        limits_itself=limits,
        basis=basis,
    )


def fault_book(case: Case) -> FaultBook:
    """Work out the fault range of every DC segment that a protective device stands before."""
    found: dict[str, FaultRange] = {}
    with_device = {segment for _, segment in case.stands} | {segment for segment, _ in case.feeder_stands}
    for key, plan in case.plans.items():
        if key in with_device and not plan.segment.ac and plan.segment.leads[0].live:
            found[key] = _range(case, plan.segment)
    return FaultBook(by_segment=found)


def _range(case: Case, segment: Segment) -> FaultRange:
    at_end = (segment.key, False) not in case.feeder_stands and (segment.key, True) in case.feeder_stands
    start = segment.leads[0].end_node if at_end else segment.leads[0].start_node
    here = segment.end if at_end else segment.start
    home = case.ends.node(return_end(case.ends, here, "-", segment.nominal_v), "-", incoming=False)
    highest: float | None = None
    lowest: float | None = None
    unknown: list[str] = []
    worst: list[FaultSource] = []
    limited = True
    charging = {case.project.supplies[one.source].name or one.source for one in case.charging}
    loop = _loop_ohm(case, segment)
    for state in dict.fromkeys(one.state for one in case.supplying):
        parts = [
            (source, path)
            for one in (*case.supplying, *case.charging)
            if one.state == state
            for source, path in _part(case, one, start, home)
        ]
        if not parts:
            continue
        unknown += [source.name for source, _ in parts if not source.known]
        cold = [(source, _ohm(case, path, cold=True)) for source, path in parts]
        top = highest_a((source, amps or 0.0) for source, amps in cold)
        if top is not None and (highest is None or top > highest):
            highest, worst = top, [source for source, _ in parts]
        strong = [(source, path) for source, path in parts if not source.limits_itself]
        if strong and limited:
            limited, lowest = False, None
        weak = [] if not limited else [(source, path) for source, path in parts if source.name not in charging]
        hot = [(source, _ohm(case, path, cold=False)) for source, path in strong or weak]
        if loop is not None and all(value is not None for _, value in hot):
            low = lowest_a((source, (value or 0.0) + loop) for source, value in hot)
            lowest = low if lowest is None or (low is not None and low < lowest) else lowest
    main = not _has_device_before(case, segment)
    table, source = table_breaking_a(worst, nominal_v=segment.nominal_v or 12.0, main=main)
    return FaultRange(
        highest_a=None if unknown else highest,
        lowest_a=None if unknown else lowest,
        table_a=table,
        table=source,
        unknown=tuple(dict.fromkeys(unknown)),
        limited=limited and lowest is not None,
    )


def _part(case: Case, one: SourceInState, start: str, home: str) -> list[tuple[FaultSource, tuple[Link, ...]]]:
    path = one.path(start, home)
    if path is None:
        return []
    return [(source_of(one.source, case.project.supplies[one.source]), path)]


def _ohm(case: Case, path: Iterable[Link], *, cold: bool) -> float | None:
    """Return the resistance of a path; a conductor of unknown size or length counts 0 cold and makes it unknown hot."""
    total = 0.0
    for link in path:
        if link.kind == "wire":
            one = _plan_ohm(case, case.plans[link.key], cold=cold)
            if one is None and not cold:
                return None
            total += one or 0.0
    return total


def _plan_ohm(case: Case, plan: SegmentState, *, cold: bool) -> float | None:
    if plan.size is None or plan.length.total_mm is None:
        return None
    copper = Copper(
        temperature_c=COLD_C if cold else plan.insulation_c,
        tinned=plan.copper.tinned and not cold,
        strand_class=plan.copper.strand_class,
    )
    both = copper_ohm_per_m(plan.size, practice=case.practice, copper=copper)
    return (min(both) if cold else max(both)) * plan.length.total_mm / 1000


def _loop_ohm(case: Case, segment: Segment) -> float | None:
    """Return the hot resistance of what lies behind a device: its circuit out and back, or the feeder itself."""
    ways = [
        chain
        for circuit in segment.circuits
        for chain in case.chains.get(circuit, ())
        if chain.feed[0].segment == segment.key
    ]
    if not ways:
        return _plan_ohm(case, case.plans[segment.key], cold=False)
    totals = []
    for chain in ways:
        parts = [_plan_ohm(case, case.plans[step.segment], cold=False) for step in chain.steps]
        if None in parts:
            return None
        totals.append(sum(value or 0.0 for value in parts))
    return max(totals)


def _has_device_before(case: Case, segment: Segment) -> bool:
    """Tell whether another device stands between the source and this one: then it is a branch device."""
    node = segment.leads[0].start_node
    for one in case.supplying:
        path = one.live.path(node)
        if path is not None and any((link.key, False) in case.feeder_stands for link in path if link.kind == "wire"):
            return True
    return False
