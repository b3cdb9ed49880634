"""Switches, changeovers and isolators against what protects them: not the loads of today, but the device before them.

Source: a switch is protected by the overcurrent device before it (IEC 60947-3, IEC 60947-6-1 for changeovers, from
memory).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from layout.findings.table import Severity
from layout.wiring.laws.breach import Breach
from layout.wiring.system.bridges import cuts, edges_of
from layout.wiring.system.flow import Currents
from layout.wiring.system.graph import LIVE_POLES
from layout.wiring.system.nets import different_states

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.wiring.system.graph import SwitchContact, SwitchState, System

_SLACK = 1 + 1e-6


def switch_protection(system: System) -> Iterator[Breach]:
    """Yield each switch and built-in changeover through which devices let more flow than it is rated for.

    Where no device limits what flows, the conductor without protection is what is wrong (law 2); a rating that is not
    known is asked where the switch is in use (law 11).
    """
    worst: dict[str, tuple[float, SwitchContact, str]] = {}
    for state in different_states(system):
        for contact, amps in _through(system, state):
            rating = contact.rating_a
            beyond = rating is not None and not math.isinf(amps) and amps > rating * _SLACK
            if beyond and amps > worst.get(contact.entry, (0.0, contact, ""))[0]:
                worst[contact.entry] = (amps, contact, state.name)
    for entry, (amps, contact, name) in worst.items():
        yield Breach(
            rule="fuse 122",
            entry=entry,
            message=f"{system.node[contact.a].name.partition(',')[0]}: what stands before it lets {amps:g} A flow in "
            f"state '{name}', it is rated for {contact.rating_a:g} A",
            remedy="put a device of its rating before it, or take one that is rated higher",
            way=(contact.key,),
            measured=amps,
            limit=contact.rating_a,
            unit="A",
            severity=Severity.STOP if contact.pole == "L" else None,
        )


def _through(system: System, state: SwitchState) -> Iterator[tuple[SwitchContact, float]]:
    """Yield the live contacts that are closed in a state, with the most that flows through; alone if for minutes."""
    closed = [contact for contact in system.closed(state) if contact.pole in LIVE_POLES]
    if state.all_open or not closed:
        return
    everything = Currents(system, state)
    devices = {guard.key for guard in system.guards}
    entries = {source.live for source in system.sources}
    entries |= {end for guard in system.guards for end in (guard.a, guard.b)}
    parted = cuts((edge for edge in edges_of(system, state) if edge[0] not in devices), entries)
    for currents in [everything.of([s.key]) for s in system.sources] if state.short_time else [everything]:
        for contact in closed:
            cut = parted.get(contact.key)
            if cut is None:
                yield contact, currents.most(contact.a)
            else:
                yield contact, max(currents.into_side(contact.a, cut.on_a), currents.into_side(contact.b, cut.on_b))
