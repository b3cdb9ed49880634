"""Highest and lowest fault current of every protective device, over all sources and all switch states."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass, field
from layout.wiring.system.fault_network import ABSENT_OHM, network_of
from layout.wiring.system.graph import LIVE_POLES, RETURN_POLES
from layout.wiring.system.infeeds import limits_itself, strongest, weakest
from layout.wiring.system.nets import bare_nets, different_states, nets

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from layout.wiring.system.fault_network import Shorts
    from layout.wiring.system.graph import Guard, Node, PowerSource, SwitchState, System

HOT = 1.334
"""Resistance of copper at 105 °C against 20 °C (IEC 60228: 0.00393 a kelvin), where a conductor's own is not given."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DeviceFault:
    """Fault currents of one protective device.

    Attributes
    ----------
    guard
        The pole that was looked at, its live one.
    highest_a, highest_state
        Largest current through the device, conductors of unknown resistance counted as none; None where nothing that
        is known drives one.
    sure_a
        The same with such conductors taken out: what is certain.
    lowest_a, lowest_state, far
        Least current of a short at the far end of what it protects, and the node there; None where not known.
    limited, bears_a
        Whether only sources that limit themselves drive the lowest; the least that a conductor it protects bears.
    sources
        Sources that feed it in the state of the highest.
    unknown
        Sources that feed it in some state and of which no fact says how strong they are.
    one_sided
        Sources of which only the live post reaches it.
    first
        Whether no other device stands between it and a battery's post.
    """

    guard: Guard
    highest_a: float | None = None
    highest_state: str = ""
    sure_a: float | None = None
    lowest_a: float | None = None
    lowest_state: str = ""
    far: str = ""
    limited: bool = False
    bears_a: float | None = None
    sources: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()
    one_sided: tuple[str, ...] = ()
    first: bool = False


@dataclass(slots=True)
class _Tally:
    """A DeviceFault while the states are gone through."""

    guard: Guard
    feet: tuple[str, ...]
    highest: tuple[float, str, tuple[str, ...]] | None = None
    sure_a: float | None = None
    lowest: tuple[float, str, str] | None = None
    lowest_unknown: bool = False
    limited: bool = False
    bears_a: float | None = math.inf
    unknown: dict[str, None] = field(default_factory=dict)
    one_sided: dict[str, None] = field(default_factory=dict)

    def high(self, amps: float, state: str, sources: tuple[str, ...]) -> None:
        if self.highest is None or amps > self.highest[0]:
            self.highest = amps, state, sources

    def low(self, amps: float, state: str, far: str) -> None:
        if math.isnan(amps):
            self.lowest_unknown = True
        elif self.lowest is None or amps < self.lowest[0]:
            self.lowest = amps, state, far


def device_faults(system: System) -> Mapping[str, DeviceFault]:
    """Return the fault currents of every protective device that any source reaches, by device.

    A short is dead, from the device to the return of the same owner; the tail before a device adds nothing to the
    highest. The highest runs over all sources together, full and cold; the lowest over the weakest source alone, low
    and hot, and over one that limits itself only where there is no other.
    """
    feet = _Feet(system)
    tallies = {
        device: _Tally(guard, feet.of_guard(guard))
        for device, poles in system.poles_of.items()
        if (guard := _looked_at(poles)) is not None
    }
    for state in different_states(system):
        _Solved(system, state, feet).tell(tallies.values())
    first = _first_devices(system)
    return {device: _book(tally, first) for device, tally in tallies.items()}


def _book(tally: _Tally, first: frozenset[str]) -> DeviceFault:
    highest, lowest = tally.highest, tally.lowest if not tally.lowest_unknown else None
    return DeviceFault(
        guard=tally.guard,
        highest_a=highest[0] if highest else None,
        highest_state=highest[1] if highest else "",
        sure_a=tally.sure_a,
        lowest_a=lowest[0] if lowest else None,
        lowest_state=lowest[1] if lowest else "",
        far=lowest[2] if lowest else "",
        limited=tally.limited,
        bears_a=None if tally.bears_a == math.inf else tally.bears_a,
        sources=highest[2] if highest else (),
        unknown=tuple(tally.unknown),
        one_sided=tuple(tally.one_sided),
        first=tally.guard.device in first,
    )


def _looked_at(poles: Iterable[Guard]) -> Guard | None:
    """Return the live pole of a device, else its return pole."""
    everything = list(poles)
    live = next((guard for guard in everything if guard.pole in LIVE_POLES), None)
    return live or next((guard for guard in everything if guard.pole in RETURN_POLES), None)


