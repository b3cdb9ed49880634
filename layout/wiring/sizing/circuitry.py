"""Everything about one project that is known before a conductor has a size, and the plans that then settle."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from layout.standards.tables import Practice
from layout.wiring.circuits.chains import chains, lead_currents
from layout.wiring.circuits.ends import Ends
from layout.wiring.circuits.holders import parted_at_holders
from layout.wiring.circuits.network_segments import network_segments
from layout.wiring.circuits.segments import Segment, circuit_segments, feeder_segments, is_ac, nominal_of
from layout.wiring.circuits.serial_segments import serial_segments
from layout.wiring.circuits.signal_segments import signal_segments
from layout.wiring.circuits.starting_current import starting_current_a
from layout.wiring.circuits.supply_graph import (
    SourceInState,
    for_use,
    in_use,
    joined,
    states_in,
    wires,
)
from layout.wiring.circuits.way_assignment import Assignment, assign_ways
from layout.wiring.laws.overload import demand_on
from layout.wiring.protection.protective_device import (
    ProtectiveDevice,
    as_laid,
    as_thick_as_its_feeders,
    circuit_stands,
    feeder_stands,
    stand_before,
)
from layout.wiring.routing.routes import Router
from layout.wiring.sizing.circle import SizingInputs, settle
from layout.wiring.sizing.circuit_draws import (
    circuit_current,
    circuit_loads,
    feeder_loads,
    input_current,
    lowest_by_node,
)
from layout.wiring.sizing.design_current import LOWEST_SHARE, UNKNOWN, DesignCurrent
from layout.wiring.sizing.drop import Copper, copper_ohm_per_m
from layout.wiring.sizing.drop_budget import (
    Upstream,
    circuit_limit_percent,
    drop_currents,
    feeder_limit_percent,
    run_ohm,
)
from layout.wiring.sizing.earth_sizes import size_earths
from layout.wiring.sizing.feeder_flows import Flows, flows
from layout.wiring.sizing.segment_state import SegmentState, make_plan
from layout.wiring.system.build import build_system
from layout.wiring.system.infeeds import low_v, weakest
from layout.wiring.system.laid_out import LaidFacts, laid_out

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project
    from layout.wiring.circuits.chains import Chain
    from layout.wiring.circuits.network_segments import NetworkCable
    from layout.wiring.sizing.feeder_flows import NodeLoad
    from layout.wiring.system.graph import System


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One project on its way to a schedule.

    Attributes
    ----------
    segments, plans
        By key, feeders first, then circuits in the file's order.
    currents
        Design current by circuit.
    lead_a
        Current of each conductor of the circuits.
    stands, feeder_stands
        Protective devices by (circuit, first segment), and by (feeder, whether at its end).
    graph
        The electrical system before anything has a size.
    bears
        What the conductors of each segment must bear: the greatest current that devices let through.
    upstream
        Worst drop to a pair of nodes, with the sizes as settled.
    joined
        Nodes that closed contacts make one in the first declared state.
    """

    project: Project
    practice: Practice
    ends: Ends
    assignment: Assignment
    segments: Mapping[str, Segment]
    chains: Mapping[str, tuple[Chain, ...]]
    currents: Mapping[str, DesignCurrent]
    lead_a: Mapping[tuple[str, str], float | None]
    supplying: tuple[SourceInState, ...]
    charging: tuple[SourceInState, ...]
    loads: tuple[NodeLoad, ...]
    flows: Flows
    stands: Mapping[tuple[str, str], ProtectiveDevice]
    feeder_stands: Mapping[tuple[str, bool], ProtectiveDevice]
    graph: System
    bears: Mapping[str, float | None]
    plans: Mapping[str, SegmentState]
    facts: SizingInputs
    router: Router
    upstream: Upstream
    joined: Mapping[str, str]

    def own_stand(self, segment: Segment) -> ProtectiveDevice | None:
        """Return the device of a feeder at its start, else at its end; what leads up to a holder has the one in it."""
        at_start = self.feeder_stands.get((segment.tail_of or segment.key, False))
        at_end = self.feeder_stands.get((segment.tail_of or segment.key, True))
        return (at_start if segment.protection is not None else None) or at_end

    def stand_of(self, segment: Segment) -> ProtectiveDevice | None:
        """Return the device before a segment: its own, else the one of the feed it belongs to."""
        own = self.own_stand(segment)
        if own is not None or segment.owner_kind == "feeder":
            return own or stand_before(segment.key, self.supplying, self.feeder_stands)
        for circuit in segment.circuits:
            for chain in self.chains.get(circuit, ()):
                stand = self.stands.get((circuit, chain.feed[0].segment))
                if stand is not None and any(step.segment == segment.key for step in chain.steps):
                    return stand
        return None


