"""Shortest ways between places for one class of cable, and where a device is reached from."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import TYPE_CHECKING

from layout.wiring.routing.loom import loom_mm
from layout.wiring.routing.run_lengths import spot, wireway_mm

if TYPE_CHECKING:
    from collections.abc import Mapping

    import networkx as nx

    from layout.project.model.project import Project
    from layout.wiring.circuits.ends import Ends


@dataclass(frozen=True, slots=True, kw_only=True)
class CablePath:
    """A way through the wireways: length in mm, places passed (both ends included), ids and lengths of the wireways."""

    length_mm: float
    places: tuple[str, ...]
    wireways: tuple[str, ...]
    legs_mm: tuple[float, ...] = ()

    def between_mm(self, start_mm: float, end_mm: float) -> tuple[str, ...]:
        """Return the wireways that the cable from one distance along the way to another lies in, the last at least."""
        found, at = [], 0.0
        for wireway, leg in zip(self.wireways, self.legs_mm, strict=True):
            if at < end_mm and at + leg > start_mm:
                found.append(wireway)
            at += leg
        return tuple(found) or self.wireways[-1:]


@dataclass(frozen=True)
class Ways:
    """All shortest ways between the places that wireways of one class join."""

    graph: nx.Graph[str]

    @cached_property
    def _found(self) -> Mapping[str, tuple[Mapping[str, float], Mapping[str, list[str]]]]:
        import networkx as nx  # kept out of start-up

        return {
            start: (dict(lengths), dict(paths))
            for start, (lengths, paths) in nx.all_pairs_dijkstra(self.graph, weight="length")
        }

    @property
    def places(self) -> tuple[str, ...]:
        """Every place, in the project's order."""
        return tuple(self.graph.nodes)

    def between(self, start: str, end: str) -> CablePath | None:
        """Return the shortest way, or None where there is none."""
        if start not in self._found or end not in self._found[start][0]:
            return None
        lengths, paths = self._found[start]
        path = paths[end]
        return CablePath(
            length_mm=float(lengths[end]),
            places=tuple(path),
            wireways=tuple(self.graph.edges[pair]["wireway"] for pair in pairwise(path)),
            legs_mm=tuple(self.graph.edges[pair]["length"] for pair in pairwise(path)),
        )


def ways_for(project: Project, carries: str) -> Ways:
    """Return the ways open to a class of cable (``data``, ``antenna``, ``dc``); what is to be removed is left out.

    Of two wireways between the same places the shorter counts; one of unknown length is no way to plan by.
    """
    import networkx as nx

    graph: nx.Graph[str] = nx.Graph()
    graph.add_nodes_from(project.locations)
    for id_, wireway in project.wireways.items():
        if carries not in wireway.carries or wireway.is_removed:
            continue
        length = wireway_mm(wireway)
        if length is None:
            continue
        old = graph.get_edge_data(wireway.from_, wireway.to)
        if old is None or length < old["length"]:
            graph.add_edge(wireway.from_, wireway.to, length=length, wireway=id_)
    return Ways(graph)


@dataclass(frozen=True, slots=True, kw_only=True)
class CableReach:
    """Where an owner is reached from: the place, and the length beyond it, mm; None where not known.

    ``moves`` says that the length beyond it swings with a hinged panel.
    """

    location: str | None
    tail_mm: float | None
    moves: bool = False


def reach_of(ends: Ends, owner: str) -> CableReach:
    """Return where a device, distribution panel, supply or bar is reached from.

    Beyond the place come, on a panel, the way from the cable entry along the loom lines and the hinge loop;
    elsewhere the slack at one end. While a device is not placed its way on the panel is not known.
    """
    site = ends.site(owner)
    rules = ends.project.wiring
    if site.panel is None:
        return CableReach(location=site.location, tail_mm=None if site.location is None else rules.slack_ends)
    panel = ends.project.panels[site.panel]
    moves = panel.hinge is not None
    found = spot(ends, owner, "", site)
    if found is None or panel.cable_exit is None:
        return CableReach(location=site.location, tail_mm=None, moves=moves)
    tail = loom_mm(panel.loom, panel.cable_exit.at, found.at) + rules.slack_ends
    return CableReach(location=site.location, tail_mm=tail + (rules.hinge_loop if moves else 0.0), moves=moves)
