"""The circle of wiring: bundling depends on routes, size on bundling, fill on size, and route on fill.

It starts with shortest ways and smallest sizes. Bundles and sizes only grow and a segment moves a bounded number of
times, so it ends. What stays overfull then goes to the solver, once. One last pass at the final routes lets sizes
shrink to what they really need, checked again.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass
from layout.wiring.routing.run_lengths import run_length
from layout.wiring.sizing.bundles import loaded_together, worst_bundle
from layout.wiring.sizing.conductor_size import Criterion, Demand, Sizing, checked_size, choose_size
from layout.wiring.sizing.drop_budget import (
    Upstream,
    chain_shares,
    feeder_limit_percent,
    feeder_paths,
    feeder_shares,
    spare_share_v,
)
from layout.wiring.sizing.earth_sizes import size_earths
from layout.wiring.sizing.overfull import make_room
from layout.wiring.sizing.rerouting import Occupancy, reroute
from layout.wiring.sizing.segment_state import make_plan

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layout.standards.conductors import ConductorSize
    from layout.standards.tables import Practice
    from layout.wiring.circuits.chains import Chain
    from layout.wiring.circuits.ends import Ends
    from layout.wiring.circuits.segments import WireSegment
    from layout.wiring.circuits.supply_graph import SourceInState
    from layout.wiring.routing.routes import Router
    from layout.wiring.sizing.design_current import DesignCurrent
    from layout.wiring.sizing.feeder_flows import LinkKey
    from layout.wiring.sizing.segment_state import SegmentState
    from layout.wiring.sizing.sized_segment import SizedSegment

MOST_ROUNDS = 12
"""A safety net only: sizes and bundles that only grow settle in two to four rounds."""

MILD_C = 30.0
"""Ambient of the ampacity tables."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SizingInputs:
    """What does not change while the circle turns.

    Attributes
    ----------
    feeds
        By circuit: (source node, return node, limit in volts), for the feeders' shares.
    limits_v
        Allowed drop of each circuit, V; a circuit without nominal voltage is left out.
    starts_ohm
        By circuit of a motor: what its start leaves for the conductors from the source's post and back, in ohm.
    drop_currents
        Current for drop of each feeder conductor.
    """

    ends: Ends
    practice: Practice
    chains: Mapping[str, tuple[Chain, ...]]
    fed: tuple[SourceInState, ...]
    feeds: Mapping[str, tuple[tuple[str, str, float], ...]]
    limits_v: Mapping[str, float]
    starts_ohm: Mapping[str, float]
    drop_currents: Mapping[LinkKey, float]
    never_with: Mapping[str, str]

    def with_limits(self, limits_v: Mapping[str, float]) -> SizingInputs:
        """Return the same with other drops allowed on some circuits, V by circuit."""
        feeds = {
            key: tuple((source, home, limits_v.get(key, limit)) for source, home, limit in ways)
            for key, ways in self.feeds.items()
        }
        return replace(self, limits_v=FrozenMap({**self.limits_v, **limits_v}), feeds=FrozenMap(feeds))


def sized_segments(
    facts: SizingInputs,
    segments: Mapping[str, WireSegment],
    router: Router,
    *,
    currents: Mapping[str, DesignCurrent],
    bears: Mapping[str, float | None],
) -> dict[str, SizedSegment]:
    """Route, size and fill all segments.

    Parameters
    ----------
    currents, bears
        By segment of feeders and circuits: design current, and what its conductors must bear.
    """
    plans = {key: make_plan(facts.ends, segment) for key, segment in segments.items()}
    for key, current in currents.items():
        plans[key].current, plans[key].protection_a = current, bears.get(key)
    _settle(facts, plans, router)
    size_earths(plans)
    return {key: plan.frozen() for key, plan in plans.items()}


def _settle(facts: SizingInputs, plans: Mapping[str, SegmentState], router: Router) -> None:
    for plan in plans.values():
        _route(plan, router)
        _measure(facts, plan)
    _turn(facts, plans, router)
    moved = make_room(facts.ends.project, plans.values(), router)
    if moved:
        for plan in moved:
            _measure(facts, plan)
        _turn(facts, plans, router)
    _shrink(facts, plans)