def make_case(project: Project, arrangement: Arrangement | None, laid: tuple[NetworkCable, ...] = ()) -> Case:
    """Work out segments, currents, protective devices and feeders, then let routes and sizes settle.

    Parameters
    ----------
    laid
        Cables of the networks, whose ways are settled already.
    """
    practice = Practice(project.wiring.practice)
    ends = Ends(project, arrangement)
    feeders = list(parted_at_holders(ends, feeder_segments(ends)))
    supplying, charging = in_use(project, feeders)
    lowest = lowest_by_node(project, supplying)
    designs = _circuit_currents(ends, lowest)
    assignment = assign_ways(project, lambda key: designs[key].current_a)
    signals = (*serial_segments(ends), *network_segments(laid), *signal_segments(ends))
    everything = (*feeders, *parted_at_holders(ends, circuit_segments(ends, assignment.ways)), *signals)
    segments = {segment.key: segment for segment in everything}
    amps = {key: design.current_a for key, design in designs.items()}
    bare = build_system(ends, segments.values(), ways=assignment.ways, draws=_draws(ends, designs, lowest))
    by_circuit = chains(ends, segments.values(), amps, _shares(bare))
    never_with = {key: circuit.never_with for key, circuit in project.circuits.items() if circuit.never_with}
    lead_a = lead_currents(by_circuit, amps, never_with)
    stands = circuit_stands(ends, segments, by_circuit, amps)
    loads = (*circuit_loads(project, by_circuit, amps, stands), *feeder_loads(ends, feeders, lowest))
    found = flows(project, supplying, charging, loads)
    drops = drop_currents(found, wires(feeders))
    feeder_a = {segment.key: _feeder_current(project, segment, found) for segment in feeders}
    at_feeders = feeder_stands(feeders, {key: design.current_a for key, design in feeder_a.items()})
    graph = _with_ratings(bare, (*stands.values(), *at_feeders.values()))
    bears = _demands(graph)
    bears |= {key: bears.get(segment.tail_of) for key, segment in segments.items() if segment.tail_of}
    for key, segment in segments.items():
        if segment.owner_kind == "feeder" and not segment.cranking and not any(lead.live for lead in segment.leads):
            beside = as_thick_as_its_feeders(project, segment, segments, bears)
            if beside is not None and bears.get(key, 0.0) is not None:
                bears[key] = max(beside, bears.get(key) or 0.0)
    by_segment: dict[str, list[float | None]] = {}
    for (key, _), lead_amps in lead_a.items():
        by_segment.setdefault(key, []).append(lead_amps)
    plans = {key: make_plan(ends, segment) for key, segment in segments.items()}
    for key, plan in plans.items():
        if plan.segment.owner_kind == "feeder":
            plan.current, plan.protection_a = _held(feeder_a[key], bears.get(key)), bears.get(key)
        elif plan.segment.owner_kind == "circuit":
            plan.current = _segment_current(plan.segment, designs, by_segment.get(key, []))
            plan.protection_a = bears.get(key)
    feeds, limits = _limits(ends, practice, by_circuit, loads)
    facts = SizingInputs(
        ends=ends,
        practice=practice,
        chains=by_circuit,
        fed=for_use(supplying),
        feeds=feeds,
        limits_v=limits,
        starts_ohm=_starts(project, by_circuit, for_use(supplying), bare),
        drop_currents=drops,
        never_with=never_with,
    )
    router = Router(project)
    settle(facts, plans, router)
    size_earths(plans)
    up_to = [(plan.segment, plan.length) for plan in plans.values() if plan.segment.tail_of]
    return Case(
        project=project,
        practice=practice,
        ends=ends,
        assignment=assignment,
        segments=segments,
        chains=by_circuit,
        currents=designs,
        lead_a=lead_a,
        supplying=supplying,
        charging=charging,
        loads=loads,
        flows=found,
        stands=as_laid(stands, up_to),
        feeder_stands=as_laid(at_feeders, up_to),
        graph=graph,
        bears=bears,
        plans=plans,
        facts=facts,
        router=router,
        upstream=Upstream(facts.fed, plans, drops, practice),
        joined=joined(project, next(iter(states_in(project, wires(feeders)).values()))),
    )