def _first_devices(system: System) -> frozenset[str]:
    """Return the devices that a battery reaches over no other one, in any state."""
    posts = [source.live for source in system.sources if source.kind == "battery"]
    found: set[str] = set()
    for state in system.states:
        bare = bare_nets(system, state)
        heads = {bare.head(post) for post in posts}
        found |= {g.device for g in system.guards if bare.head(g.a) in heads or bare.head(g.b) in heads}
    return frozenset(found)


class _Feet:
    """The other end of a short: the return of the owner that the device stands at."""

    def __init__(self, system: System) -> None:
        self._system = system
        self._by_owner: dict[tuple[str, bool], list[str]] = {}
        self._bars: dict[bool, list[Node]] = {False: [], True: []}
        for node in system.nodes:
            if node.pole in RETURN_POLES:
                self._by_owner.setdefault((node.owner, node.pole == "N"), []).append(node.key)
                if node.kind in ("source", "bar", "panel"):
                    self._bars[node.pole == "N"].append(node)
        for source in system.sources:
            ac = source.ac
            node = system.node[source.back]
            if node.pole is None:
                self._by_owner.setdefault((node.owner, ac), []).append(node.key)
                self._bars[ac].append(node)

    def of_guard(self, guard: Guard) -> tuple[str, ...]:
        """Return the feet of a device: of the owner at which it stands, before its tail."""
        node = self._system.node
        stands = [*self._behind_tail(guard.a), *self._behind_tail(guard.b), guard.a, guard.b]
        stands = [key for key in stands if node[key].kind != "inner"] or [guard.a]
        for key in stands:
            if own := self.own(node[key], guard.pole):
                return own
        return self.of_node(node[stands[0]], guard.pole)

    def _behind_tail(self, key: str) -> Iterator[str]:
        for conductor in self._system.conductors_at.get(key, ()):
            if conductor.is_tail:
                yield conductor.end if conductor.start == key else conductor.start

    def own(self, node: Node, pole: str) -> tuple[str, ...]:
        """Return the returns of a node's own owner."""
        return tuple(self._by_owner.get((node.owner, pole in ("L", "N")), ()))

    def of_node(self, node: Node, pole: str) -> tuple[str, ...]:
        """Return the feet of a node: of its owner, else of its place, else every return bar and post."""
        own = self.own(node, pole)
        if own:
            return own
        bars = self._bars[pole in ("L", "N")]
        near = tuple(bar.key for bar in bars if node.location is not None and bar.location == node.location)
        return near or tuple(bar.key for bar in bars)


