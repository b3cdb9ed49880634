"""Contacts of switches and of inverters' own changeovers, and the states that close them."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from layout.frozen import FrozenMap
from layout.wiring.circuits.supply_graph import (
    INVERTING,
    PARALLELING,
    THROUGH,
    changeovers,
    is_short_time,
    once_taken_over,
    positions_of,
    states_in,
    wires,
)
from layout.wiring.system.graph import Pole, SwitchContact, SwitchState

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from layout.project.model.project import Project
    from layout.wiring.circuits.segments import WireSegment
    from layout.wiring.system.graph import Conductor
    from layout.wiring.system.terminals import Terminals

_ORDER: tuple[Pole, ...] = ("+", "L", "-", "N")
"""Poles as a switch takes them: the live one first."""


def switch_contacts(terminals: Terminals, conductors: Iterable[Conductor], project: Project) -> Iterator[SwitchContact]:
    """Yield each pole of each battery switch, by what lands on it: one of one pole may stand in the return alone."""
    landed: dict[str, set[str]] = {}
    for conductor in conductors:
        for end in (conductor.start, conductor.end):
            landed.setdefault(terminals.node(end).owner, set()).add(conductor.pole)
    for key, switch in project.battery_switches.items():
        if switch.aboard == "remove":
            continue
        pairs: dict[tuple[str, str], list[str]] = {}
        for position, joined in positions_of(switch).items():
            for low, high in joined:
                pairs.setdefault((low, high), []).append(position)
        here = [pole for pole in _ORDER if pole in landed.get(key, ())]
        live, others = [pole for pole in here if pole in _ORDER[:2]][:1], [pole for pole in here if pole in _ORDER[2:]]
        poles = live + others if switch.poles >= 2 or not live else live
        for (low, high), positions in pairs.items():
            for pole in poles[: max(switch.poles, 1)]:
                yield SwitchContact(
                    key=f"{key} {low} {high} {pole}",
                    switch=key,
                    a=terminals.switch(key, low, pole),
                    b=terminals.switch(key, high, pole),
                    pole=pole,
                    positions=tuple(positions),
                    rating_a=switch.rating,
                    starting_a=switch.starting_rating,
                    automatic=switch.kind == "charging relay",
                )


def changeover_contacts(terminals: Terminals, project: Project) -> Iterator[SwitchContact]:
    """Yield the changeover inside each inverter with an AC input; one that assists stays joined to what it passes.

    With all switches open it counts as inverting: the shore is unplugged before work, a bank is not.
    """
    for key in changeovers(project):
        supply = project.supplies[key]
        adds = (INVERTING,) if supply.assist is False else (INVERTING, THROUGH)
        for pole, behind in (("L", ""), ("N", ":N")):
            for side, positions in (("own", adds), ("in", (THROUGH,))):
                yield SwitchContact(
                    key=f"{key} {side} {pole}",
                    switch=key,
                    a=terminals.post(key, f"{side}{behind}"),
                    b=terminals.post(key, pole),
                    pole=cast("Pole", pole),
                    positions=positions,
                    rating_a=supply.transfer if side == "in" else None,
                    automatic=side == "own",
                    built_in=True,
                )


def switch_states(project: Project, segments: Iterable[WireSegment]) -> tuple[SwitchState, ...]:
    """Return the states that the file names, what they become when an inverter takes over, and all switches open."""
    switches = {key: switch for key, switch in project.battery_switches.items() if switch.aboard != "remove"}
    named, own = states_in(project, wires(segments)), changeovers(project)
    follows = {once_taken_over(project, name, key): name for name in named for key in own}
    states = []
    for name, given in named.items():
        positions = {key: given[key] for key in own}
        for key, switch in switches.items():
            known = positions_of(switch)
            opened = next((at for at, pairs in known.items() if not pairs), next(iter(known)))
            positions[key] = given.get(key, opened if switch.kind in PARALLELING else next(iter(known)))
        short = is_short_time(project, name, positions)
        after = follows.get(name, "")
        states.append(SwitchState(name=name, positions=FrozenMap(positions), short_time=short, follows=after))
    return (*states, SwitchState(name="all switches open", all_open=True))
