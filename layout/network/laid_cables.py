"""Cables that the networks plan, for the schedule and the wireways: instrument buses and antenna leads."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from layout.project.model.aboard import Existing
from layout.standards import coax, network
from layout.wiring.circuits.network_segments import NetworkCable

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.network.bus import BusPlan
    from layout.network.bus_parts import PluggedPart
    from layout.network.networks import Networks
    from layout.project.model.network import InstrumentNetwork
    from layout.project.model.project import Project

PLUGS = {"micro": "plug M12, 5 pins", "mini": "plug 7/8 inch, 5 pins"}
"""What is on the ends of a bus cable, by the size of its connectors (IEC 61076-2-101; 7/8 inch from memory)."""


def laid_cables(project: Project, networks: Networks) -> tuple[NetworkCable, ...]:
    """Return every cable of the buses and every antenna lead; serial links are declared pair by pair."""
    buses = (cable for plan in networks.buses for cable in _bus(project, project.networks[plan.id], plan))
    return (*buses, *_antennas(project, networks))


def piece_keys(plan: BusPlan) -> dict[str, str]:
    """Return the key of each backbone cable by its piece.

    It is named by the places at its ends, and counted where several have the same: so it keeps its number while the
    bus grows elsewhere.
    """
    parts, seen, found = plan.assembly.part_by_key, Counter[str](), {}
    for piece in plan.assembly.pieces:
        if piece.cable is not None:
            places = " to ".join(sorted(_place(plan, parts[key]) for key in (piece.first, piece.second)))
            seen[places] += 1
            again = f" {seen[places]}" if seen[places] > 1 else ""
            found[piece.key] = f"networks.{plan.id}:backbone {places}{again}"
    return found


def drop_key(bus: str, node: str) -> str:
    """Return the key of the drop cable of one node of a bus."""
    return f"networks.{bus}:drop {node}"


def antenna_key(lead: str) -> str:
    """Return the key of an antenna lead's cable."""
    return f"antennas.{lead}"


def _place(plan: BusPlan, part: PluggedPart) -> str:
    return part.at or plan.id


def _bus(project: Project, bus: InstrumentNetwork, plan: BusPlan) -> Iterator[NetworkCable]:
    parts, keys = plan.assembly.part_by_key, piece_keys(plan)
    for piece in plan.assembly.pieces:
        if piece.cable is None:
            continue
        start, end = (f"{_place(plan, parts[key])}/{key}" for key in (piece.first, piece.second))
        yield NetworkCable(
            key=keys[piece.key],
            name=f"{plan.name}, piece {piece.key}",
            run_class="data",
            start=start,
            end=end,
            cable="instrument bus cable",
            made=piece.cable,
            plug_words=PLUGS[piece.connector or bus.connector.value],
            od_mm=network.outer_diameter_mm(piece.cable),
            wireways=piece.wireways,
            length_mm=piece.length_mm or None,
            plug_mm=bus.plug,
            bend_radius_mm=network.bus_bend_radius_mm(piece.cable),
            aboard=Existing.KEEP if piece.aboard else None,
        )
    for drop in plan.assembly.drops:
        device = bus.nodes[drop.node].device_id if drop.node in bus.nodes else drop.node
        tee = parts[drop.part]
        yield NetworkCable(
            key=drop_key(plan.id, drop.node),
            name=f"{plan.name}, drop of {_name(project, device)}",
            run_class="data",
            start=f"{_place(plan, tee)}/{drop.part}",
            end=device,
            cable="instrument bus cable",
            made=drop.cable,
            plug_words=PLUGS[tee.connector or bus.connector.value],
            od_mm=network.outer_diameter_mm(drop.cable),
            wireways=drop.wireways,
            length_mm=drop.length_mm,
            plug_mm=bus.plug,
            bend_radius_mm=network.bus_bend_radius_mm(drop.cable),
            aboard=bus.nodes[drop.node].aboard if drop.node in bus.nodes else None,
        )


def _name(project: Project, id_: str) -> str:
    device = project.devices.get(id_)
    return (device.name if device else "") or id_


def _antennas(project: Project, networks: Networks) -> Iterator[NetworkCable]:
    known = {kind.name: kind.outer_diameter_mm for kind in coax.kinds()}
    for plan in networks.antennas:
        lead = project.antennas[plan.id]
        if lead.aboard == "remove":
            continue
        yield NetworkCable(
            key=antenna_key(plan.id),
            name=plan.name,
            run_class="antenna",
            start=plan.radio,
            end=plan.antenna,
            cable="coaxial cable",
            made=plan.cable,
            plug_words=f"coaxial plug for {plan.cable}",
            od_mm=lead.outer_diameter or known.get(plan.cable),
            wireways=plan.wireways,
            length_mm=plan.length_mm,
            plug_mm=lead.plug,
            aboard=lead.aboard,
        )