def _turn(facts: SizingInputs, plans: Mapping[str, SegmentState], router: Router) -> None:
    for _ in range(MOST_ROUNDS):
        grew = _size_all(facts, plans, shrink=False)
        moved = reroute(facts.ends.project, plans.values(), router)
        for plan in moved:
            _measure(facts, plan)
        if not grew and not moved:
            break


def _shrink(facts: SizingInputs, plans: Mapping[str, SegmentState]) -> None:
    """Size once more at the final routes, down as well as up; taken back as a whole if a wireway would overflow."""
    project = facts.ends.project
    before = {key: (plan.size, plan.sizing, plan.poor, plan.bundle, plan.share_v) for key, plan in plans.items()}
    full = set(Occupancy(project, plans.values()).overfull())
    _size_all(facts, plans, shrink=True)
    if set(Occupancy(project, plans.values()).overfull()) <= full:
        return
    for key, plan in plans.items():
        plan.size, plan.sizing, plan.poor, plan.bundle, plan.share_v = before[key]


def _route(plan: SegmentState, router: Router) -> None:
    if plan.fixed_route:
        plan.route = plan.segment.wireways
        return
    start, end = (site.location for site in plan.sites)
    panels = [site.panel for site in plan.sites]
    if panels[0] is not None and panels[0] == panels[1]:
        plan.route = ()
    elif start is not None and end is not None:
        plan.route = router.shortest(plan.segment.run_class, start, end)


def _measure(facts: SizingInputs, plan: SegmentState) -> None:
    project = facts.ends.project
    known = plan.route is not None and all(key in project.wireways for key in plan.route)
    plan.length = run_length(facts.ends, plan.segment, plan.route if known else None)
    ways = [project.wireways[key] for key in plan.route or () if known]
    zones = [way.zone for way in ways]
    zones += [project.locations[site.location].zone for site in plan.sites if site.location and site.panel is None]
    plan.hot = "hot space" in zones or any((way.temperature or MILD_C) > MILD_C for way in ways)


def _size_all(facts: SizingInputs, plans: Mapping[str, SegmentState], *, shrink: bool) -> bool:
    """Size feeders, then circuits with what the feeders leave; return whether a size or bundle grew."""
    project = facts.ends.project
    counts = loaded_together(project, plans.values(), facts.never_with)
    grew = False
    for plan in plans.values():
        bundle = worst_bundle(project, plan, counts)
        grew = grew or bundle > plan.bundle
        plan.bundle = bundle if shrink else max(plan.bundle, bundle)
    shares = feeder_shares(facts.fed, plans, facts.feeds)
    for plan in plans.values():
        if plan.segment.owner_kind == "feeder":
            plan.share_v = shares.get(plan.segment.key, _lone_feeder_share(plan))
            grew = _size(facts, plan, shrink=shrink) or grew
    if shrink:
        _use_what_is_left(facts, plans)
    upstream = Upstream(facts.fed, plans, facts.drop_currents, facts.practice)
    for key, share in _circuit_shares(facts, plans, upstream, facts.limits_v).items():
        plans[key].share_v = share
    at_one_amp = Upstream(facts.fed, plans, dict.fromkeys(facts.drop_currents, 1.0), facts.practice)
    for key, share in _circuit_shares(facts, plans, at_one_amp, facts.starts_ohm).items():
        amps = plans[key].current.current_a
        plans[key].start_v = None if amps is None or share <= 0 else share * amps
    for plan in plans.values():
        if plan.segment.owner_kind == "circuit":
            grew = _size(facts, plan, shrink=shrink) or grew
    return grew


