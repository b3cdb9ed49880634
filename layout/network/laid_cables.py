"""Cables that the networks plan and that take up room in the wireways: instrument buses and antenna leads."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.standards import coax, network
from layout.wiring.routing.network_cables import NetworkCable

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.network.networks import Networks
    from layout.project.model.project import Project


def laid_cables(project: Project, networks: Networks) -> tuple[NetworkCable, ...]:
    """Return every cable of the buses and antenna leads that lies in a wireway; serial links are runs of their own."""
    return (*_buses(project, networks), *_antennas(project, networks))


def _buses(project: Project, networks: Networks) -> Iterator[NetworkCable]:
    for bus in networks.buses:
        pieces, drops = bus.assembly.pieces, bus.assembly.drops
        cables = [(f"backbone {one.key}", f"{bus.name}, piece {one.key}", one.cable, one.wireways) for one in pieces]
        cables += [
            (f"drop {one.node}", f"drop of {_name(project, one.node)}", one.cable, one.wireways) for one in drops
        ]
        for words, name, cable, wireways in cables:
            if cable is not None and wireways:
                yield NetworkCable(
                    key=f"networks.{bus.id}:{words}",
                    name=name,
                    run_class="data",
                    od_mm=network.outer_diameter_mm(cable),
                    wireways=wireways,
                    plug_mm=project.networks[bus.id].plug,
                    bend_radius_mm=network.bus_bend_radius_mm(cable),
                )


def _name(project: Project, node: str) -> str:
    device = project.devices.get(node)
    return (device.name if device else "") or node


def _antennas(project: Project, networks: Networks) -> Iterator[NetworkCable]:
    for lead in networks.antennas:
        if not lead.wireways:
            continue
        declared = project.antennas[lead.id].outer_diameter
        known = {kind.name: kind.outer_diameter_mm for kind in coax.kinds()}
        yield NetworkCable(
            key=f"antennas.{lead.id}",
            name=lead.name,
            run_class="antenna",
            od_mm=declared or known.get(lead.cable),
            wireways=lead.wireways,
            plug_mm=project.antennas[lead.id].plug,
        )
