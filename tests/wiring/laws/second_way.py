"""The laws on paths a second way: every simple path and every single removal is tried, which only a small system bears.

Nothing here uses nets or cut edges of the program. Each function returns what its law must say, as pairs of code and
entry, or of code and what stays live.
"""

from __future__ import annotations

from itertools import combinations, permutations
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.wiring.system.graph import Consumer, Guard, SwitchState, System

Told = set[tuple[str, str]]
LANDS_ON = {
    "+": {"+"}, "-": {"-"}, "L": {"L"}, "N": {"N"}, "PE": {"PE", "bond"}, "bond": {"PE", "bond", "-", "N"},
}  # fmt: skip
"""Poles of the terminals on which a conductor may land."""


class Piece(NamedTuple):
    """One thing that joins two nodes, and the device or switch that opens it; empty where nothing does."""

    key: str
    opened_by: str
    a: str
    b: str
    guard: Guard | None = None


class Trial:
    """One system in one state."""

    def __init__(self, system: System, state: SwitchState, *, earth: bool = False) -> None:
        self.system, self.state = system, state
        kept = {"+", "-", "L", "N", *(("PE", "bond") if earth else ())}
        self.pieces = [Piece(c.key, "", c.start, c.end) for c in system.conductors if c.pole in kept]
        self.pieces += [Piece(g.key, g.device, g.a, g.b, g) for g in system.guards]
        self.pieces += [Piece("", "", join.a, join.b) for join in system.joins]
        for contact in system.contacts:
            if contact.automatic if state.all_open else state.positions[contact.switch] in contact.positions:
                self.pieces.append(Piece(contact.key, contact.switch, contact.a, contact.b))

    def paths(self, start: str | None, goal: str | None) -> Iterator[tuple[Piece, ...]]:
        """Yield every path between two nodes that passes no node twice."""
        if start is None or goal is None:
            return
        stack: list[tuple[str, tuple[Piece, ...], frozenset[str]]] = [(start, (), frozenset({start}))]
        while stack:
            here, way, seen = stack.pop()
            if here == goal:
                yield way
                continue
            for piece in self.pieces:
                for near, far in ((piece.a, piece.b), (piece.b, piece.a)):
                    if near == here and far not in seen:
                        stack.append((far, (*way, piece), seen | {far}))

    def joined(
        self, start: str | None, goal: str | None, *, opened: str = "", out: frozenset[str] = frozenset()
    ) -> bool:
        """Tell whether a path leads from one to the other past an opened device or switch and what is taken out."""
        return any(
            not any((opened and piece.opened_by == opened) or piece.key in out for piece in way)
            for way in self.paths(start, goal)
        )


def trials(system: System, *, used: bool = False, earth: bool = False) -> list[Trial]:
    """Return one trial for each state; ``used`` leaves out what is for short time and all open."""
    return [
        Trial(system, state, earth=earth)
        for state in system.states
        if not used or not (state.short_time or state.all_open)
    ]


def closed_path_told(system: System) -> Told:
    """Each load, input and charging source out and home again; PE; posts; joined sources; bare switch terminals."""
    return _loads_told(system) | _sources_told(system)


def _loads_told(system: System) -> Told:
    told: Told = set()
    every, earthed = trials(system), trials(system, earth=True)
    for load in system.consumers:
        feeding = [source for source in system.sources if source.key != load.feeds and not source.charges]
        out = [(t, s) for t in every for s in feeding if not t.state.short_time and t.joined(s.live, load.live)]
        if load.live is None and load.feeds:
            told.add(("wire 49", load.entry))
        elif not out:
            told.add(("wire 9", load.entry))
        elif not any(trial.joined(source.back, load.back) for trial, source in out):
            told.add(("wire 10", load.entry))
        unearthed = load.earth is None or any(
            source.ac and trial.joined(source.live, load.live) and not with_earth.joined(source.earth, load.earth)
            for trial, with_earth in zip(every, earthed, strict=True)
            for source in system.sources
        )
        if load.ac and load.live is not None and unearthed:
            told.add(("fuse 36", load.entry))
    return told


