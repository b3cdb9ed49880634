"""What feeds a bus against what the wiring really is: its device, its circuit's load, the volts at its head."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.findings import Finding
from layout.network.bus_checks.bus_power import EPSILON, check_power, total_a
from layout.network.bus_checks.bus_shape import key_of, named, subject_of
from layout.network.bus_checks.bus_voltages import device_voltages
from layout.network.declared_bus import feed_device_a

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.network.bus import BusPlan
    from layout.network.bus_parts import Assembly, BusFeed
    from layout.project.model.network import InstrumentNetwork
    from layout.project.model.project import Project
    from layout.wiring.result import Wiring

SHOWN_V = 0.005
"""Voltages that differ by less are printed alike."""


def feed_agrees(project: Project, bus: InstrumentNetwork, assembly: Assembly) -> Iterator[Finding]:
    """Yield a fuse that is another one in the wiring, and a circuit that counts on less than the bus draws."""
    real = feed_device_a(project, bus)
    if bus.fuse is not None and real is not None and not bus.fuse_each_side and abs(bus.fuse - real) > EPSILON:
        yield Finding(
            rule="bus 51",
            message=f"{named(assembly)} is said to have a fuse of {bus.fuse:g} A, but the device of circuit "
            f"'{bus.circuit}' is {real:g} A; that one counts",
            at=key_of(assembly, "fuse"),
            remedy=f"delete fuse:, or give the circuit's way or protection a rating of {bus.fuse:g} A; fuses at both "
            "sides of the power tap are fuse_each_side: true",
            measured=bus.fuse,
            limit=real,
            unit="A",
            subjects=(*subject_of(assembly), f"circuits.{bus.circuit}"),
        )
    circuit = project.circuits.get(bus.circuit) if bus.circuit else None
    said = circuit.load.current if circuit is not None and circuit.load is not None else None
    drawn = total_a(assembly)
    if said is not None and drawn > said + EPSILON:
        yield Finding(
            rule="bus 52",
            message=f"circuit '{bus.circuit}' counts on {said:g} A, but the devices of {named(assembly)} draw "
            f"{drawn:.2f} A",
            at=key_of(assembly, "circuit"),
            remedy=f"write current: {drawn:.2f} A, or more, in the circuit's load",
            measured=said,
            limit=drawn,
            unit="A",
            subjects=(*subject_of(assembly), f"circuits.{bus.circuit}"),
        )


def lost_before(wiring: Wiring, circuit: str | None) -> float | None:
    """Return what is lost between the source and the head of a circuit, both conductors, V; None where not known."""
    runs = [run for run in wiring.runs if run.owner_kind == "circuit" and run.owner == circuit]
    if any(run.cumulative_v is None or run.drop_v is None for run in runs):
        return None
    own = sum(run.drop_v or 0.0 for run in runs)
    return max((max((run.cumulative_v or 0.0) - own, 0.0) for run in runs), default=None)


def laid_feed(wiring: Wiring, bus: InstrumentNetwork, plan: BusPlan) -> BusPlan:
    """Return a bus with its feed as the circuit's own cable is laid: its number and length.

    A feed that the bus gives a length or a beginning of its own is another cable, and stays.
    """
    run = next((run for run in wiring.runs if run.key == f"circuits.{bus.circuit}"), None)
    if run is None or run.length.total_mm is None or bus.feed_length is not None or bus.feed_at is not None:
        return plan
    return _refed(plan, replace(plan.assembly.feed, number=run.number, length_mm=run.length.total_mm))


def _refed(plan: BusPlan, feed: BusFeed) -> BusPlan:
    """Return a bus judged with another feed."""
    before, assembly = check_power(plan.assembly), replace(plan.assembly, feed=feed)
    found = (*(finding for finding in plan.findings if finding not in before), *check_power(assembly))
    return replace(plan, assembly=assembly, voltages=device_voltages(assembly), findings=found)


def with_head_volts(bus: InstrumentNetwork, plan: BusPlan, lost_v: float | None) -> BusPlan:
    """Return a bus judged with the lowest voltage that reaches the head of its feed.

    What the file says of that voltage counts where it is lower; where it is higher than can be, that is found.
    """
    feed = plan.assembly.feed
    if lost_v is None or feed.source_lowest_v is None:
        return plan
    real = feed.source_lowest_v - lost_v
    lowest = real if bus.lowest_voltage is None else min(bus.lowest_voltage, real)
    judged = _refed(plan, replace(feed, lowest_v=lowest))
    if bus.lowest_voltage is not None and bus.lowest_voltage > real + SHOWN_V:
        assembly = judged.assembly
        told = Finding(
            rule="bus 53",
            message=f"{named(assembly)} is said to be fed with at least {bus.lowest_voltage:g} V, but its source "
            f"gives {feed.source_lowest_v:g} V and {lost_v:.2f} V are lost before it; {real:.2f} V count",
            at=key_of(assembly, "lowest_voltage"),
            remedy=f"delete lowest_voltage:, or write {real:.2f} V or less",
            measured=bus.lowest_voltage,
            limit=real,
            unit="V",
            subjects=subject_of(assembly),
        )
        return replace(judged, findings=(*judged.findings, told))
    return judged
