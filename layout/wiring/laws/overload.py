"""Law 2, overload: what all sources together can drive through a conductor is at most what it bears.

Devices are capacities, so parallel banks, a charger beside a battery, jumpers, thin tails and common returns are all
the same question. Where a size is automatic, the current is a demand on sizing and no finding.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from layout.findings.table import Severity
from layout.frozen import FrozenMap
from layout.standards.protection import RatingRule, rating_limit_a
from layout.wiring.laws.breach import Breach
from layout.wiring.system.bridges import cuts, cuts_in, edges_of
from layout.wiring.system.flow import INFINITE, Currents, Stress
from layout.wiring.system.graph import LIVE_POLES, RETURN_POLES
from layout.wiring.system.nets import merged, nets

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping

    from layout.wiring.system.graph import Conductor, Consumer, PowerSource, SwitchState, System

_SLACK = 1 + 1e-6


def demand_on(system: System) -> Mapping[str, Stress]:
    """Return the greatest current through each live and return conductor by its key; tails and starting ways are out.

    It depends on no size, so that sizing may ask for it.
    """
    if system.stress is not None:
        return system.stress
    exempt = starting_way(system)
    found: dict[str, Stress] = {}
    for state in system.states:
        if not state.all_open:
            for key, stress in _in_state(system, state, exempt):
                if key not in found or stress.amps > found[key].amps:
                    found[key] = stress
    return FrozenMap(found)


def overload(system: System) -> Iterator[Breach]:
    """Yield conductors, panels and bars that more can flow through than they bear."""
    demands, exempt = demand_on(system), starting_way(system)
    by_key = {conductor.key: conductor for conductor in system.conductors}
    unprotected = list(_unlimited(system, [by_key[key] for key, stress in demands.items() if math.isinf(stress.amps)]))
    yield from unprotected
    for key, stress in demands.items():
        conductor = by_key[key]
        if math.isinf(stress.amps) or conductor.bears_a is None or not conductor.size_given:
            continue
        if stress.amps > conductor.bears_a * _SLACK:
            yield _too_thin(system, conductor, stress)
    yield from _for_minutes(system, demands, by_key, exempt)
    yield from _bars(system, unprotected=bool(unprotected))
    yield from _false_cranking(system, exempt)
    yield from _starter_home(system, exempt)


# --- what can flow ----------------------------------------------------------------------------------------------------


def _in_state(system: System, state: SwitchState, exempt: frozenset[str]) -> Iterator[tuple[str, Stress]]:
    """Yield the stress of conductors in one state; of one for short time, each source alone counts."""
    everything = Currents(system, state)
    alone = [everything.of([source.key]) for source in system.sources] if state.short_time else [everything]
    for currents in alone:
        yield from _together(system, state, currents, exempt)


def _together(
    system: System, state: SwitchState, currents: Currents, exempt: frozenset[str]
) -> Iterator[tuple[str, Stress]]:
    yield from _live(system, state, currents, exempt)
    yield from _returns(system, state, currents, exempt)


def _live(
    system: System, state: SwitchState, currents: Currents, exempt: frozenset[str]
) -> Iterator[tuple[str, Stress]]:
    entries = {source.live for source in currents.sources.values()}
    entries |= {end for guard in system.guards for end in (guard.a, guard.b)}
    devices = {guard.key for guard in system.guards}
    parted = cuts((edge for edge in edges_of(system, state) if edge[0] not in devices), entries)
    for conductor in system.conductors:
        if conductor.pole not in LIVE_POLES or conductor.is_tail or conductor.key in exempt:
            continue
        cut = parted.get(conductor.key)
        if cut is None:
            amps = currents.most(conductor.start)
        else:
            amps = max(currents.into_side(conductor.start, cut.on_a), currents.into_side(conductor.end, cut.on_b))
        if amps > 0:
            yield conductor.key, Stress(amps=amps, path_a=amps, state=state.name)


def _returns(
    system: System, state: SwitchState, currents: Currents, exempt: frozenset[str]
) -> Iterator[tuple[str, Stress]]:
    """Yield what returns carry: from the loads on one side, home to the sources whose posts are on the other."""
    loads: dict[str, list[Consumer]] = {}
    for consumer in system.consumers:
        if consumer.back is not None and consumer.live is not None:
            loads.setdefault(consumer.back, []).append(consumer)
    posts: dict[str, list[PowerSource]] = {}
    for source in system.sources:
        posts.setdefault(source.back, []).append(source)
    parted = cuts_in(system, state, (*loads, *posts))
    whole = nets(system, state)
    flows = _HomeFlows(currents)
    given = [source for source in system.sources if source.live in currents.sources]
    limits = {guard.b: guard for guard in system.guards if guard.pole in RETURN_POLES and guard.rating_a is not None}
    for conductor in system.conductors:
        if conductor.pole not in RETURN_POLES or conductor.is_tail or conductor.key in exempt:
            continue
        cut = parted.get(conductor.key)
        if cut is None:
            net = frozenset(node for node in (*loads, *posts) if whole.joined(node, conductor.start))
            ways = [(net, [source for source in given if source.back in net])]
        else:
            inside = [source for source in given if source.back in cut.below]
            outside = [source for source in given if source.back in cut.whole and source.back not in cut.below]
            ways = [(cut.below, outside), (cut.whole - cut.below if inside else frozenset(), inside)]
        amps = path = 0.0
        for far, sources in ways:
            if sources:
                taking = [c for node in sorted(far) for c in loads.get(node, ()) if not c.starter]
                takers = [s for node in sorted(far) for s in posts.get(node, ()) if s.kind == "battery"]
                joint, widest = flows.between(sources, taking, takers)
                amps, path = max(amps, joint), max(path, widest)
        own = [limits[end].rating_a or INFINITE for end in (conductor.start, conductor.end) if end in limits]
        amps, path = min([amps, *own]), min([path, *own])
        if amps > 0:
            yield conductor.key, Stress(amps=amps, path_a=path, state=state.name)


class _HomeFlows:
    """Flows from some sources through some loads, each worked out once."""

    def __init__(self, currents: Currents) -> None:
        self.all = currents
        self._by_source: dict[frozenset[str], Currents] = {}
        self._joint: dict[tuple[frozenset[str], frozenset[str]], float] = {}

    def between(
        self, sources: list[PowerSource], taking: list[Consumer], takers: list[PowerSource]
    ) -> tuple[float, float]:
        """Return the joint flow and the widest single one; a battery takes charge, and is no load of its own."""
        joint = widest = 0.0
        keys = frozenset(source.key for source in sources)
        lives = {c.live for c in taking if c.live is not None and c.feeds not in keys}
        if not sources or not (lives or takers):
            return 0.0, 0.0
        parts = frozenset(self.all.parts.head(live) for live in lives)
        parts |= {self.all.parts.head(s.live) for s in takers if s.key not in keys}
        given: dict[str, float] = {}  # the outputs of one charger share its current and its return post
        for source in sources:
            limit = INFINITE if source.limit_a is None else source.limit_a
            given[source.back] = max(given.get(source.back, 0.0), limit)
        joint = min(self._flow(keys, parts), sum(given.values()))
        for source in sources:
            for part in parts:
                widest = max(widest, self._flow(frozenset([source.key]), frozenset([part])))
        return joint, min(widest, joint)

    def _flow(self, sources: frozenset[str], parts: frozenset[str]) -> float:
        asked = (sources, parts)
        if asked not in self._joint:
            if sources not in self._by_source:
                self._by_source[sources] = self.all.of(sources)
            currents = self._by_source[sources]
            single = next(iter(parts)) if len(parts) == 1 else None
            self._joint[asked] = currents.together(sorted(parts)) if single is None else currents.most(single)
        return self._joint[asked]


# --- starting an engine -----------------------------------------------------------------------------------------------


def starting_way(system: System) -> frozenset[str]:
    """Return the conductors that only lead from a battery to a starter: exempt, if the file calls them cranking.

    With one of them taken out, the others must still join one of its ends to a battery and the other to a starter.
    """
    ways = [c for c in system.conductors if c.cranking or c.made_harness]
    starters = [consumer for consumer in system.consumers if consumer.starter]
    batteries = [source for source in system.sources if source.kind == "battery"]
    fixed = [(contact.a, contact.b) for contact in system.contacts] + [(join.a, join.b) for join in system.joins]
    fixed += [(guard.a, guard.b) for guard in system.guards if any(guard.a in (c.start, c.end) for c in ways)]
    exempt: set[str] = set()
    for conductor in ways:
        rest = merged([*fixed, *((c.start, c.end) for c in ways if c is not conductor)])
        live = conductor.pole in LIVE_POLES
        posts = [battery.live if live else battery.back for battery in batteries]
        motors = [starter.live if live else starter.back for starter in starters]
        for near, far in ((conductor.start, conductor.end), (conductor.end, conductor.start)):
            if any(rest.joined(post, near) for post in posts) and any(rest.joined(motor, far) for motor in motors):
                exempt.add(conductor.key)
    return frozenset(exempt) | _engine_harness(system, exempt)


def _engine_harness(system: System, exempt: Collection[str]) -> frozenset[str]:
    """Return the conductors of an engine maker's own harness from an alternator's post to a starter or its leads."""
    at_starter = {node for c in system.consumers if c.starter for node in (c.live, c.back)}
    at_starter |= {node for c in system.conductors if c.key in exempt for node in (c.start, c.end)}
    posts = {post for source in system.sources if source.kind == "alternator" for post in (source.live, source.back)}
    ends = {c.key: {c.start, c.end} for c in system.conductors if c.made_harness}
    return frozenset(key for key, both in ends.items() if both & posts and both & at_starter)


def _false_cranking(system: System, exempt: frozenset[str]) -> Iterator[Breach]:
    for conductor in system.conductors:
        if conductor.cranking and not conductor.is_tail and conductor.key not in exempt:
            yield Breach(
                rule="fuse 92",
                entry=conductor.entry,
                message=f"{conductor.name}: it is called cranking, but does not lead from a battery to a starter, so "
                "every rule holds for it",
                remedy="leave cranking: out, or wire it between battery and starter",
                way=(conductor.key,),
            )


def _starter_home(system: System, exempt: frozenset[str]) -> Iterator[Breach]:
    """Yield returns that a starter's current takes home and that are not called cranking: nothing sizes them for it."""
    starters = [c for c in system.consumers if c.starter and c.back is not None]
    batteries = [source for source in system.sources if source.kind == "battery"]
    told: set[str] = set()
    for state in system.states:
        if state.all_open or state.short_time or not starters:
            continue
        net = nets(system, state)
        parted = cuts_in(system, state, (*(c.back or "" for c in starters), *(b.back for b in batteries)))
        for conductor in system.conductors:
            cut = parted.get(conductor.key)
            if cut is None or conductor.key in exempt | told or conductor.pole not in RETURN_POLES:
                continue
            for far, home in ((cut.on_a, cut.on_b), (cut.on_b, cut.on_a)):
                for starter in starters:
                    feeding = [b for b in batteries if b.back in home and net.joined(b.live, starter.live)]
                    if starter.back in far and feeding and conductor.key not in told:
                        told.add(conductor.key)
                        yield Breach(
                            rule="fuse 93",
                            entry=conductor.entry,
                            message=f"{conductor.name}: the current of {starter.name} takes this way home to "
                            f"{feeding[0].name}, and it is not called cranking, so it is not sized for that",
                            remedy="lead a return of the starter lead's size straight to the battery; cranking: true",
                            way=(conductor.key,),
                            related=(starter.entry,),
                        )


