"""The second stage of wiring: what flows in each conductor and what protects it, before anything has a size."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass
from layout.wiring.circuits.chains import chains, lead_currents
from layout.wiring.circuits.segments import is_ac, nominal_of
from layout.wiring.circuits.starting_current import starting_current_a
from layout.wiring.circuits.supply_graph import for_use, wires
from layout.wiring.laws.overload import demand_on
from layout.wiring.protection.protective_device import as_thick_as_its_feeders, circuit_stands, feeder_stands
from layout.wiring.sizing.circle import SizingInputs
from layout.wiring.sizing.circuit_draws import circuit_loads, feeder_loads, input_current
from layout.wiring.sizing.design_current import LOWEST_SHARE, UNKNOWN_CURRENT, DesignCurrent
from layout.wiring.sizing.drop_budget import circuit_limit_percent, drop_currents, feeder_limit_percent
from layout.wiring.sizing.feeder_flows import flows
from layout.wiring.system.build import build_system
from layout.wiring.system.infeeds import low_v, weakest

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layout.project.model.project import Project
    from layout.standards.tables import Practice
    from layout.wiring.circuits.chains import Chain
    from layout.wiring.circuits.ends import Ends
    from layout.wiring.circuits.segments import WireSegment
    from layout.wiring.circuits.supply_graph import SourceInState
    from layout.wiring.declared import Declared
    from layout.wiring.protection.protective_device import ProtectiveDevice
    from layout.wiring.sizing.feeder_flows import Flows, NodeLoad
    from layout.wiring.system.graph import System


@dataclass(frozen=True, slots=True, kw_only=True)
class Loaded:
    """What flows, and which devices let it flow.

    Attributes
    ----------
    chains
        By circuit, from its source to its load and back.
    lead_a
        Current of each conductor of the circuits.
    segment_currents, bears
        By segment of feeders and circuits: its design current, and what its conductors must bear: the greatest current
        that devices let through, None where that is not known.
    stands, feeder_stands
        Protective devices by (circuit, first segment), and by (feeder, whether at its end), with their ratings.
    graph
        The electrical system before anything has a size.
    inputs
        What the sizing starts from.
    """

    chains: Mapping[str, tuple[Chain, ...]]
    lead_a: Mapping[tuple[str, str], float | None]
    segment_currents: Mapping[str, DesignCurrent]
    bears: Mapping[str, float | None]
    flows: Flows
    stands: Mapping[tuple[str, str], ProtectiveDevice]
    feeder_stands: Mapping[tuple[str, bool], ProtectiveDevice]
    graph: System
    inputs: SizingInputs


def make_loaded(declared: Declared) -> Loaded:
    """Work out currents, chains and protective devices."""
    project, ends, segments = declared.project, declared.ends, declared.segments
    feeders = declared.feeders
    amps = {key: design.current_a for key, design in declared.currents.items()}
    draws = _draws(ends, declared.currents, declared.lowest_v)
    bare = build_system(ends, segments.values(), ways=declared.assignment.ways, draws=draws)
    by_circuit = chains(ends, segments.values(), amps, _shares(bare))
    never_with = {key: circuit.never_with for key, circuit in project.circuits.items() if circuit.never_with}
    lead_a = lead_currents(by_circuit, amps, never_with)
    stands = circuit_stands(ends, segments, by_circuit, amps)
    loads = (*circuit_loads(project, by_circuit, amps, stands), *feeder_loads(ends, feeders, declared.lowest_v))
    through = flows(project, declared.supplying, declared.charging, loads)
    feeder_a = {segment.key: _feeder_current(project, segment, through) for segment in feeders}
    at_feeders = feeder_stands(feeders, {key: design.current_a for key, design in feeder_a.items()})
    graph = _with_ratings(bare, (*stands.values(), *at_feeders.values()))
    bears = _bears(project, segments, graph)
    currents = {key: _held(design, bears.get(key)) for key, design in feeder_a.items()}
    by_segment: dict[str, list[float | None]] = {}
    for (key, _), lead_amps in lead_a.items():
        by_segment.setdefault(key, []).append(lead_amps)
    for key, segment in segments.items():
        if segment.owner_kind == "circuit":
            currents[key] = _segment_current(segment, declared.currents, by_segment.get(key, []))
    feeds, limits = _limits(ends, declared.practice, by_circuit, loads)
    fed = for_use(declared.supplying)
    return Loaded(
        chains=FrozenMap(by_circuit),
        lead_a=FrozenMap(lead_a),
        segment_currents=FrozenMap(currents),
        bears=FrozenMap({key: bears.get(key) for key in currents}),
        flows=through,
        stands=FrozenMap(stands),
        feeder_stands=FrozenMap(at_feeders),
        graph=graph,
        inputs=SizingInputs(
            ends=ends,
            practice=declared.practice,
            chains=FrozenMap(by_circuit),
            fed=fed,
            feeds=FrozenMap(feeds),
            limits_v=FrozenMap(limits),
            starts_ohm=FrozenMap(_starts(project, by_circuit, fed, bare)),
            drop_currents=FrozenMap(drop_currents(through, wires(feeders))),
            never_with=FrozenMap(never_with),
        ),
    )


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


def _shares(system: System) -> dict[tuple[str, str], float | None]:
    """Return what each thing on a circuit draws, by circuit and thing; None is not known."""
    return {
        (consumer.circuit, system.node[consumer.live].owner): consumer.draw_a
        for consumer in system.consumers
        if consumer.live is not None and consumer.circuit and not consumer.feeds
    }


def _feeder_current(project: Project, segment: WireSegment, found: Flows) -> DesignCurrent:
    """Return the largest of what loads draw, charging sources push, a starter takes and the owner gives."""
    key = segment.owner.removeprefix("feeders.")
    given = project.feeders[key].current
    turning = starting_current_a(project, key) if segment.cranking else 0.0
    if turning is None:
        return UNKNOWN_CURRENT  # what else hangs on it is no answer
    keys = [key for key in {**found.load_a, **found.charge_a} if key[0] == segment.key]
    loads = [found.load_a[key] for key in keys if key in found.load_a]
    charge = max((found.charge_a.get(key, 0.0) for key in keys), default=0.0)
    if None in loads:
        return UNKNOWN_CURRENT if given is None else DesignCurrent(current_a=given, text=f"{given:g} A given")
    load = max((value or 0.0 for value in loads), default=0.0)
    if not keys and given is None and not turning:
        return UNKNOWN_CURRENT
    texts = {"loads at once": load, "charging": charge, "given": given or 0.0, "while the engine turns": turning}
    most = max(texts, key=lambda name: texts[name])
    return DesignCurrent(current_a=texts[most], text=f"{texts[most]:.3g} A {most}")


def _held(design: DesignCurrent, rating_a: float | None) -> DesignCurrent:
    """Return a feeder's current as its protective device lets it flow for long."""
    if design.current_a is None or rating_a is None or design.current_a <= rating_a:
        return design
    return DesignCurrent(current_a=rating_a, text=f"{design.text}, held to {rating_a:g} A by its device")


