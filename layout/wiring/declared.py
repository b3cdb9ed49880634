"""The first stage of wiring: what the file says, resolved, before anything is reckoned along conductors."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass
from layout.standards.tables import Practice
from layout.wiring.circuits.ends import Ends
from layout.wiring.circuits.holders import parted_at_holders
from layout.wiring.circuits.network_segments import network_segments
from layout.wiring.circuits.segments import circuit_segments, feeder_segments, is_ac, nominal_of
from layout.wiring.circuits.serial_segments import serial_segments
from layout.wiring.circuits.signal_segments import signal_segments
from layout.wiring.circuits.supply_graph import in_use, joined, states_in, wires
from layout.wiring.circuits.way_assignment import assign_ways
from layout.wiring.routing.routes import Router
from layout.wiring.sizing.circuit_draws import circuit_current, lowest_by_node

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project
    from layout.wiring.circuits.network_segments import NetworkCable
    from layout.wiring.circuits.segments import WireSegment
    from layout.wiring.circuits.supply_graph import SourceInState
    from layout.wiring.circuits.way_assignment import Assignment
    from layout.wiring.sizing.design_current import DesignCurrent


@dataclass(frozen=True, slots=True, kw_only=True)
class Declared:
    """What the file says, resolved.

    Attributes
    ----------
    lowest_v
        Lowest working voltage by node, as far as sources say it.
    currents
        Design current by circuit.
    assignment
        Way of each circuit, as written or chosen.
    segments
        By key, feeders first, then circuits in the file's order.
    supplying, charging
        What each source reaches, in each state of the switches.
    joined
        Nodes that closed contacts make one in the first declared state.
    router
        The wireways as a graph.
    """

    project: Project
    practice: Practice
    ends: Ends
    lowest_v: Mapping[str, float]
    currents: Mapping[str, DesignCurrent]
    assignment: Assignment
    segments: Mapping[str, WireSegment]
    supplying: tuple[SourceInState, ...]
    charging: tuple[SourceInState, ...]
    joined: Mapping[str, str]
    router: Router

    @property
    def feeders(self) -> list[WireSegment]:
        """The segments of feeders."""
        return [segment for segment in self.segments.values() if segment.owner_kind == "feeder"]


def make_declared(
    project: Project, arrangement: Arrangement | None, network_cables: tuple[NetworkCable, ...] = ()
) -> Declared:
    """Resolve what the file says.

    Parameters
    ----------
    network_cables
        Cables of the networks, whose ways are settled already.
    """
    ends = Ends(project, arrangement)
    feeders = list(parted_at_holders(ends, feeder_segments(ends)))
    supplying, charging = in_use(project, feeders)
    lowest = lowest_by_node(project, supplying)
    currents = _circuit_currents(ends, lowest)
    assignment = assign_ways(project, lambda key: currents[key].current_a)
    circuits = parted_at_holders(ends, circuit_segments(ends, assignment.ways))
    signals = (*serial_segments(ends), *network_segments(network_cables), *signal_segments(ends))
    return Declared(
        project=project,
        practice=Practice(project.wiring.practice),
        ends=ends,
        lowest_v=FrozenMap(lowest),
        currents=FrozenMap(currents),
        assignment=assignment,
        segments=FrozenMap({segment.key: segment for segment in (*feeders, *circuits, *signals)}),
        supplying=supplying,
        charging=charging,
        joined=FrozenMap(joined(project, next(iter(states_in(project, wires(feeders)).values())))),
        router=Router(project),
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
