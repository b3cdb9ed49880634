"""From the declared bus to plain values: its devices, its feed, and where everything is reached from."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from layout.network.bus_parts import BusDevice, BusFeed
from layout.network.cable_paths import reach_of
from layout.standards import network
from layout.wiring.circuits.supplied_from import sources_of

if TYPE_CHECKING:
    from layout.network.cable_paths import CablePath, CableReach, Ways
    from layout.project.model.circuits import Circuit
    from layout.project.model.network import BusNode, InstrumentNetwork
    from layout.project.model.project import Project
    from layout.wiring.circuits.ends import Ends


def devices_of(project: Project, bus: InstrumentNetwork) -> dict[str, BusDevice]:
    """Return the devices of a bus by node id."""
    return {id_: _device(project, id_, node) for id_, node in bus.nodes.items()}


def _device(project: Project, id_: str, node: BusNode) -> BusDevice:
    device_id = node.device or id_
    device = project.devices.get(device_id)
    lens = node.load_units
    if lens is None and node.current is not None:
        lens = network.lens_of(node.current)
    return BusDevice(
        id=id_,
        name=called(id_, node.name, device.name if device is not None else ""),
        device=device_id,
        load_units=lens,
        current_a=node.current,
        own=node.power == "own",
        circuit=node.circuit,
        isolated=node.isolated,
        family=node.family,
    )


def called(id_: str, name: str, device_name: str) -> str:
    """Return what a message calls an entry: its own name where it is not just its id, else the device's."""
    return name if name not in ("", id_) else device_name or id_


def slackened_mm(project: Project, length_mm: float) -> int:
    """Return a length along wireways with the project's share of slack, whole mm, rounded up."""
    return math.ceil(length_mm * (1 + project.wiring.slack_share) - 1e-6)


def drop_need_mm(project: Project, way: CablePath, reach: CableReach) -> int | None:
    """Return the length a drop needs from a place to a device, mm; None where the way on its panel is not known."""
    return None if reach.tail_mm is None else slackened_mm(project, way.length_mm + reach.tail_mm)


def feed_of(ends: Ends, bus: InstrumentNetwork) -> BusFeed:
    """Return the feed of a bus without its length: voltages at its head, protective device, and where it begins.

    Voltages that the bus does not state are those of the supplies behind its circuit: the lowest of the lowest and
    the highest of the highest. A supply that does not state them leaves them unknown.
    """
    project = ends.project
    circuit = project.circuits.get(bus.circuit) if bus.circuit else None
    owner = circuit.from_.owner if circuit is not None else bus.supply
    supplies = [source.supply for source in sources_of(project, owner)] if owner is not None else []
    nominal = max((supply.voltage for supply in supplies), default=None)
    if nominal is None and owner is not None and owner in project.breaker_panels:
        nominal = project.breaker_panels[owner].voltage
    if nominal is None:
        nominal = bus.voltage
    lows = [supply.lowest_voltage for supply in supplies]
    highs = [supply.highest_voltage for supply in supplies]
    fuse = bus.fuse
    if not bus.fuse_each_side and (real := feed_device_a(project, bus)) is not None:
        fuse = real
    what = f"circuit {bus.circuit}" if bus.circuit else f"supply {bus.supply}" if bus.supply else ""
    return BusFeed(
        owner=what,
        start=bus.feed_at or (reach_of(ends, owner).location if owner is not None else None),
        nominal_v=nominal,
        source_lowest_v=_all(lows, lowest=True),
        lowest_v=bus.lowest_voltage if bus.lowest_voltage is not None else _all(lows, lowest=True),
        highest_v=bus.highest_voltage if bus.highest_voltage is not None else _all(highs, lowest=False),
        cable=bus.feed_cable.value,
        fuse_a=fuse,
        fuse_each_side=bus.fuse_each_side,
    )


def _all(values: list[float | None], *, lowest: bool) -> float | None:
    """Return the extreme of the values; None if there are none or one of them is not known."""
    known = [value for value in values if value is not None]
    if not known or len(known) < len(values):
        return None
    return min(known) if lowest else max(known)


def feed_device_a(project: Project, bus: InstrumentNetwork) -> float | None:
    """Return the rating of the protective device that really stands before the circuit that feeds a bus, A."""
    circuit = project.circuits.get(bus.circuit) if bus.circuit else None
    if circuit is None:
        return None
    return circuit.protection.rating if circuit.protection is not None else _way_a(project, circuit)


def _way_a(project: Project, circuit: Circuit) -> float | None:
    end = circuit.from_
    panel = project.breaker_panels.get(end.owner)
    if panel is None:
        return None
    if end.terminal in panel.ways:
        return panel.ways[end.terminal].rating
    return next((way.rating for way in panel.ways.values() if way.circuit == circuit.id), None)


def feed_need_mm(ends: Ends, bus: InstrumentNetwork, feed: BusFeed, ways: Ways, place: str | None) -> int | None:
    """Return the length of feed cable to a power tap at a place, mm; None where it is not known."""
    if bus.feed_length is not None:
        return math.ceil(bus.feed_length)
    if feed.start is None or place is None:
        return None
    way = ways.between(feed.start, place)
    if way is None:
        return None
    circuit = ends.project.circuits.get(bus.circuit) if bus.circuit else None
    owner = circuit.from_.owner if circuit is not None else bus.supply
    tail = 0.0
    if bus.feed_at is None and owner is not None:
        beyond = reach_of(ends, owner).tail_mm
        if beyond is None:
            return None
        tail = beyond
    return slackened_mm(ends.project, way.length_mm + tail)