class _Solved:
    """One switch state, solved for all sources together and for each alone."""

    def __init__(self, system: System, state: SwitchState, feet: _Feet) -> None:
        self.system, self.state, self.feet = system, state, feet
        self.network, wires = network_of(system, state)
        bare = [0.0] * len(system.guards)
        self.cold = [0.0 if c.is_tail else c.ohm or 0.0 for c in wires] + bare
        self.any_unknown = any(c.ohm is None and not c.is_tail for c in wires)
        self.sure = [0.0 if c.is_tail else ABSENT_OHM if c.ohm is None else c.ohm for c in wires] + bare
        self.hot = [_hot(c.ohm, c.hot_ohm, is_tail=c.is_tail) for c in wires] + bare
        self.blank = {source.key for source in system.sources if strongest(source) is None}
        self.strong_posts = {source.live for source in system.sources if not limits_itself(source)}
        self.nets = nets(system, state)
        self.bare = bare_nets(system, state)
        self.bears: dict[str, float | None] = {}
        for wire in wires:
            if not wire.is_tail:
                head = self.bare.head(wire.start)
                least = self.bears.get(head, math.inf)
                self.bears[head] = None if least is None or wire.bears_a is None else min(least, wire.bears_a)

    def tell(self, tallies: Iterable[_Tally]) -> None:
        """Add what this state gives to each device."""
        system = self.system
        known = [feed for source in system.sources if (feed := strongest(source)) is not None]
        shorts = self.network.with_sources(self.cold, known)
        sure = self.network.with_sources(self.sure, known) if self.any_unknown else None
        members = self.bare.members()
        alone = {
            source.key: (source, self.network.with_sources(self.hot, [feed]))
            for source in system.sources
            if (feed := weakest(source)) is not None
        }
        reached: dict[str, list[PowerSource]] = {}
        for source in system.sources:
            reached.setdefault(self.nets.head(source.live), []).append(source)
        for tally in tallies:
            here = reached.get(self.nets.head(tally.guard.a), [])
            if tally.guard.pole in RETURN_POLES:
                here = [s for s in system.sources if self.nets.joined(s.back, tally.guard.a)]
            if here:
                self._highest(tally, here, shorts, sure)
                self._lowest(tally, here, alone, members)

    def _highest(self, tally: _Tally, here: list[PowerSource], shorts: Shorts, sure: Shorts | None) -> None:
        both = [s for s in here if any(self.nets.joined(s.back, foot) for foot in tally.feet)]
        for source in here:
            if source not in both:
                tally.one_sided[source.key] = None
            elif source.key in self.blank:
                tally.unknown[source.key] = None
        amps = self._through(tally, shorts)
        if amps is None:
            return
        tally.high(amps, self.state.name, tuple(source.key for source in both))
        certain = amps if sure is None else self._through(tally, sure)
        if certain is not None and not math.isnan(certain):
            tally.sure_a = max(tally.sure_a or 0.0, certain)

    def _through(self, tally: _Tally, shorts: Shorts) -> float | None:
        """Return the larger of what flows through a device into a short on its one or its other side."""
        guard = tally.guard
        found: list[float] = []
        for node in (guard.a, guard.b):
            if guard.pole in RETURN_POLES:
                pairs = [(live, node) for live in self._lives(guard)]
            else:
                pairs = [(node, foot) for foot in tally.feet]
            outer = self.network.is_leaf_side(guard.key, node)
            for live, back in pairs:
                amps = (
                    shorts.total_a(live, back)
                    if outer or self.network.is_bridged(guard.key)
                    else shorts.through_a(guard.key, live, back)
                    if outer is None
                    else None
                )
                if amps is not None and not math.isnan(amps):
                    found.append(amps)
        return max(found, default=None)

    def _lives(self, guard: Guard) -> list[str]:
        ac = guard.pole == "N"
        return [source.live for source in self.system.sources if source.ac == ac]

    def _lowest(
        self,
        tally: _Tally,
        here: list[PowerSource],
        alone: Mapping[str, tuple[PowerSource, Shorts]],
        members: Mapping[str, tuple[str, ...]],
    ) -> None:
        guard = tally.guard
        if guard.pole in RETURN_POLES or self.network.is_bridged(guard.key):
            return
        known = [alone[source.key] for source in here if source.key in alone]
        strong = [pair for pair in known if not limits_itself(pair[0])]
        if len(known) < len(here) and not strong:
            return
        if strong and tally.limited:
            tally.limited, tally.lowest = False, None
        for source, shorts in strong or [pair for pair in known if not pair[0].charges]:
            for far, amps in self._far(tally, source, shorts, members):
                if not strong:
                    if tally.lowest is not None and not tally.limited:
                        return
                    tally.limited = True
                tally.low(min(amps, source.limit_a or amps) if not strong else amps, self.state.name, far)

    def _far(
        self, tally: _Tally, source: PowerSource, shorts: Shorts, members: Mapping[str, tuple[str, ...]]
    ) -> Iterator[tuple[str, float]]:
        """Yield the shorts at the ends of what a device protects from one source."""
        guard, node = tally.guard, self.system.node
        for side in (guard.a, guard.b):
            outer = self.network.is_leaf_side(guard.key, side)
            ends = members.get(self.bare.head(side), (side,))
            if outer is False or source.live in ends or not self.strong_posts.isdisjoint(ends):
                continue
            bears = self.bears.get(self.bare.head(side), math.inf)
            tally.bears_a = None if bears is None or tally.bears_a is None else min(bears, tally.bears_a)
            away = [key for key in ends if node[key].kind not in ("inner", "way")] or [side]
            own = [key for key in away if self.feet.own(node[key], guard.pole)]
            for key in own or away:
                amps = [
                    value
                    for foot in (self.feet.own(node[key], guard.pole) or self.feet.of_guard(guard))
                    if (value := self._one(guard, shorts, key, foot, outer=outer)) is not None
                ]
                if amps:
                    yield key, max(amps, key=lambda value: math.inf if math.isnan(value) else value)

    @staticmethod
    def _one(guard: Guard, shorts: Shorts, live: str, back: str, *, outer: bool | None) -> float | None:
        return shorts.total_a(live, back) if outer else shorts.through_a(guard.key, live, back)


def _hot(ohm: float | None, hot_ohm: float | None, *, is_tail: bool) -> float:
    if hot_ohm is not None:
        return hot_ohm
    if ohm is not None:
        return HOT * ohm
    return 0.0 if is_tail else math.nan
