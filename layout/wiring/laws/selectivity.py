"""Which of two devices one behind the other opens first, as far as their ratings show it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.wiring.laws.breach import Breach
from layout.wiring.system.fault_network import network_of
from layout.wiring.system.graph import LIVE_POLES
from layout.wiring.system.infeeds import limits_itself
from layout.wiring.system.nets import bare_nets, different_states, nets

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.wiring.system.graph import Guard, PowerSource, SwitchState, System
    from layout.wiring.system.nets import Nets

FUSE_RATIO = 1.6
"""Ratio from which two fuses of one kind are selective by their ratings (common practice)."""


def selectivity(system: System) -> Iterator[Breach]:
    """Yield devices whose rating is not clearly below that of the nearest one before them, in any state.

    A source that limits itself opens nothing at once, and two devices with no branch between them part the same things.
    """
    told: set[str] = set()
    for state in different_states(system):
        if not state.all_open:
            for guard, before in _behind(system, state):
                if guard.device not in told and (breach := _compared(guard, before)) is not None:
                    told.add(guard.device)
                    yield breach


def _behind(system: System, state: SwitchState) -> Iterator[tuple[Guard, Guard]]:
    """Yield each device of a radial conductor with the nearest one before it, the highest of several."""
    network, _ = network_of(system, state)
    bare = bare_nets(system, state)
    live = [guard for guard in system.guards if guard.pole in LIVE_POLES]
    whole = nets(system, state)
    driven = {whole.head(source.live) for source in _driving(system)}
    by_key = {guard.key: guard for guard in live}
    at: dict[str, list[Guard]] = {}
    for guard in live:
        for node in dict.fromkeys((bare.head(guard.a), bare.head(guard.b))):
            at.setdefault(node, []).append(guard)
    loaded = {bare.head(consumer.live) for consumer in system.consumers if consumer.live is not None}
    feeding: dict[str, list[Guard]] = {}
    for guard in live:
        inner = next((node for node in (guard.a, guard.b) if network.is_leaf_side(guard.key, node)), None)
        if inner is None or guard.rating_a is None or whole.head(guard.a) not in driven:
            continue
        between = bare.head(guard.a if inner == guard.b else guard.b)
        near = [by_key[key] for key in network.leading_to(inner) if key in by_key][1:2]
        if not near:
            if between not in feeding:
                feeding[between] = _feeding(system, state, between, at[between], bare)
            near = [entry for entry in feeding[between] if entry.device != guard.device]
        branches = len(at[between]) > 1 + len(near) or between in loaded
        if near and branches:
            yield guard, max(near, key=lambda entry: entry.rating_a or 0.0)


def _driving(system: System) -> list[PowerSource]:
    return [source for source in system.sources if not source.charges and not limits_itself(source)]


def _feeding(system: System, state: SwitchState, between: str, here: list[Guard], bare: Nets) -> list[Guard]:
    """Return the devices at a net beyond which a source stands."""
    beyond = nets(system, state, without={guard.device for guard in here})
    heads = {beyond.head(source.live) for source in _driving(system)}
    far = {guard.key: guard.b if bare.head(guard.a) == between else guard.a for guard in here}
    return [guard for guard in here if guard.rating_a is not None and beyond.head(far[guard.key]) in heads]


def _compared(guard: Guard, before: Guard) -> Breach | None:
    assert guard.rating_a is not None
    assert before.rating_a is not None
    text = f"{guard.name}: {guard.rating_a:g} A behind {before.rating_a:g} A"
    if before.rating_a <= guard.rating_a:
        text += f", {before.name}: both can open"
        rule, remedy = "fuse 13", "raise the feeder's device or lower this one"
    elif before.rating_a < FUSE_RATIO * guard.rating_a:
        text += f", {before.name}: the ratings don't show which opens first"
        rule, remedy = "fuse 14", "compare the makers' curves"
    else:
        return None
    return Breach(
        rule=rule,
        entry=guard.entry,
        message=text,
        remedy=remedy,
        way=(before.key, guard.key),
        related=(before.entry,),
        measured=before.rating_a / guard.rating_a,
        limit=FUSE_RATIO,
    )