def _circuit_currents(ends: Ends, lowest: Mapping[str, float]) -> dict[str, DesignCurrent]:
    found = {}
    for key, circuit in ends.project.circuits.items():
        if circuit.aboard == "remove":
            continue
        owner = ends.owner(circuit.from_)
        pole = "L" if is_ac(ends, owner) else "+"
        node = ends.node(circuit.from_, pole, incoming=False)
        found[key] = circuit_current(ends, key, nominal_v=nominal_of(ends, owner), lowest_v=lowest.get(node))
    return found


def _feeder_current(project: Project, segment: Segment, found: Flows) -> DesignCurrent:
    """Return the largest of what loads draw, charging sources push, a starter takes and the owner gives."""
    key = segment.owner.removeprefix("feeders.")
    given = project.feeders[key].current
    turning = (starting_current_a(project, key) or 0.0) if segment.cranking else 0.0
    keys = [key for key in {**found.load_a, **found.charge_a} if key[0] == segment.key]
    loads = [found.load_a[key] for key in keys if key in found.load_a]
    charge = max((found.charge_a.get(key, 0.0) for key in keys), default=0.0)
    if None in loads:
        return UNKNOWN if given is None else DesignCurrent(current_a=given, text=f"{given:g} A given")
    load = max((value or 0.0 for value in loads), default=0.0)
    if not keys and given is None and not turning:
        return UNKNOWN
    texts = {"loads at once": load, "charging": charge, "given": given or 0.0, "while the engine turns": turning}
    most = max(texts, key=lambda name: texts[name])
    return DesignCurrent(current_a=texts[most], text=f"{texts[most]:.3g} A {most}")


def _held(design: DesignCurrent, rating_a: float | None) -> DesignCurrent:
    """Return a feeder's current as its protective device lets it flow for long."""
    if design.current_a is None or rating_a is None or design.current_a <= rating_a:
        return design
    return DesignCurrent(current_a=rating_a, text=f"{design.text}, held to {rating_a:g} A by its device")


def _segment_current(segment: Segment, designs: Mapping[str, DesignCurrent], mine: list[float | None]) -> DesignCurrent:
    """Return the largest current of a segment's conductors; a segment of no chain takes its circuit's."""
    design = designs[segment.circuits[0]]
    if not mine:
        return design
    if None in mine:
        return UNKNOWN
    most = max(amps or 0.0 for amps in mine)
    if design.current_a is not None and abs(most - design.current_a) < 1e-9:
        return design
    return DesignCurrent(current_a=most, text=f"{most:.3g} A")


def _limits(
    ends: Ends, practice: Practice, by_circuit: Mapping[str, tuple[Chain, ...]], loads: tuple[NodeLoad, ...]
) -> tuple[dict[str, tuple[tuple[str, str, float], ...]], dict[str, float]]:
    """Return the feeds with their limits in volts, and the limit of each circuit."""
    feeds: dict[str, tuple[tuple[str, str, float], ...]] = {}
    limits: dict[str, float] = {}
    for key, ways in by_circuit.items():
        circuit = ends.project.circuits[key]
        owner = ends.owner(circuit.from_)
        nominal = nominal_of(ends, owner)
        if nominal is None:
            continue
        limits[key] = circuit_limit_percent(circuit, practice, ac=is_ac(ends, owner)) / 100 * nominal
        feeds[key] = tuple(dict.fromkeys((chain.source_node, chain.return_node, limits[key]) for chain in ways))
    for load in loads:
        feeder = ends.project.feeders.get(load.circuit.removeprefix("feeders."))
        if feeder is None:
            continue
        owner = ends.owner(feeder.from_)
        nominal = nominal_of(ends, owner)
        if nominal is not None:
            limit = feeder_limit_percent(ac=is_ac(ends, owner)) / 100 * nominal
            feeds[load.circuit] = ((load.source_node, load.return_node, limit),)
    return feeds, limits