def _sources_told(system: System) -> Told:
    told: Told = set()
    every = trials(system)
    wired = {end for c in system.conductors if c.pole in ("+", "-", "L", "N") for end in (c.start, c.end)}
    for source in system.sources:
        posts = {source.live, source.back} & wired
        if len(posts) == 1:
            told.add(("fuse 71", source.entry))
        if not posts and not source.charges and not source.fed_by:
            told.add(("fuse 70", source.entry))
        homes = [
            b for b in system.sources for t in every
            if b.kind == "battery" and t.joined(source.live, b.live) and t.joined(source.back, b.back)
        ]  # fmt: skip
        if source.charges and len(posts) == 2 and not homes:
            told.add(("fuse 72", source.entry))
    whole = [source for source in system.sources if {source.live, source.back} <= wired]
    for first, second in combinations(whole, 2):
        if any(t.joined(first.live, second.live) and not t.joined(first.back, second.back) for t in every):
            told.add(("fuse 73", first.entry))
    landed = {end for c in system.conductors for end in (c.start, c.end)}
    for contact in system.contacts:
        if {contact.a, contact.b} - landed:
            told.add(("fuse 74", f"battery_switches.{contact.switch}"))
    return told


def poles_told(system: System) -> Told:
    """Each conductor on a terminal of another pole by its entry; and what two terminals of one net may not be."""
    told: Told = set()
    wrong = set()
    for conductor in system.conductors:
        for end in (conductor.start, conductor.end):
            node = system.node[end]
            if node.pole is not None and node.kind != "inner" and node.pole not in LANDS_ON[conductor.pole]:
                told.add(("fuse 75", conductor.entry))
                wrong.add(conductor.key)
    out = frozenset(wrong)
    for trial in trials(system):
        for first, second in combinations(system.nodes, 2):
            pair = {first.pole, second.pole}
            volts = {first.nominal_v, second.nominal_v} - {None}
            if not (pair <= {"+", "-", "L", "N"}) or (len(pair) == 1 and (len(volts) < 2 or pair <= {"-", "N"})):
                continue
            if trial.joined(first.key, second.key, out=out):
                short = pair & {"+", "L"} and pair & {"-", "N"}
                told.add(("net", "wire 52" if len(pair) == 1 else "fuse 75" if short else "fuse 77"))
    return told


def voltages_told(system: System) -> Told:
    """Each load beside a source that is too low or too high for it; each pair of unlike batteries."""
    told: Told = set()
    for trial in (Trial(system, state) for state in system.states if not state.short_time):
        for source in system.sources:
            low = 0.9 * source.nominal_v if source.lowest_v is None else source.lowest_v
            charged = source.kind == "battery" or source.charges
            high = source.highest_v or (1.2 * source.nominal_v if charged else source.nominal_v)
            for load in system.consumers:
                if source.key == load.feeds or not trial.joined(source.live, load.live):
                    continue
                if load.lowest_v is not None and load.lowest_v > low and not source.charges:
                    told.add(("fuse 85", load.entry))
                if load.highest_v is not None and load.highest_v < high - 1e-9:
                    told.add(("fuse 85", load.entry))
        batteries = [source for source in system.sources if source.kind == "battery"]
        for first, second in combinations(() if trial.state.all_open else batteries, 2):
            if trial.joined(first.live, second.live) and trial.joined(first.back, second.back):
                same = first.chemistry == second.chemistry and first.chemistry is not None
                sizes = sorted((first.capacity_ah or 0.0, second.capacity_ah or 0.0))
                if not same or (sizes[0] and sizes[1] > 1.5 * sizes[0]):
                    told.add(("fuse 86", first.entry))
    return told


def still_live_told(system: System) -> dict[str, set[str]]:
    """Return what each battery still feeds with all switches open by a way on which nothing is declared always live."""
    opened = Trial(system, next(state for state in system.states if state.all_open))
    declared = frozenset(c.key for c in system.conductors if c.always_live)
    return {
        battery.name: reached
        for battery in system.sources
        if battery.kind == "battery"
        if (
            reached := {
                load.entry for load in system.consumers
                if opened.joined(battery.live, load.live, out=declared)
            }
        )
    }  # fmt: skip


def _declared(system: System, load: Consumer) -> bool:
    """Tell whether a conductor at its live terminal is declared always live."""
    return any(c.always_live and load.live in (c.start, c.end) for c in system.conductors)


def load_side_told(system: System) -> dict[str, set[str]]:
    """Return what each source but a battery feeds with all switches open, where no battery is on its side."""
    opened = Trial(system, next(state for state in system.states if state.all_open))
    declared = frozenset(c.key for c in system.conductors if c.always_live)
    batteries = [source.live for source in system.sources if source.kind == "battery"]
    told = {}
    for source in system.sources:
        inputs = [load.live for load in system.consumers if load.feeds == source.key]
        fed = source.kind != "converter" or any(opened.joined(post, live) for post in batteries for live in inputs)
        if source.ac or source.live in batteries or not fed or any(opened.joined(source.live, b) for b in batteries):
            continue
        reached = {
            load.entry for load in system.consumers if opened.joined(source.live, load.live, out=declared)
        }  # fmt: skip
        if reached:
            told[source.name] = reached
    return told


