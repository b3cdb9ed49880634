"""Whether a bus is fed safely: current a side, voltage at each device, protective device, earth point, devices."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.findings import Finding
from layout.network.bus_checks.bus_shape import key_of, named, subject_of
from layout.network.bus_checks.bus_voltages import device_voltages, sides
from layout.standards import network

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.network.bus_parts import Assembly, BusDevice

EPSILON = 1e-9
"""Room for the rounding of floating-point sums, A and V."""


def check_power(assembly: Assembly) -> tuple[Finding, ...]:
    """Check currents, voltages, feed, protective device and shield (bus 10-019, 025, 026, 036)."""
    return (
        *_sides(assembly),
        *_feed(assembly),
        *_voltages(assembly),
        *_fuse(assembly),
        *_shield(assembly),
    )


def check_devices(assembly: Assembly) -> tuple[Finding, ...]:
    """Check what each device takes, what feeds it and what its plug is (bus 20-024, 032)."""
    found = [finding for device in assembly.devices.values() for finding in _device(assembly, device)]
    return (*found, *_families(assembly), *_spares(assembly))


def total_a(assembly: Assembly) -> float:
    """Return the current of all devices with a known LEN, A."""
    return sum(device.load_a or 0.0 for device in assembly.devices.values())


def _sides(assembly: Assembly) -> Iterator[Finding]:
    for piece in assembly.pieces:
        if piece.cable is None:
            continue
        connector = piece.connector or assembly.connector
        try:
            network.most_side_current_a(piece.cable, connector)
        except KeyError:
            yield Finding(
                rule="bus 25",
                message=f"piece {piece.key} of {named(assembly)} is {piece.cable} cable with {connector} connectors,"
                " which there is no current limit for",
                at=key_of(assembly),
                remedy="write connector: micro for light cable, mini for heavy cable",
                subjects=subject_of(assembly),
            )
    for side in sides(assembly):
        if side.limit_a is not None and side.current_a > side.limit_a + EPSILON:
            yield Finding(
                rule="bus 10",
                message=f"{side.current_a:.2f} A flow out of the power tap of {named(assembly)} into {side.piece};"
                f" {side.weakest} limits that side to {side.limit_a:g} A",
                at=key_of(assembly),
                remedy="move the power tap so that both sides share the load, take mid cable,"
                " or give large devices their own supply",
                measured=side.current_a,
                limit=side.limit_a,
                unit="A",
                subjects=subject_of(assembly),
            )


def _feed(assembly: Assembly) -> Iterator[Finding]:
    feed = assembly.feed
    low, high = network.supply_range_v()
    if feed.length_mm is None and assembly.taps:
        yield Finding(
            rule="bus 36",
            message=f"the feed of {named(assembly)} has no known length",
            at=key_of(assembly),
            remedy="write feed_length:, or feed_at: and the place of the power tap",
            subjects=subject_of(assembly),
        )
    if feed.nominal_v is not None and feed.nominal_v > high:
        yield Finding(
            rule="bus 13",
            message=f"{named(assembly)} is fed by {feed.owner or 'a supply'} at {feed.nominal_v:g} V;"
            f" the bus bears {low:g} to {high:g} V",
            at=key_of(assembly),
            remedy="feed it through a converter to 12 V",
            measured=feed.nominal_v,
            limit=high,
            unit="V",
            subjects=subject_of(assembly),
        )
    elif feed.highest_v is not None and feed.highest_v > high:
        yield Finding(
            rule="bus 12",
            message=f"{named(assembly)} is fed with up to {feed.highest_v:g} V; the limit is {high:g} V",
            at=key_of(assembly),
            remedy="feed it through a converter that holds 12 to 14 V",
            measured=feed.highest_v,
            limit=high,
            unit="V",
            subjects=subject_of(assembly),
        )
    missing = [
        key for key, value in (("lowest_voltage", feed.lowest_v), ("highest_voltage", feed.highest_v)) if value is None
    ]
    if missing:
        yield Finding(
            rule="bus 26",
            message=f"the feed of {named(assembly)} has no {' and no '.join(missing)}; the bus must have"
            f" {low:.1f} to {high:.1f} V at all charge states",
            at=key_of(assembly),
            remedy=f"write {' and '.join(missing)}: of the feed over all charge states",
            subjects=subject_of(assembly),
        )


def _voltages(assembly: Assembly) -> Iterator[Finding]:
    low, _ = network.supply_range_v()
    for row in device_voltages(assembly):
        device = assembly.devices[row.node]
        subjects = (f"devices.{device.device}", *subject_of(assembly))
        if row.voltage_v is not None and row.voltage_v < low - EPSILON:
            yield Finding(
                rule="bus 11",
                message=f"{device.name} on {named(assembly)} gets {row.voltage_v:.2f} V at the lowest feed of"
                f" {assembly.feed.lowest_v:g} V; the limit is {low:g} V",
                at=key_of(assembly, "nodes", row.node),
                remedy="move the power tap nearer, shorten the course, or take mid cable",
                measured=row.voltage_v,
                limit=low,
                unit="V",
                subjects=subjects,
            )
        if row.fall_v > assembly.allowed_drop_v + EPSILON:
            yield Finding(
                rule="bus 14",
                message=f"the voltage falls by {row.fall_v:.2f} V from the feed to {device.name} on"
                f" {named(assembly)}; the limit is {assembly.allowed_drop_v:g} V",
                at=key_of(assembly, "nodes", row.node),
                remedy="move the power tap nearer, shorten the course, or take mid cable",
                measured=row.fall_v,
                limit=assembly.allowed_drop_v,
                unit="V",
                subjects=subjects,
            )


def weakest_limit_a(assembly: Assembly) -> float:
    """Return the largest protective device that the bus bears, A: that of its weakest section, feed included."""
    limits = [side.limit_a for side in sides(assembly) if side.limit_a is not None]
    if network.LIGHT in (assembly.cable, assembly.feed.cable):
        limits.append(network.most_fuse_light_a())
    return min(limits, default=network.most_fuse_light_a())


def _fuse(assembly: Assembly) -> Iterator[Finding]:
    feed = assembly.feed
    if feed.fuse_a is None:
        yield Finding(
            rule="bus 15",
            message=f"{named(assembly)} has no protective device in its feed",
            at=key_of(assembly),
            remedy=f"write fuse: {weakest_limit_a(assembly):g} A",
            limit=weakest_limit_a(assembly),
            unit="A",
            subjects=subject_of(assembly),
        )
        return
    most = weakest_limit_a(assembly)
    if feed.fuse_a > most + EPSILON:
        yield Finding(
            rule="bus 16",
            message=f"{named(assembly)} is protected by {feed.fuse_a:g} A; its weakest section bears {most:g} A",
            at=key_of(assembly, "fuse"),
            remedy=f"write fuse: {most:g} A",
            measured=feed.fuse_a,
            limit=most,
            unit="A",
            subjects=subject_of(assembly),
        )
    drawn = total_a(assembly)
    what = "the devices together draw"
    if feed.fuse_each_side:
        drawn, what = max((side.current_a for side in sides(assembly)), default=0.0), "one side draws"
    if drawn > feed.fuse_a + EPSILON:
        yield Finding(
            rule="bus 17",
            message=f"{named(assembly)} is protected by {feed.fuse_a:g} A, but {what} {drawn:.2f} A",
            at=key_of(assembly, "fuse"),
            remedy="give each side of the power tap its own fuse (fuse_each_side: true)"
            if not feed.fuse_each_side
            else "move the power tap so that both sides share the load",
            measured=drawn,
            limit=feed.fuse_a,
            unit="A",
            subjects=subject_of(assembly),
        )


def _shield(assembly: Assembly) -> Iterator[Finding]:
    earths = assembly.shield_earths
    if earths is None:
        yield Finding(
            rule="bus 19",
            message=f"{named(assembly)} does not say where its shield is connected to supply negative",
            at=key_of(assembly),
            remedy="write shield_earths: with the one place, at the power tap",
            subjects=subject_of(assembly),
        )
    elif len(earths) != 1:
        where = f" ({', '.join(earths)})" if earths else ""
        yield Finding(
            rule="bus 18",
            message=f"the shield of {named(assembly)} is earthed at {len(earths)} places{where}; it takes 1",
            at=key_of(assembly, "shield_earths"),
            remedy="keep the one at the power tap",
            measured=len(earths),
            limit=1,
            subjects=subject_of(assembly),
        )


def _device(assembly: Assembly, device: BusDevice) -> Iterator[Finding]:
    at = key_of(assembly, "nodes", device.id)
    subjects = (f"devices.{device.device}", *subject_of(assembly))
    most = network.most_device_current_a()
    drawn = max(device.current_a or 0.0, device.load_a or 0.0)
    if device.load_units is None:
        yield Finding(
            rule="bus 20",
            message=f"{device.name} on {named(assembly)} has no LEN and no current",
            at=at,
            remedy="write load_units: or current: from the device's paper; load_units: 0 for one that takes nothing",
            subjects=subjects,
        )
    elif drawn > most + EPSILON:
        yield Finding(
            rule="bus 21",
            message=f"{device.name} takes {drawn:.2f} A from {named(assembly)}; the limit for one device is {most:g} A",
            at=at,
            remedy="feed it from a circuit of its own and write power: own with what its bus side still takes",
            measured=drawn,
            limit=most,
            unit="A",
            subjects=subjects,
        )
    if device.own and device.circuit is None:
        yield Finding(
            rule="bus 22",
            message=f"{device.name} on {named(assembly)} has its own power, but no circuit is named for it",
            at=at,
            remedy="write circuit: with the circuit that feeds it",
            subjects=subjects,
        )
    if device.own and device.isolated is not True:
        state = "is not isolated" if device.isolated is False else "is not said to be isolated"
        yield Finding(
            rule="bus 23",
            message=f"{device.name} on {named(assembly)} has its own power and its bus side {state}",
            at=at,
            remedy="write isolated: true if its paper says so; otherwise put an isolator between it and the bus",
            subjects=subjects,
        )


def _families(assembly: Assembly) -> Iterator[Finding]:
    declared = [("the bus", assembly.family, key_of(assembly))]
    declared += [(f"piece {p.key}", p.family, key_of(assembly, "built")) for p in assembly.pieces]
    declared += [(p.title, p.family, key_of(assembly, "built")) for p in assembly.parts]
    declared += [(d.name, d.family, key_of(assembly, "nodes", d.id)) for d in assembly.devices.values()]
    known = [(what, family, at) for what, family, at in declared if family is not None]
    for what, family, at in known[1:]:
        if family != known[0][1]:
            yield Finding(
                rule="bus 24",
                message=f"{what} of {named(assembly)} has plugs of family {family}, {known[0][0]} has {known[0][1]}",
                at=at,
                remedy="join the two families at one adapter, or take parts of one family",
                subjects=subject_of(assembly),
            )


def _spares(assembly: Assembly) -> Iterator[Finding]:
    free = assembly.free_ports()
    if free < assembly.spare_tees:
        yield Finding(
            rule="bus 32",
            message=f"{named(assembly)} has {free} free tee ports; spare_tees asks for {assembly.spare_tees}",
            at=key_of(assembly),
            remedy="add tees where the voltage allows it",
            measured=free,
            limit=assembly.spare_tees,
            subjects=subject_of(assembly),
        )
