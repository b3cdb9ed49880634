"""Cables that others plan and that take up room in the wireways: instrument buses, serial links, antenna leads."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.standards import coax, network
from layout.wiring.routing.network_cables import NetworkCable

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.network.networks import Networks
    from layout.project.model.project import Project


def laid_cables(project: Project, networks: Networks) -> tuple[NetworkCable, ...]:
    """Return every cable of the buses, antenna leads and serial links that lies in a wireway."""
    return (*_buses(project, networks), *_antennas(project, networks), *_serial(project, networks))


def _buses(project: Project, networks: Networks) -> Iterator[NetworkCable]:
    for bus in networks.buses:
        cables = [(f"backbone {piece.key}", piece.cable, piece.wireways) for piece in bus.assembly.pieces]
        cables += [(f"drop {drop.node}", drop.cable, drop.wireways) for drop in bus.assembly.drops]
        for words, cable, wireways in cables:
            if cable is not None and wireways:
                yield NetworkCable(
                    key=f"networks.{bus.id}:{words}",
                    name=f"{bus.id} {words}",
                    run_class="data",
                    od_mm=network.outer_diameter_mm(cable),
                    wireways=wireways,
                    plug_mm=project.networks[bus.id].plug,
                )


def _serial(project: Project, networks: Networks) -> Iterator[NetworkCable]:
    for link in networks.serial:
        kind = project.cables.get(project.serial[link.id].cable or "")
        for listener in link.listeners:
            if listener.wireways:
                yield NetworkCable(
                    key=f"serial.{link.id}:{listener.device}",
                    name=f"{link.name} to {listener.name}",
                    run_class="data",
                    od_mm=max(kind.sizes.values(), default=None) if kind is not None else None,
                    wireways=listener.wireways,
                )


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
