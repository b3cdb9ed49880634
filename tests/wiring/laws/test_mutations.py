"""Mutations of boats that keep the laws: what is cut, misplaced or left out is told, or shown to be redundant."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING, TypeVar

import pytest

import layout
from layout.wiring.laws.closed_path import closed_path
from layout.wiring.laws.dead_when_off import dead_when_off
from layout.wiring.laws.overload import overload
from layout.wiring.laws.poles import poles
from layout.wiring.laws.residual import residual
from layout.wiring.laws.voltages import voltages
from layout.wiring.system.graph import EARTH_POLES, LIVE_POLES, Join, System
from tests.conftest import FULL, ROOT, SOUND
from tests.wiring.arranged import spread_out
from tests.wiring.stages import stages_of, system_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from layout.wiring.laws.breach import Breach
    from layout.wiring.system.graph import Conductor, Guard

    Law = Callable[[System], Iterator[Breach]]

BOATS = (*(f"examples/{name}" for name in SOUND), "layout/project/new_project.yaml")
T = TypeVar("T")
MANY = 40
"""Of more than so many things only every third is changed, but in the full tests each."""
PATHS = (closed_path, poles, dead_when_off, residual, voltages)
SIGNALS = ("data", "antenna")


@cache
def boat(name: str) -> System:
    """Return the graph of an example, or of the project that a new one begins with."""
    project = layout.read(ROOT / name).project
    assert project is not None
    return system_of(stages_of(project, spread_out(project)))


def told(system: System, laws: tuple[Law, ...] = PATHS) -> set[tuple[str, str, str]]:
    """Return what some laws say, by code, entry and words."""
    return {(breach.rule, breach.entry, breach.message) for law in laws for breach in law(system)}


def tried(things: Iterable[T]) -> list[T]:
    """Return those of some things that are changed."""
    every = list(things)
    return every[:: 1 if FULL or len(every) <= MANY else 3]


def joined(system: System, start: str, goal: str, *, earth: bool = False, out: str = "") -> bool:
    """Tell whether two nodes are joined with all switches open and one device out, by a plain walk."""
    near: dict[str, set[str]] = {}
    left_out = {*SIGNALS, *(() if earth else EARTH_POLES)}
    pairs = [(conductor.start, conductor.end) for conductor in system.conductors if conductor.pole not in left_out]
    pairs += [(guard.a, guard.b) for guard in system.guards if guard.key != out]
    for a, b in (*pairs, *((join.a, join.b) for join in system.joins)):
        near.setdefault(a, set()).add(b)
        near.setdefault(b, set()).add(a)
    seen, edge = {start}, [start]
    while edge:
        more = near.get(edge.pop(), set()) - seen
        seen |= more
        edge += more
    return goal in seen


def is_needless(bared: System, gone: Guard) -> bool:
    """Tell whether each live conductor where a device is gone bears all that other devices and limits let in.

    A tail up to another device has the rule of distance instead.
    """
    inside, edge = {gone.a, gone.b}, [gone.a, gone.b]
    pairs = [(c.start, c.end) for c in bared.conductors if c.pole == gone.pole] + [(j.a, j.b) for j in bared.joins]
    pairs += [(contact.a, contact.b) for contact in bared.contacts]  # each switch closed: more can come in
    while edge:
        here = edge.pop()
        more = {b for a, b in pairs if a == here} | {a for a, b in pairs if b == here}
        edge += more - inside
        inside |= more
    let_in = sum(math.inf if s.limit_a is None else s.limit_a for s in bared.sources if s.live in inside)
    for guard in bared.guards:
        if (guard.a in inside) != (guard.b in inside):
            outer = guard.b if guard.a in inside else guard.a
            if any(joined(bared, source.live, outer, out=guard.key) for source in bared.sources):
                let_in += guard.rating_a or math.inf
    alike = [c for c in bared.conductors if c.pole in LIVE_POLES and c.pole == gone.pole and not c.is_tail]
    carrying = [c for c in alike if c.start in inside]
    return all(c.bears_a is not None and c.bears_a >= let_in for c in carrying)


@pytest.mark.parametrize("name", BOATS)
def test_each_conductor_that_is_cut_is_told_or_is_doubled(name: str) -> None:
    """Untold is only what leaves its two ends joined by another way; a conductor goes with its tails.

    Where the DC negative meets the main earth is a question of the list of what is still to find out, not of a law: the
    owner may insulate it.
    """
    system = boat(name)
    before = told(system)
    for key in tried(dict.fromkeys((c.segment, c.pole) for c in system.conductors if c.pole not in SIGNALS)):
        parts = [c for c in system.conductors if (c.segment, c.pole) == key]
        cut = replace(system, conductors=tuple(c for c in system.conductors if c not in parts))
        ends = [parts[0].start, parts[-1].end]
        if key[1] == "bond" and any(system.node[end].pole == "-" for end in ends):
            continue
        if not told(cut) - before:
            assert joined(cut, *ends, earth=True), key


@pytest.mark.parametrize("name", BOATS)
def test_each_end_on_a_terminal_of_another_pole_is_told(name: str) -> None:
    """Both ends of each conductor, on the first terminal of each pole that is not its own."""
    system = boat(name)
    before = told(system)
    first = {node.pole: node.key for node in reversed(system.nodes) if node.kind not in ("inner", "splice")}
    for at, conductor in tried(enumerate(system.conductors)):
        for moved in _moved(conductor, first):
            changed = (*system.conductors[:at], moved, *system.conductors[at + 1 :])
            wrong = replace(system, conductors=changed)
            assert told(wrong, (poles,)) - before or told(wrong) - before, (conductor.key, moved.start, moved.end)


def _moved(conductor: Conductor, first: dict[str | None, str]) -> Iterator[Conductor]:
    own = {conductor.pole, *(EARTH_POLES if conductor.pole in EARTH_POLES else ())}
    own |= {"-"} if conductor.pole == "bond" else set()  # which is joined to the main earth itself
    for pole, key in first.items():
        if pole is not None and pole not in own and conductor.pole not in SIGNALS:
            yield replace(conductor, start=key)
            yield replace(conductor, end=key)


@pytest.mark.parametrize("name", BOATS)
def test_each_protective_device_that_is_left_out_is_told_or_nothing_needs_it(name: str) -> None:
    """Sizes are held as they were found, since an automatic one would grow instead."""
    fixed = [replace(c, size_given=True) for c in boat(name).conductors]
    system = replace(boat(name), conductors=tuple(fixed), stress=None)
    laws = (overload, residual)
    before = told(system, laws)
    for device, all_poles in tried(system.poles_of.items()):
        ends = {end for guard in all_poles for end in (guard.a, guard.b)}
        bared = replace(
            system,
            guards=tuple(guard for guard in system.guards if guard.device != device),
            joins=(*system.joins, *(Join(a=guard.a, b=guard.b, owner=device) for guard in all_poles)),
            conductors=tuple(replace(c, is_tail=False) if {c.start, c.end} & ends else c for c in fixed),
        )
        if not told(bared, laws) - before:
            for guard in all_poles:
                assert is_needless(bared, guard), device