# --- findings ---------------------------------------------------------------------------------------------------------


def _unlimited(system: System, conductors: list[Conductor]) -> Iterator[Breach]:
    """Yield the roots among conductors that nothing limits: those reached with all such conductors taken out."""
    without = [conductor.key for conductor in conductors] + [guard.device for guard in system.guards]
    guarded = {end for guard in system.guards for end in (guard.a, guard.b)}
    told: set[str] = set()
    for state in system.states:
        if state.all_open:
            continue
        net = nets(system, state, without=without)
        for conductor in conductors:
            if conductor.key in told or conductor.pole in RETURN_POLES:
                continue
            reaching = [
                source
                for source in system.sources
                if source.limit_a is None
                and any(net.joined(source.live, end) for end in (conductor.start, conductor.end))
            ]
            if reaching:
                told.add(conductor.key)
                yield _no_device(
                    conductor, reaching[0], state.name, one_end=bool({conductor.start, conductor.end} & guarded)
                )


def _for_minutes(
    system: System, demands: Mapping[str, Stress], by_key: Mapping[str, Conductor], exempt: frozenset[str]
) -> Iterator[Breach]:
    """Yield conductors of given size that bear each source alone, but not all that a state for short time joins."""
    told: set[str] = set()
    for state in system.states:
        if not state.short_time:
            continue
        for key, stress in _together(system, state, Currents(system, state), exempt):
            conductor = by_key[key]
            if key in told or not conductor.size_given or conductor.bears_a is None or math.isinf(stress.amps):
                continue
            limit = conductor.bears_a * _SLACK
            alone = demands[key].amps if key in demands else 0.0
            if alone <= limit < stress.amps:
                told.add(key)
                yield _too_thin(system, conductor, stress, for_minutes=True)


