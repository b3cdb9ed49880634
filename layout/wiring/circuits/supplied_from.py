"""What feeds what, owner by owner: which supplies stand behind a distribution panel, bar, circuit or converter."""

from __future__ import annotations

from collections import deque
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.wiring.circuits.supply_graph import positions_of, states_of

if TYPE_CHECKING:
    from layout.project.model.project import Project
    from layout.project.model.supplies import Supply

INPUTS = frozenset({"in", "input", "L", "N", "PE"})
"""Terminals by which a converter or charger takes its power."""
AC_INPUTS = frozenset({"in", "input", "+", "-"})
"""Terminals by which an inverter takes its power; shore and generators take none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SuppliedFrom:
    """A supply that feeds an owner, and how many feeders and switches stand between."""

    id: str
    supply: Supply
    steps: int


def sources_of(project: Project, owner: str, *, state: str | None = None) -> tuple[SuppliedFrom, ...]:
    """Return the supplies that feed an owner in a switch state, nearest first.

    The search follows feeders through bars, distribution panels and closed switches and stops at each supply. It does
    not enter a converter by its input.

    Parameters
    ----------
    owner
        Id of a supply, distribution panel, bus bar, switch or circuit.
    state
        Named switch state; left out, the first.
    """
    if owner in project.circuits:
        owner = project.circuits[owner].from_.partition("/")[0]
    if owner in project.supplies:
        return (SuppliedFrom(id=owner, supply=project.supplies[owner], steps=0),)
    links = _links(project, state)
    seen = {owner: 0}
    waiting = deque([owner])
    found: list[SuppliedFrom] = []
    while waiting:
        here = waiting.popleft()
        if here in project.supplies:
            found.append(SuppliedFrom(id=here, supply=project.supplies[here], steps=seen[here]))
            continue
        for other in links.get(here, ()):
            if other not in seen:
                seen[other] = seen[here] + 1
                waiting.append(other)
    return tuple(found)


def fed_from(project: Project, supply: str) -> str | None:
    """Return the owner that a converter, charger or inverter takes its input from; None where nothing says it."""
    found = project.supplies[supply]
    if found.fed_from is not None:
        return found.fed_from.partition("/")[0]
    for feeder in project.feeders.values():
        owner, _, terminal = feeder.to.partition("/")
        if owner == supply and _is_input(found, terminal):
            return feeder.from_.partition("/")[0]
    for circuit in project.circuits.values():
        if found.device is not None and circuit.to.partition("/")[0] in (found.device, supply):
            return circuit.from_.partition("/")[0]
    return None


def _is_input(supply: Supply, terminal: str) -> bool:
    if supply.kind in ("battery", "shore", "generator"):
        return False
    return terminal in (AC_INPUTS if supply.kind == "inverter" else INPUTS)


def _links(project: Project, state: str | None) -> dict[str, tuple[str, ...]]:
    states = states_of(project)
    positions = states[state] if state is not None else next(iter(states.values()), {})
    closed = {
        key
        for key, switch in project.battery_switches.items()
        if positions_of(switch).get(positions.get(key, next(iter(positions_of(switch)))))
    }
    links: dict[str, list[str]] = {}
    for feeder in project.feeders.values():
        if feeder.aboard == "remove" or not {"+", "L"} & set(feeder.poles):
            continue
        ends = [feeder.from_.partition("/"), feeder.to.partition("/")]
        names = [owner for owner, _, _ in ends]
        if any(owner in project.battery_switches and owner not in closed for owner in names):
            continue
        for (owner, _, _), (other, _, other_terminal) in (ends, ends[::-1]):
            if other in project.supplies and _is_input(project.supplies[other], other_terminal):
                continue
            links.setdefault(owner, []).append(other)
    return {owner: tuple(others) for owner, others in links.items()}
