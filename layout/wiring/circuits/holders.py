"""Conductors whose protective device stands in a holder of its own: one part up to the holder, and one from it."""

from __future__ import annotations

from dataclasses import replace
from itertools import groupby
from typing import TYPE_CHECKING

from layout.wiring.circuits.ends import LIVE
from layout.wiring.circuits.segments import make_lead

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from layout.project.model.supplies import Protection
    from layout.wiring.circuits.ends import Ends
    from layout.wiring.circuits.segments import Lead, WireSegment


def parted_at_holders(ends: Ends, segments: Iterable[WireSegment]) -> Iterator[WireSegment]:
    """Yield segments in their order, each from its holders on; the parts up to those come after all of its owner.

    A segment without such a holder stays as it is. So a holder that is added changes no number of another conductor.
    """
    for _, mine in groupby(segments, key=lambda segment: segment.owner):
        tails: dict[str, WireSegment] = {}
        for segment in mine:
            yield _parted(ends, segment, tails)
        yield from tails.values()


def _parted(ends: Ends, segment: WireSegment, tails: dict[str, WireSegment]) -> WireSegment:
    """Return a segment from its holders on; the part up to each holder, of legs that share one the first's, is kept."""
    whole = segment
    for device, at_end in ((segment.protection, False), (segment.protection_end, True)):
        holder = ends.holder(device, segment.end if at_end else segment.start)
        if holder is None or device is None:
            continue
        before: list[Lead] = []
        after: list[Lead] = []
        for lead in whole.leads:
            live = lead.pole in LIVE or lead.pole == "sense"
            if not live and lead.pole not in segment.guarded_poles:
                after.append(lead)
                continue
            mark = "" if live else f":{lead.pole}"
            fed, left = f"{holder}/in{mark}", f"{holder}/out{mark}"
            near, far = ((fed, lead.end), (lead.start, left)) if at_end else ((lead.start, fed), (left, lead.end))
            before.append(make_lead(ends, lead.pole, *near, lead.current_a))
            after.append(make_lead(ends, lead.pole, *far, lead.current_a))
        tails.setdefault(holder, _tail(segment, device, tuple(before), at_end=at_end))
        whole = replace(
            whole,
            leads=tuple(after),
            fed_at=whole.fed_at if at_end else segment.start,
            fed_at_end=segment.end if at_end else whole.fed_at_end,
        )
    return whole


def _tail(segment: WireSegment, device: Protection, leads: tuple[Lead, ...], *, at_end: bool) -> WireSegment:
    return replace(
        segment,
        key=tail_key(segment.key, at_end=at_end),
        name=f"{segment.name}, up to its {device.kind}",
        leads=leads,
        wireways=(),
        length_mm=device.from_source if segment.length_mm is not None else None,
        protection=None if at_end else device,
        protection_end=device if at_end else None,
        tail_of=segment.key,
    )


def tail_key(key: str, *, at_end: bool) -> str:
    """Return the key of the part of a segment up to the holder at its start or end."""
    part = "tail end" if at_end else "tail"
    return f"{key} {part}" if ":" in key else f"{key}:{part}"
