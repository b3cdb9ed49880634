"""Law 6, residual current and two poles: both on the way of every AC final circuit, wherever it begins."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.wiring.laws.breach import Breach
from layout.wiring.system.bridges import cuts_in
from layout.wiring.system.nets import bare_nets, nets

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from layout.wiring.system.graph import Consumer, PowerSource, System
    from layout.wiring.system.nets import Nets

MOST_RESIDUAL_A = 0.030
"""Residual current that saves a life: 30 mA (ISO 13297:2020; ABYC E-11; IEC 60364-4-41 clause 411.3.3)."""


def residual(system: System) -> Iterator[Breach]:
    """Yield each AC load that a source reaches past all residual-current devices, or past all two-pole devices.

    Where a source is not said to be polarized, each device on the way opens line and neutral together as well
    (ISO 13297:2020+A1:2022 clause 13).
    """
    saving = [g.device for g in system.guards if g.residual_a is not None and g.residual_a <= MOST_RESIDUAL_A + 1e-9]
    double = [guard.device for guard in system.guards if guard.poles >= 2]
    views = [
        _View(state.name, nets(system, state), nets(system, state, without=saving), nets(system, state, without=double))
        for state in system.states
    ]
    sources = [source for source in system.sources if source.ac]
    told: set[str] = set()
    for consumer in system.consumers:
        if consumer.live is not None and sources:
            yield from _bare(consumer, sources, views)
            yield from _single(consumer, sources, views, told)
    one_pole = list(_one_pole(system))
    yield from one_pole
    yield from _first(system, told | {breach.entry for breach in one_pole})


@dataclass(frozen=True, slots=True)
class _View:
    """The nets of one state: whole, without residual-current devices, and without devices of two poles."""

    state: str
    whole: Nets
    past_residual: Nets
    past_double: Nets


def _bare(consumer: Consumer, sources: Sequence[PowerSource], views: Sequence[_View]) -> Iterator[Breach]:
    names: dict[str, str] = {}
    for view in views:
        for source in sources:
            if view.past_residual.joined(source.live, consumer.live):
                names.setdefault(source.name, view.state)
    if names:
        yield Breach(
            rule="fuse 32",
            entry=consumer.entry,
            message=f"{consumer.name}: no residual-current device of 30 mA or less on its way from {_listed(names)}",
            remedy="put one at the source, in the panel's main or in its way; say residual:",
            way=(consumer.live or "",),
        )


def _single(
    consumer: Consumer, sources: Sequence[PowerSource], views: Sequence[_View], told: set[str]
) -> Iterator[Breach]:
    names: dict[str, str] = {}
    poles: set[str] = set()
    for view in views:
        for source in sources:
            if not view.whole.joined(source.live, consumer.live):
                continue
            past = view.past_double
            reached = {"L": past.joined(source.live, consumer.live), "N": past.joined(source.back, consumer.back)}
            if any(reached.values()):
                names.setdefault(source.name, view.state)
                told.add(source.key)
                poles |= {pole for pole, stays in reached.items() if stays}
    if names:
        yield Breach(
            rule="fuse 34",
            entry=consumer.entry,
            message=f"{consumer.name}: nothing between it and {_listed(names)} opens line and neutral together; "
            f"{' and '.join(sorted(poles))} stay joined",
            remedy="give the breaker at the source, or the panel's main, two poles: poles: 2",
            way=(consumer.live or "",),
        )


def _one_pole(system: System) -> Iterator[Breach]:
    """Yield each one-pole device that alone parts an AC load from a source that is not said to be polarized."""
    loads = {consumer.live: consumer for consumer in system.consumers if consumer.live is not None}
    doubtful = {source.live: source for source in system.sources if source.ac and source.polarized is not True}
    if not doubtful:
        return
    told: set[str] = set()
    for state in system.states:
        parted = cuts_in(system, state, (*loads, *doubtful))
        for guard in system.guards:
            if guard.poles >= 2 or guard.device in told or guard.key not in parted:
                continue
            cut = parted[guard.key]
            for near, far in ((cut.on_a, cut.on_b), (cut.on_b, cut.on_a)):
                sources = [doubtful[node] for node in sorted(near) if node in doubtful]
                fed = [loads[node] for node in sorted(far) if node in loads]
                if not sources or not fed or guard.device in told:
                    continue
                told.add(guard.device)
                said = {
                    s.name: "not polarized" if s.polarized is False else "not said to be polarized" for s in sources
                }
                which = ", ".join(f"{name} ({what})" for name, what in said.items())
                behind = ", ".join(load.name for load in fed)
                yield Breach(
                    rule="fuse 34",
                    entry=guard.entry,
                    message=f"{guard.name}: it opens one pole before {behind}, and {which} can feed it",
                    remedy="take a double-pole breaker, or say polarized: true where that is so",
                    way=(guard.key,),
                    subjects=tuple(load.entry for load in fed),
                )


def _first(system: System, told: set[str]) -> Iterator[Breach]:
    """Yield the device that stands first behind an AC source and opens one pole, where it is not told otherwise."""
    for source in system.sources:
        if not source.ac or source.key in told:
            continue
        for state in system.states:
            net = bare_nets(system, state)
            for guard in system.guards:
                touches = net.joined(source.live, guard.a) or net.joined(source.live, guard.b)
                if touches and guard.poles < 2 and guard.entry not in told:
                    told.add(guard.entry)
                    yield Breach(
                        rule="fuse 34",
                        entry=guard.entry,
                        message=f"{guard.name}: it is the first device behind {source.name} and opens one pole",
                        remedy="take one that opens line and neutral together: poles: 2",
                        way=(source.live, guard.key),
                    )


def _listed(names: dict[str, str]) -> str:
    return ", ".join(f"{name} (state '{state}')" for name, state in names.items())