def _no_device(conductor: Conductor, source: PowerSource, state: str, *, one_end: bool) -> Breach:
    limits = source.kind not in ("battery", "shore")
    own = f"{source.name} is not said to limit itself, and" if limits else f"{source.name} reaches it and"
    remedy = "put a device where that source's current enters it: protection: or protection_to:"
    return Breach(
        rule="fuse 15" if one_end or limits else "fuse 1",
        entry=conductor.entry,
        message=f"{conductor.name}: {own} no protective device stands between, in state '{state}'",
        remedy=remedy + ("; or say self_limiting: true" if limits else ""),
        way=(source.live, conductor.key),
        related=(source.entry,),
    )


def _too_thin(system: System, conductor: Conductor, stress: Stress, *, for_minutes: bool = False) -> Breach:
    bears = conductor.bears_a or 0.0
    shared = conductor.pole in RETURN_POLES and stress.path_a <= bears * _SLACK
    text = f"{conductor.name}: up to {stress.amps:.3g} A can flow through it in state '{stress.state}', it bears "
    text += f"{bears:.3g} A"
    if for_minutes:
        text += "; it bears each source alone, and the state is for minutes only"
    elif shared:
        text += "; no single way reaches that much"
    volts = next((n for end in (conductor.start, conductor.end) if (n := system.node[end].nominal_v)), None)
    if volts is not None and stress.amps <= rating_limit_a(bears, rule=RatingRule.FLAT_150, voltage_v=volts):
        text += "; within the 150 % of 33 CFR 183.455(c)"
    return Breach(
        rule="fuse 2",
        entry=conductor.entry,
        message=text,
        remedy="take lower ratings before it, or a thicker conductor",
        way=(conductor.key,),
        measured=stress.amps,
        limit=bears,
        unit="A",
        severity=Severity.WATCH if shared or for_minutes else None,
    )