def not_live_told(system: System) -> Told:
    """Each load that is declared always live, or is a bilge pump, with no battery or its converter on both sides."""
    opened = Trial(system, next(state for state in system.states if state.all_open))
    batteries = [source for source in system.sources if source.kind == "battery"]
    fed = {load.feeds for load in system.consumers if any(opened.joined(b.live, load.live) for b in batteries)}
    batteries += [source for source in system.sources if source.kind == "converter" and source.key in fed]
    return {
        ("wire 34", load.entry)
        for load in system.consumers
        if load.live is not None and load.circuit and (_declared(system, load) or load.purpose == "bilge pump")
        if not any(opened.joined(b.live, load.live) and opened.joined(b.back, load.back) for b in batteries)
    }


def parts_nothing_told(system: System) -> Told:
    """Each circuit's device that is opened, and a source before and one behind it still reach both its sides."""
    told: Told = set()
    for trial in trials(system, used=True):
        for guard in system.guards:
            if guard.pole not in ("+", "L") or not guard.entry.startswith(("circuits.", "breaker_panels.")):
                continue
            reach = [
                any(trial.joined(source.live, side, opened=guard.device) for source in system.sources)
                for side in (guard.a, guard.b)
            ]
            if all(reach):
                told.add(("fuse 82", guard.entry))
    return told


def way_round_told(system: System) -> Told:
    """Each live contact whose sides stay joined with the whole switch open."""
    return {
        ("fuse 83", f"battery_switches.{contact.switch}")
        for trial in trials(system, used=True)
        for contact in system.closed(trial.state)
        if contact.pole in ("+", "L") and trial.joined(contact.a, contact.b, opened=contact.switch)
    }


def residual_told(system: System) -> Told:
    """Each load that some path reaches past every device of 30 mA, or past every device of two poles."""
    told: Told = set()
    sources = [source for source in system.sources if source.ac]
    for trial in trials(system):
        for source in sources:
            for load in system.consumers:
                lines = list(trial.paths(source.live, load.live))
                if any(not any(_saves(piece.guard) for piece in way) for way in lines):
                    told.add(("fuse 32", load.entry))
                homes = list(trial.paths(source.back, load.back))
                if lines and any(not any(_double(piece.guard) for piece in way) for way in lines + homes):
                    told.add(("fuse 34", load.entry))
                for guard in system.guards:
                    alone = lines and all(any(piece.guard is guard for piece in way) for way in lines)
                    if alone and guard.poles < 2 and source.polarized is not True:
                        told.add(("fuse 34", guard.entry))
    return told


def _saves(guard: Guard | None) -> bool:
    return guard is not None and guard.residual_a is not None and guard.residual_a <= 0.030


def _double(guard: Guard | None) -> bool:
    return guard is not None and guard.poles >= 2


def by_itself_told(system: System) -> set[str]:
    """Entries of what, in some state for use, feeds its own input over any row of sources that each feed the next."""
    inputs = {consumer.feeds: consumer.live for consumer in system.consumers if consumer.feeds and consumer.live}
    entries = {source.key.partition("/")[0]: source.entry for source in system.sources}
    told: set[str] = set()
    for trial in trials(system, used=True):
        feeds = {
            (source.key.partition("/")[0], key)
            for source in system.sources
            for key, live in inputs.items()
            if trial.joined(source.live, live)
        }
        for length in range(1, len(inputs) + 1):
            for row in permutations(inputs, length):
                if all(pair in feeds for pair in zip(row, (*row[1:], row[0]), strict=True)):
                    told |= {entries[key] for key in row}
    return told


def return_alone_told(system: System) -> set[str]:
    """Entries of the devices of returns alone that have a load's or source's return on each side, or lie on a ring."""
    marks = {c.back for c in system.consumers if c.back} | {source.back for source in system.sources}
    alone = [poles[0] for poles in system.poles_of.values() if all(guard.pole in ("-", "N") for guard in poles)]
    told: set[str] = set()
    for trial in trials(system):
        for guard in alone:
            sides = [
                {node.key for node in system.nodes if trial.joined(end, node.key, opened=guard.device)}
                for end in (guard.a, guard.b)
            ]
            if guard.b in sides[0] or all(side & marks for side in sides):
                told.add(guard.entry)
    return told
