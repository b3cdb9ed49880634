"""Fault currents and devices one behind the other: does a short open the right device, and surely."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from layout.wiring.checks.common import about
from layout.wiring.circuits.supply_graph import live_wires

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.findings import Finding
    from layout.wiring.checks.short_circuits import FaultBook
    from layout.wiring.circuits.segments import Segment
    from layout.wiring.protection.protective_device import ProtectiveDevice
    from layout.wiring.protection.short_circuit import FaultRange
    from layout.wiring.sizing.circuitry import Case

SURE_SHARE = 1.6
"""Multiple of its rating at which a fuse or breaker surely opens within its conventional time (IEC 60269-1 gG 1.6,
IEC 60898-1 1.45, from memory)."""
FUSE_RATIO = 1.6
"""Ratio from which two fuses of one kind are selective by their ratings (common practice)."""


def fault_findings(case: Case, book: FaultBook) -> Iterator[Finding]:
    """Yield devices that a short at the far end does not open, and branches that take their feeder out."""
    yield from _batteries(case)
    yield from _curves(case, book)
    for (_, first), stand in case.stands.items():
        yield from _selective(case, case.segments[first], stand)


def _batteries(case: Case) -> Iterator[Finding]:
    """Name what is not known of a bank although breaking capacities hang on it."""
    for key, supply in case.project.supplies.items():
        if supply.kind != "battery" or supply.aboard == "remove" or supply.fault_current is not None:
            continue
        missing = []
        if supply.chemistry is None:
            missing.append("whether it is lead or lithium (lithium asks for the 20 kA class)")
        if supply.chemistry != "lithium" and supply.cold_cranking is None:
            missing.append("its cold cranking amperes (Table V-A goes by them)")
        if missing:
            text = f"{supply.name or key}: {' and '.join(missing)} is not known, so breaking capacity is judged without"
            yield about(case, "fuse 38", f"supplies.{key}", text, remedy="read its label, and say it")


def _selective(case: Case, segment: Segment, stand: ProtectiveDevice) -> Iterator[Finding]:
    """Compare a branch device with the nearest one before it, as far as ratings show anything."""
    node = segment.leads[0].start_node
    for one in case.supplying:
        path = one.live.path(node)
        if path is None:
            continue
        before = next((s for link in live_wires(path) if (s := case.feeder_stands.get((link.key, False)))), None)
        if before is None or before.rating_a is None or stand.rating_a is None:
            continue
        text = f"{segment.name}: {stand.rating_a:g} A behind {before.rating_a:g} A"
        if before.rating_a <= stand.rating_a:
            text += f" at {before.where}: both can open"
            rule, remedy = "fuse 13", "raise the feeder's device or lower this one"
        elif before.rating_a < FUSE_RATIO * stand.rating_a:
            text += ": the ratings don't show which opens first"
            rule, remedy = "fuse 14", "compare the makers' curves"
        else:
            return
        yield about(
            case,
            rule,
            stand.key,
            text,
            measured=before.rating_a / stand.rating_a,
            limit=FUSE_RATIO,
            subjects=(segment.owner,),
            related=(before.key,),
            remedy=remedy,
        )
        return


def _borne(case: Case, key: str, fault: FaultRange) -> bool:
    """Tell whether sources that limit themselves give no more than the conductor bears for ever."""
    sizing = case.plans[key].sizing
    bears = sizing.verdict.ampacity if sizing is not None else None
    return fault.limited and bears is not None and (fault.highest_a or math.inf) <= bears.current_a


def _curves(case: Case, book: FaultBook) -> Iterator[Finding]:
    """Lowest fault against the trip curve; devices without a known curve are named together, panel by panel."""
    blank: dict[str, list[str]] = {}
    for key, fault in book.by_segment.items():
        segment = case.segments[key]
        stand = case.stand_of(segment)
        if stand is None or stand.rating_a is None:
            continue
        if stand.curve is None:
            blank.setdefault(".".join(stand.key.split(".")[:2]), []).append(stand.where)
        if fault.lowest_a is None or _borne(case, key, fault):
            continue
        if fault.lowest_a < SURE_SHARE * stand.rating_a - 1e-6:
            sure = SURE_SHARE * stand.rating_a
            text = f"{segment.name}: a short at its far end gives {fault.lowest_a:.0f} A"
            text += f", its device of {stand.rating_a:g} A may never open below {sure:.0f} A"
            yield about(
                case,
                "fuse 23",
                stand.key,
                text,
                measured=fault.lowest_a,
                limit=sure,
                unit="A",
                subjects=(segment.owner,),
                remedy="thicken or shorten the run, or take a lower rating",
            )
        elif stand.curve is not None and fault.lowest_a < stand.curve * stand.rating_a - 1e-6:
            opens = stand.curve * stand.rating_a
            text = f"{segment.name}: a short at its far end gives {fault.lowest_a:.0f} A"
            text += f", its device opens at once from {opens:.0f} A"
            yield about(
                case,
                "fuse 11",
                stand.key,
                text,
                measured=fault.lowest_a,
                limit=opens,
                unit="A",
                subjects=(segment.owner,),
                remedy="its source limits itself: take a lower rating, or one that opens surely at that current"
                if fault.limited
                else "thicken or shorten the run, or take a lower rating",
            )
    for owner, where in blank.items():
        names = ", ".join(dict.fromkeys(where))
        text = f"the trip curve at {names} is not known, so a short at the far end could not be judged"
        yield about(case, "fuse 12", owner, text, remedy="give trips_at: from the maker's paper")