def _use_what_is_left(facts: SizingInputs, plans: Mapping[str, SegmentState]) -> None:
    """Let feeders be thinner by what whole sizes left over of the budget, most copper first, one after another.

    Every way to a load keeps to its budget, since each feeder is sized with what the others really drop.
    """
    paths = feeder_paths(facts.fed, facts.feeds)
    feeders = [plan for plan in plans.values() if plan.segment.owner_kind == "feeder" and plan.size is not None]
    for plan in sorted(feeders, key=lambda p: -(p.size.area_mm2 if p.size else 0.0) * (p.loop_m or 0.0)):
        share = spare_share_v(plan.segment.key, paths, plans)
        if share is not None and plan.share_v is not None and share > plan.share_v:
            plan.share_v = share
            _size(facts, plan, shrink=True)


def _lone_feeder_share(plan: SegmentState) -> float | None:
    """Allow a feeder that no load hangs on (a charging source's) half of a feeder's limit for each conductor."""
    if plan.segment.nominal_v is None:
        return None
    return feeder_limit_percent(ac=plan.segment.ac) / 100 * plan.segment.nominal_v * plan.conductors / 2


def _circuit_shares(
    facts: SizingInputs, plans: Mapping[str, SegmentState], upstream: Upstream, limits: Mapping[str, float]
) -> dict[str, float]:
    found: dict[str, float] = {}
    for circuit, limit in limits.items():
        for key, share in chain_shares(facts.chains[circuit], plans, upstream, limit).items():
            found[key] = min(found.get(key, share), share)
    return found


def demand_of(facts: SizingInputs, plan: SegmentState) -> Demand | None:
    """Return what is asked of a segment's conductors; None while current, length or voltage is unknown."""
    amps, loop, nominal = plan.current.current_a, plan.loop_m, plan.segment.nominal_v
    if amps is None or loop is None or nominal is None:
        return None
    share = plan.share_v
    return Demand(
        practice=facts.practice,
        current_a=amps,
        loop_m=loop,
        allowed_v=None if plan.segment.cranking or share is None or share <= 0 else share,
        nominal_v=nominal,
        start_v=None if plan.segment.cranking else plan.start_v,
        protection_a=None if plan.segment.cranking else plan.protection_a,
        insulation_c=plan.insulation_c,
        hot_space=plan.hot,
        conductors=plan.bundle,
        below_50v=facts.ends.project.wiring.bundling == "all",
        in_sheath=plan.cores > 1,
        copper=plan.copper,
    )


def _size(facts: SizingInputs, plan: SegmentState, *, shrink: bool) -> bool:
    """Find the size for what is asked now; without ``shrink`` never below what the segment has. Return if it grew.

    A feeder's share of the drop is a budget, not a limit: where no size keeps to it, the thickest is taken, and the
    circuits behind it are held to what is left. A conductor that stays aboard has the size it has, or an unknown one.
    """
    demand = demand_of(facts, plan)
    kept = plan.segment.aboard == "keep" and not plan.fixed_size
    if demand is None or kept or not plan.segment.carries:
        return False
    if demand == plan.asked and not shrink:
        return False
    plan.asked = demand
    before = plan.size
    if plan.fixed_size and plan.size is not None:
        plan.sizing = checked_size(demand, plan.size, plan.sizes)
        return False
    plan.sizing, plan.poor = _best(demand, plan.sizes)
    if plan.poor and plan.sizing.verdict.fails == (Criterion.START,):
        plan.sizing, plan.poor = _best(replace(demand, start_v=None), plan.sizes)
    if plan.poor and plan.segment.owner_kind == "feeder" and plan.sizing.verdict.fails == (Criterion.DROP,):
        plan.poor = False
        plan.sizing = checked_size(replace(demand, allowed_v=None), plan.sizing.verdict.size, plan.sizes)
    found = plan.sizing.verdict.size
    if not shrink and before is not None and before.area_mm2 > found.area_mm2:
        plan.sizing = checked_size(demand, before, plan.sizes)
        return False
    plan.size = found
    return before is None or found.area_mm2 > before.area_mm2


def _best(demand: Demand, available: Iterable[ConductorSize]) -> tuple[Sizing, bool]:
    """Return the thinnest size that passes, else the thickest there is, marked as poor."""
    known = tuple(available)
    found = choose_size(demand, known)
    return (found, False) if found is not None else (checked_size(demand, known[-1], known), True)
