"""Zones, gas, compasses, metal hulls, sockets and colours: what the boat round the wires asks."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from layout.standards.colours import fault_of
from layout.wiring.checks.common import about
from layout.wiring.runs import ROLES

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from layout.findings import Finding
    from layout.wiring.case import Case
    from layout.wiring.result import Run, WireEnd

NEAR_COMPASS_MM = 300.0
"""Least distance of a compass from what disturbs it, where its maker says nothing (IEC 60945, ISO 694, from memory)."""
NO_FITTING = "none made for this size"


def aboard_findings(case: Case, runs: Iterable[Run]) -> Iterator[Finding]:
    """Yield what zones, hull and neighbours ask of devices and runs."""
    yield from _zones(case)
    yield from _metal_hull(case)
    yield from _sockets(case)
    everything = list(runs)
    yield from _beside_compasses(case, everything)
    for run in everything:
        yield from _colours(case, run)
        yield from _fittings(case, run)
        yield from _compass(case, run)


def _zones(case: Case) -> Iterator[Finding]:
    used = {case.ends.owner(end) for s in case.segments.values() for lead in s.leads for end in (lead.start, lead.end)}
    for key, device in case.project.devices.items():
        place = case.project.places.get(device.place or "")
        if place is None or key not in used or device.existing == "remove":
            continue
        path, name = f"devices.{key}", device.name or key
        if place.zone == "exterior" and device.ip is None:
            text = f"{name}: it stands outside ({place.name or device.place}), and its protection code is not known"
            yield about(case, "WIR029", path, text, remedy="give ip: from its paper, at least IP55 where spray reaches")
        gas = place.gas in ("petrol", "gas", "battery gas") or place.zone == "ignition-protected"
        if gas and device.ignition_protected is not True:
            where = f"{place.name or device.place} ({place.gas})"
            text = f"{name}: it stands in {where} and is not said to be ignition-protected"
            yield about(case, "WIR030", path, text, remedy="move it, or take an ignition-protected one")


def _metal_hull(case: Case) -> Iterator[Finding]:
    if case.project.boat.hull != "metal":
        return
    for key, switch in case.project.switches.items():
        dc = any(
            s.owner_kind == "feeder" and not s.ac and key in (case.ends.owner(s.start), case.ends.owner(s.end))
            for s in case.segments.values()
        )
        if dc and switch.kind == "isolator" and switch.poles < 2:
            text = f"{switch.name or key}: it opens one pole of a DC system on a metal hull"
            yield about(
                case, "WIR047", f"switches.{key}", text, remedy="take a two-pole switch, and an earth-leak check"
            )


def _sockets(case: Case) -> Iterator[Finding]:
    volts: dict[str, dict[float, str]] = {}
    for key, circuit in case.project.circuits.items():
        owner = case.ends.owner(circuit.to)
        device = case.project.devices.get(owner)
        if device is None or device.type is None or circuit.purpose != "socket":
            continue
        segment = next((s for s in case.segments.values() if key in s.circuits), None)
        if segment is None:
            continue
        at = volts.setdefault(device.type, {})
        nominal = segment.nominal_v or 0.0
        other = next((name for other, name in at.items() if other != nominal), None)
        if other is not None:
            text = f"{device.name or owner} and {other} take the same plug ({device.type}) at different voltages"
            yield about(
                case,
                "WIR046",
                f"devices.{owner}",
                text,
                related=(f"devices.{other}",),
                remedy="take another kind of socket for one of them",
            )
        at.setdefault(nominal, owner)


def _ac_aboard(case: Case) -> bool:
    project = case.project
    return any(s.is_ac for s in project.supplies.values()) or any(p.ac for p in project.distribution.values())


def _colours(case: Case, run: Run) -> Iterator[Finding]:
    owner = case.segments[run.key].owner
    for wire in run.wires:
        role = ROLES.get(wire.pole)
        if role is None:
            continue
        wrong = fault_of(wire.colour, role, ac_aboard=_ac_aboard(case))
        if wrong:
            yield about(case, "WIR035", owner, f"{run.name}, {wire.number}: {wrong}", remedy="choose another colour")
    kind = case.plans[run.key].kind
    kept = run.existing == "keep" and kind is not None and "black" in kind.colours
    if kept and _ac_aboard(case) and any(wire.pole == "-" for wire in run.wires):
        text = f"{run.name}: its black negative stays, while black is a line colour on AC"
        yield about(case, "WIR036", owner, text, remedy="sleeve its ends yellow")


def _fittings(case: Case, run: Run) -> Iterator[Finding]:
    for wire in run.wires:
        for end in (wire.start, wire.end):
            if end.fitting == NO_FITTING:
                text = f"{run.name}, {wire.number}: no end fitting is made for {run.size} on {end.name} {end.terminal}"
                yield about(
                    case,
                    "WIR041",
                    case.segments[run.key].owner,
                    text,
                    remedy="end it on a stud next to the device and go on thinner behind its own fuse",
                )


def _compass(case: Case, run: Run) -> Iterator[Finding]:
    """Ask for a twisted pair where a run ends at a magnetic sensor."""
    if not _loose_pair(case, run):
        return
    for end in (run.wires[0].start, run.wires[0].end):
        device = case.project.devices.get(end.owner)
        if device is not None and "magnet" in device.classes:
            text = f"{run.name}: the pair to {end.name} is not twisted"
            yield about(case, "WIR037", case.segments[run.key].owner, text, remedy="twist it, or take a twisted cable")


def _beside_compasses(case: Case, runs: list[Run]) -> Iterator[Finding]:
    """Name the pairs that end within 300 mm of a compass and are not twisted, all in one finding for each compass."""
    placed = case.ends.arrangement.placed if case.ends.arrangement else {}
    for panel_id, panel in case.project.panels.items():
        for key, compass in panel.compasses.items():
            near = {
                device
                for device, spot in placed.items()
                if spot.panel == panel_id and math.dist((spot.x, spot.y, 0.0), compass.at) < NEAR_COMPASS_MM
            }
            mine = [run for run in runs if _loose_pair(case, run) and {w.owner for w in _ends(run)} & near]
            if mine:
                names = ", ".join(run.number for run in mine)
                text = f"{compass.name or key}: {names} end within {NEAR_COMPASS_MM:g} mm of it and are not twisted"
                yield about(
                    case,
                    "WIR037",
                    f"panels.{panel_id}.compasses.{key}",
                    text,
                    limit=NEAR_COMPASS_MM,
                    unit="mm",
                    subjects=tuple(case.owner_of(run.key) for run in mine),
                    remedy="twist each pair near the compass",
                )


def _ends(run: Run) -> tuple[WireEnd, ...]:
    return tuple(end for wire in run.wires for end in (wire.start, wire.end))


def _loose_pair(case: Case, run: Run) -> bool:
    kind = case.plans[run.key].kind
    return run.run_class == "dc" and len(run.wires) > 1 and not (kind is not None and kind.twisted)