def _starts(
    project: Project, by_circuit: Mapping[str, tuple[Chain, ...]], fed_by: Iterable[SourceInState], system: System
) -> dict[str, float]:
    """Return what a motor's start leaves for its conductors from the source's post and back, in ohm, by circuit.

    From a low source behind its own resistance, as law 8 holds it: what is left of its voltage above the motor's least,
    over the inrush. A circuit is left out where a fact is not known, or no source is named.
    """
    sources = {source.key: source for source in system.sources}
    reaching = list(fed_by)
    found: dict[str, float] = {}
    for key, ways in by_circuit.items():
        load = project.circuits[key].load
        if load is None or load.inrush is None or load.start_voltage is None:
            continue
        for one in reaching:
            if any(chain.source_node in one.live and chain.return_node in one.back for chain in ways):
                source = sources[one.source]
                weak = weakest(source)
                left = (low_v(source) - load.start_voltage) / load.inrush - (abs(weak.ohm) if weak else 0.0)
                found[key] = min(found.get(key, left), left)
    return found


COLD_C = 20.0
"""Temperature of a conductor for the highest fault."""


def _shares(system: System) -> dict[tuple[str, str], float | None]:
    """Return what each thing on a circuit draws, by circuit and thing; None is not known."""
    return {
        (consumer.circuit, system.node[consumer.live].owner): consumer.draw_a
        for consumer in system.consumers
        if consumer.live is not None and consumer.circuit and not consumer.feeds
    }


def _with_ratings(system: System, stands: Iterable[ProtectiveDevice]) -> System:
    """Return the electrical graph with the ratings that were chosen, and what they let flow."""
    chosen = {stand.key: stand.rating_a for stand in stands}
    guards = (
        guard if guard.rating_a is not None else replace(guard, rating_a=chosen.get(guard.entry), is_chosen=True)
        for guard in system.guards
    )
    system = replace(system, guards=tuple(guards))
    return replace(system, stress=demand_on(system))


def _demands(system: System) -> dict[str, float | None]:
    """Return what the conductors of each segment must bear, A; None where no device limits what can flow."""
    segment_of = {conductor.key: conductor.segment for conductor in system.conductors}
    found: dict[str, float | None] = {}
    for key, stress in demand_on(system).items():
        segment = segment_of[key]
        known = found.get(segment, 0.0)
        found[segment] = None if known is None or math.isinf(stress.amps) else max(known, stress.amps)
    return found


def system_of(case: Case) -> System:
    """Return the electrical graph of a case, with the sizes, lengths and ampacities that were found."""
    return laid_out(case.graph, {key: _laid(plan, case.practice) for key, plan in case.plans.items()})


def _draws(ends: Ends, currents: Mapping[str, DesignCurrent], lowest: Mapping[str, float]) -> dict[str, float | None]:
    """Return what circuits and the inputs of converters and chargers draw, by dotted key."""
    draws = {f"circuits.{key}": design.current_a for key, design in currents.items()}
    for key, supply in ends.project.supplies.items():
        if supply.fed_from is not None:
            owner = ends.owner(supply.fed_from)
            pole = "L" if is_ac(ends, owner) else "+"
            nominal = nominal_of(ends, owner)
            volts = lowest.get(ends.node(supply.fed_from, pole, incoming=False))
            draws[f"supplies.{key}"] = input_current(
                supply, volts or (LOWEST_SHARE * nominal if nominal else None)
            ).current_a
    return draws


def _laid(plan: SegmentState, practice: Practice) -> LaidFacts:
    """Return what was found for a segment; its resistance cold at its least (plain copper), and hot at its most."""
    verdict = plan.sizing.verdict if plan.sizing else None
    ohm = hot_ohm = None
    if plan.size is not None and plan.length.total_mm is not None:
        metres, strands = plan.length.total_mm / 1000, plan.copper.strand_class
        cold = Copper(temperature_c=COLD_C, tinned=False, strand_class=strands)
        hot = Copper(temperature_c=plan.insulation_c, tinned=plan.copper.tinned, strand_class=strands)
        ohm = min(copper_ohm_per_m(plan.size, practice=practice, copper=cold)) * metres
        hot_ohm = max(copper_ohm_per_m(plan.size, practice=practice, copper=hot)) * metres
    return LaidFacts(
        size_mm2=plan.size.area_mm2 if plan.size else None,
        size_given=plan.fixed_size,
        length_mm=plan.length.total_mm,
        bears_a=verdict.ampacity.current_a if verdict and verdict.ampacity else None,
        ohm=ohm,
        working_ohm=run_ohm(plan, practice),
        hot_ohm=hot_ohm,
    )
