"""Sizes of conductors that only earth or bond: they carry no load, so their rule asks by what they serve."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.standards.earthing import bonding_mm2, protective_mm2

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.wiring.circuits.segments import WireSegment
    from layout.wiring.sizing.segment_state import SegmentState
    from layout.wiring.sizing.sized_segment import SizedSegment


def size_earths(plans: Mapping[str, SegmentState]) -> None:
    """Give each earth or bond the thinnest size that its rule takes, or the thickest there is."""
    for plan in plans.values():
        need = earth_need_mm2(plans, plan.segment) if plan.segment.is_earth else None
        if need is None or plan.fixed_size or plan.segment.aboard == "keep":
            continue
        plan.size = next((size for size in plan.sizes if size.area_mm2 >= need - 1e-9), plan.sizes[-1])


def earth_need_mm2(plans: Mapping[str, SegmentState | SizedSegment], segment: WireSegment) -> float | None:
    """Return the least area of an earth or bond, by the thickest line conductor aboard; None while one has no size."""
    lines = [
        other.size.area_mm2 if other.size else None
        for other in plans.values()
        if any(lead.pole == "L" for lead in other.segment.leads)
    ]
    known = [area for area in lines if area is not None]
    if len(known) < len(lines):
        return None
    line = max(known, default=0.0)
    return bonding_mm2(line) if any(lead.pole == "bond" for lead in segment.leads) else protective_mm2(line)