def _segment_current(
    segment: WireSegment, designs: Mapping[str, DesignCurrent], mine: list[float | None]
) -> DesignCurrent:
    """Return the largest current of a segment's conductors; a segment of no chain takes its circuit's."""
    design = designs[segment.circuits[0]]
    if not mine:
        return design
    if None in mine:
        return UNKNOWN_CURRENT
    most = max(amps or 0.0 for amps in mine)
    if design.current_a is not None and abs(most - design.current_a) < 1e-9:
        return design
    return DesignCurrent(current_a=most, text=f"{most:.3g} A")


def _bears(project: Project, segments: Mapping[str, WireSegment], graph: System) -> dict[str, float | None]:
    """Return what each segment must bear: what leads up to a holder as what leaves it, a return as what it returns."""
    bears = _demands(graph)
    bears |= {key: bears.get(segment.tail_of) for key, segment in segments.items() if segment.tail_of}
    for key, segment in segments.items():
        if segment.owner_kind == "feeder" and not segment.cranking and not any(lead.live for lead in segment.leads):
            beside = as_thick_as_its_feeders(project, segment, segments, bears)
            if beside is not None and bears.get(key, 0.0) is not None:
                bears[key] = max(beside, bears.get(key) or 0.0)
    return bears


def _demands(system: System) -> dict[str, float | None]:
    """Return what the conductors of each segment must bear, A; None where no device limits what can flow."""
    segment_of = {conductor.key: conductor.segment for conductor in system.conductors}
    found: dict[str, float | None] = {}
    for key, stress in demand_on(system).items():
        segment = segment_of[key]
        known = found.get(segment, 0.0)
        found[segment] = None if known is None or math.isinf(stress.amps) else max(known, stress.amps)
    return found


def _with_ratings(system: System, stands: Iterable[ProtectiveDevice]) -> System:
    """Return the electrical graph with the ratings that were chosen, and what they let flow."""
    chosen = {stand.key: stand.rating_a for stand in stands}
    guards = (
        guard if guard.rating_a is not None else replace(guard, rating_a=chosen.get(guard.entry))
        for guard in system.guards
    )
    system = replace(system, guards=tuple(guards))
    return replace(system, stress=demand_on(system))


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
