"""Positions on bus bars: which wire sits on which stud, thickest next to the bar's feed, few wires a stud."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.standards.terminals import MOST_ON_A_STUD
from layout.wiring.result import StudUse

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layout.project.model.project import Project
    from layout.wiring.circuits.segments import Lead
    from layout.wiring.declared import Declared
    from layout.wiring.settled import Settled
    from layout.wiring.sizing.sized_segment import SizedSegment

_Spot = tuple[str, str]
"""(bus bar, segment key and pole)."""


def stud_spots(declared: Declared, settled: Settled) -> dict[_Spot, tuple[int, str]]:
    """Return position (from 1) and thread by (bus bar, segment key and pole).

    Feeders go first, then thick before thin, in the file's order; when each stud has one wire the next round begins.
    Wires beyond the last round get no position, and that is a finding.
    """
    found: dict[_Spot, tuple[int, str]] = {}
    for key, bar in declared.project.bus_bars.items():
        wires = sorted(_wires_at(declared, settled, key), key=lambda item: _rank(item[0]))
        for at, (plan, lead) in enumerate(wires):
            if not bar.studs or at >= MOST_ON_A_STUD * len(bar.studs):
                continue
            position = at % len(bar.studs)
            found[key, f"{plan.segment.key} {lead.pole}"] = (position + 1, bar.studs[position])
    return found


def _rank(plan: SizedSegment) -> tuple[bool, float]:
    return plan.segment.owner_kind != "feeder", -(plan.size.area_mm2 if plan.size else 0.0)


def _wires_at(declared: Declared, settled: Settled, bar: str) -> list[tuple[SizedSegment, Lead]]:
    return [
        (plan, lead)
        for plan in settled.sized.values()
        for lead in plan.segment.leads
        if bar in (declared.ends.owner(lead.start), declared.ends.owner(lead.end))
    ]


def stud_uses(
    project: Project, spots: Mapping[_Spot, tuple[int, str]], number_of: Mapping[str, str]
) -> Iterable[StudUse]:
    """Yield each stud of each bus bar with the numbers of the wires on it, empty ones too.

    Parameters
    ----------
    number_of
        Wire number by segment key and pole.
    """
    for key, bar in project.bus_bars.items():
        for position, thread in enumerate(bar.studs, start=1):
            wires = [number_of[spot[1]] for spot, at in spots.items() if spot[0] == key and at[0] == position]
            yield StudUse(block=key, position=position, stud=thread, wires=tuple(sorted(wires)))