def _bars(system: System, *, unprotected: bool) -> Iterator[Breach]:
    """Yield panels whose bar more can reach than it is rated for, and bus bars that the sum of devices exceeds.

    Where any current can reach one because a conductor has no device, which is told already, that is left out.
    """
    worst: dict[str, tuple[float, str]] = {}
    rated = [node for node in system.nodes if node.rating_a is not None and node.pole in LIVE_POLES]
    for state in system.states:
        if state.all_open or state.short_time:
            continue
        currents = Currents(system, state)
        for node in rated:
            amps = currents.most(node.key)
            if amps > worst.get(node.key, (0.0, ""))[0]:
                worst[node.key] = (amps, state.name)
    for node in rated:
        amps, state_name = worst.get(node.key, (0.0, ""))
        limit = node.rating_a or 0.0
        if node.kind not in ("panel", "bar") or amps <= limit * _SLACK or node.key.endswith("/in"):
            continue
        if unprotected and math.isinf(amps):
            continue
        much = "any current" if math.isinf(amps) else f"{amps:.3g} A"
        yield Breach(
            rule="fuse 90" if node.kind == "panel" else "fuse 91",
            entry=f"{node.section}.{node.owner}",
            message=f"{node.name}: {much} can reach it in state '{state_name}', it is rated for {limit:g} A",
            remedy="put a device of its rating before it, or take one that is rated higher",
            way=(node.key,),
            measured=None if math.isinf(amps) else amps,
            limit=limit,
            unit="A",
        )
