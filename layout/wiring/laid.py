"""Cables that others plan and that take up room in the wireways: instrument buses, serial links, antenna leads."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from layout.standards import coax, network
from layout.standards.conduit import circle_mm2

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.project.model.project import Project
    from layout.wiring.net.networks import Networks


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """One cable with its way; ``od_mm`` is None where its diameter is not known, ``plug_mm`` where no plug stays on it.

    ``key`` names it inside its owner: ``antennas.radio``, ``buses.main:drop depth``.
    """

    key: str
    name: str
    run_class: Literal["data", "antenna"]
    od_mm: float | None
    wireways: tuple[str, ...]
    plug_mm: float | None = None

    @property
    def owner(self) -> str:
        """Dotted key of the entry that declares it."""
        return self.key.partition(":")[0]

    @property
    def area_mm2(self) -> float:
        """Area of the cable; 0 where its diameter is not known, which has its own finding."""
        return 0.0 if self.od_mm is None else circle_mm2(self.od_mm)


def laid_cables(project: Project, networks: Networks) -> tuple[Laid, ...]:
    """Return every cable of the buses, antenna leads and serial links that lies in a wireway."""
    return (*_buses(project, networks), *_antennas(project, networks), *_serial(project, networks))


def _buses(project: Project, networks: Networks) -> Iterator[Laid]:
    for bus in networks.buses:
        cables = [(f"backbone {piece.key}", piece.cable, piece.wireways) for piece in bus.assembly.pieces]
        cables += [(f"drop {drop.node}", drop.cable, drop.wireways) for drop in bus.assembly.drops]
        for words, cable, wireways in cables:
            if cable is not None and wireways:
                yield Laid(
                    key=f"buses.{bus.id}:{words}",
                    name=f"{bus.id} {words}",
                    run_class="data",
                    od_mm=network.outer_diameter_mm(cable),
                    wireways=wireways,
                    plug_mm=project.buses[bus.id].plug,
                )


def _serial(project: Project, networks: Networks) -> Iterator[Laid]:
    for link in networks.serial:
        kind = project.cables.get(project.serial[link.id].cable or "")
        for listener in link.listeners:
            if listener.wireways:
                yield Laid(
                    key=f"serial.{link.id}:{listener.device}",
                    name=f"{link.name} to {listener.name}",
                    run_class="data",
                    od_mm=max(kind.sizes.values(), default=None) if kind is not None else None,
                    wireways=listener.wireways,
                )


def _antennas(project: Project, networks: Networks) -> Iterator[Laid]:
    for lead in networks.antennas:
        if not lead.wireways:
            continue
        declared = project.antennas[lead.id].outer_diameter
        known = {kind.name: kind.outer_diameter_mm for kind in coax.kinds()}
        yield Laid(
            key=f"antennas.{lead.id}",
            name=lead.name,
            run_class="antenna",
            od_mm=declared or known.get(lead.cable),
            wireways=lead.wireways,
            plug_mm=project.antennas[lead.id].plug,
        )
