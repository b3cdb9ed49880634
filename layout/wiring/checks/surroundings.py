"""Zones, gas, compasses, metal hulls, sockets and colours: what the boat round the wires asks."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING

from layout.findings import Severity
from layout.standards.colours import fault_of
from layout.wiring.circuits.segments import nominal_of
from layout.wiring.schedule.wire_colours import ac_aboard, cable_colours, role_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from layout.findings import Finding
    from layout.project.model.project import Project
    from layout.wiring.circuits.supply_graph import Link
    from layout.wiring.declared import Declared
    from layout.wiring.loaded import Loaded
    from layout.wiring.result import Run, WireEnd
    from layout.wiring.settled import Settled

NEAR_COMPASS_MM = 300.0
"""Least distance of a compass from what disturbs it, where its maker says nothing (IEC 60945, ISO 694, from memory)."""
WET_DIGIT = 5
"""Second digit of the protection code asked for outside, IP55 where it is washed (practice, from memory)."""


def aboard_findings(declared: Declared, loaded: Loaded, settled: Settled, runs: Iterable[Run]) -> Iterator[Finding]:
    """Yield what zones, hull and neighbours ask of devices and runs."""
    yield from _zones(declared)
    yield from _metal_hull(declared, loaded)
    yield from _taken_away(declared)
    yield from _sockets(declared)
    everything = list(runs)
    yield from _beside_compasses(declared, settled, everything)
    for run in everything:
        yield from _colours(declared, settled, run)
        yield from _compass(declared, settled, run)


def _zones(declared: Declared) -> Iterator[Finding]:
    used = {
        declared.ends.owner(end)
        for s in declared.segments.values()
        for lead in s.leads
        for end in (lead.start, lead.end)
    }
    for key, device in declared.project.devices.items():
        place = declared.project.locations.get(device.location or "")
        if place is None or key not in used or device.aboard == "remove":
            continue
        path, name = f"devices.{key}", device.name or key
        if place.zone == "exterior" and device.ip is None:
            text = f"{name}: it stands outside ({place.name or device.location}), and its protection code is not known"
            yield declared.project.finding(
                "wire 29", path, text, remedy="give ip: from its paper, IP55 or more where spray reaches"
            )
        elif place.zone == "exterior" and device.ip is not None and not _keeps_spray_out(device.ip):
            text = (
                f"{name}: it stands outside ({place.name or device.location}), and {device.ip} does not keep spray out"
            )
            yield declared.project.finding(
                "wire 29", path, text, severity=Severity.STOP, remedy="take at least IP55, or move it inside"
            )


def _keeps_spray_out(ip: str) -> bool:
    """Tell whether a protection code (IEC 60529) has a second digit of at least 5; one that can't be read does not."""
    found = re.fullmatch(r"IP[0-6X]([0-9])K?[A-Z]{0,2}", ip.replace(" ", "").upper())
    return found is not None and int(found[1]) >= WET_DIGIT


def _metal_hull(declared: Declared, loaded: Loaded) -> Iterator[Finding]:
    if declared.project.boat.hull != "metal":
        return
    for key, switch in declared.project.battery_switches.items():
        dc = any(
            s.owner_kind == "feeder" and not s.ac and key in (declared.ends.owner(s.start), declared.ends.owner(s.end))
            for s in declared.segments.values()
        )
        if dc and switch.kind == "isolator" and switch.poles < 2:
            text = f"{switch.name or key}: it opens one pole of a DC system on a metal hull"
            yield declared.project.finding(
                "wire 47",
                f"battery_switches.{key}",
                text,
                remedy="take a two-pole switch, and an earth-leak check",
            )
    yield from _unswitched_negatives(declared, loaded)


def _two_pole(project: Project, path: Iterable[Link]) -> bool:
    keys = [link.key.removeprefix("battery_switches.") for link in path if link.kind == "contact"]
    return any(project.battery_switches[key].poles > 1 for key in keys)


def _unswitched_negatives(declared: Declared, loaded: Loaded) -> Iterator[Finding]:
    """Name panels whose negative goes past the two-pole switch, which then isolates nothing."""
    said: set[str] = set()
    for one in declared.supplying:
        if declared.project.supplies[one.source].kind != "battery":
            continue
        for key, panel in declared.project.breaker_panels.items():
            live, back = one.live.path(f"{key}/in"), one.back.path(f"{key}/-")
            if key in said or live is None or back is None or not _two_pole(declared.project, live):
                continue
            if not any(link.kind == "contact" for link in back):
                said.add(key)
                text = (
                    f"{panel.name or key}: its negative reaches {declared.ends.name(one.source)} past the main switch"
                )
                yield declared.project.finding(
                    "wire 47",
                    f"breaker_panels.{key}",
                    f"{text}, on a metal hull",
                    remedy="lead it over the switch's second pole: feeders with poles: '-' to its in and from its out",
                )
        for key, chains in loaded.chains.items():
            circuit = declared.project.circuits[key]
            live_too = circuit.always_live or any(leg.always_live for leg in circuit.legs.values())
            panel_fed = declared.ends.owner(circuit.from_) in declared.project.breaker_panels
            for chain in chains if not live_too and not panel_fed else ():
                live, back = one.live.path(chain.source_node), one.back.path(chain.return_node)
                if key in said or live is None or back is None or not _two_pole(declared.project, live):
                    continue
                if not any(link.kind == "contact" for link in back):
                    said.add(key)
                    yield declared.project.finding(
                        "wire 47",
                        f"circuits.{key}",
                        f"{circuit.name or key}: its negative reaches {declared.ends.name(one.source)} past the main "
                        "switch, on a metal hull",
                        remedy="lead it over the switch's second pole: end its return on what lies behind that",
                    )


def _taken_away(declared: Declared) -> Iterator[Finding]:
    """Name conductors that end on what is taken off the boat."""
    told: set[tuple[str, str]] = set()
    for segment in declared.segments.values():
        for end in (end for lead in segment.leads for end in (lead.start, lead.end)):
            owner = declared.ends.owner(end)
            section = declared.ends.kind(owner)
            entry = getattr(declared.project, section).get(owner) if section else None
            if getattr(entry, "aboard", None) == "remove" and (segment.owner, owner) not in told:
                told.add((segment.owner, owner))
                yield declared.project.finding(
                    "wire 80",
                    segment.owner,
                    f"{segment.name}: it ends on {declared.ends.name(owner)}, which is taken away (aboard: remove)",
                    related=(f"{section}.{owner}",),
                    remedy="say aboard: remove here too, or lead it to what stays",
                )


def _sockets(declared: Declared) -> Iterator[Finding]:
    """Hold the plugs of sockets at different voltages against each other; a plug nobody named gets a note."""
    takers: dict[str, dict[float, str]] = {}
    blank: dict[str, float] = {}
    voltages: set[float] = set()
    for circuit in declared.project.circuits.values():
        owner = declared.ends.owner(circuit.to)
        device = declared.project.devices.get(owner)
        nominal = nominal_of(declared.ends, declared.ends.owner(circuit.from_))
        if device is None or circuit.purpose != "socket" or nominal is None or circuit.aboard == "remove":
            continue
        voltages.add(nominal)
        plug = device.plug or device.type
        if plug is None:
            blank.setdefault(owner, nominal)
            continue
        at = takers.setdefault(plug, {})
        other = next((name for volts, name in at.items() if volts != nominal), None)
        if other is not None:
            text = f"{device.name or owner} and {declared.ends.name(other)} take the same plug ({plug})"
            yield declared.project.finding(
                "wire 46",
                f"devices.{owner}",
                f"{text} at different voltages",
                related=(f"devices.{other}",),
                remedy="take another kind of socket for one of them",
            )
        at.setdefault(nominal, owner)
    if blank and len(voltages) > 1:
        names = ", ".join(f"{declared.ends.name(owner)} ({nominal:g} V)" for owner, nominal in blank.items())
        text = f"there are sockets at {' and '.join(f'{volts:g}' for volts in sorted(voltages))} V"
        yield declared.project.finding(
            "wire 53",
            f"devices.{next(iter(blank))}",
            f"{text}, and which plug these take is not known: {names}",
            subjects=tuple(f"devices.{owner}" for owner in blank),
            remedy="say plug: of each",
        )


def _colours(declared: Declared, settled: Settled, run: Run) -> Iterator[Finding]:
    owner = declared.segments[run.key].owner
    for wire in run.wires:
        role = role_of(wire.pole, ac=declared.segments[run.key].ac)
        if role is None:
            continue
        wrong = fault_of(wire.colour, role, ac_aboard=ac_aboard(declared.project))
        if wrong:
            yield declared.project.finding(
                "wire 35", owner, f"{run.name}, {wire.number}: {wrong}", remedy="choose another colour"
            )
    kind = settled.sized[run.key].kind
    plan = settled.sized[run.key]
    asked, has = plan.segment.colour, cable_colours(plan)
    if asked is not None and has and asked.lower() not in has and not (asked.lower() == "blue" and "light blue" in has):
        text = f"{run.name}: {asked} is asked for, and its cable '{run.cable}' has {', '.join(has)}"
        yield declared.project.finding(
            "wire 57", owner, text, remedy="name a cable that is bought in it, or another colour"
        )
    kept = run.aboard == "keep" and kind is not None and "black" in kind.colours
    if kept and ac_aboard(declared.project) and any(wire.pole == "-" for wire in run.wires):
        text = f"{run.name}: its black negative stays, while black is a line colour on AC"
        yield declared.project.finding("wire 36", owner, text, remedy="sleeve its ends yellow")


def _compass(declared: Declared, settled: Settled, run: Run) -> Iterator[Finding]:
    """Ask for a twisted pair where a run ends at a magnetic sensor."""
    if not _loose_pair(settled, run):
        return
    for end in (run.wires[0].start, run.wires[0].end):
        device = declared.project.devices.get(end.owner)
        if device is not None and "magnet" in device.classes:
            text = f"{run.name}: the pair to {end.name} is not twisted"
            yield declared.project.finding(
                "wire 37", declared.segments[run.key].owner, text, remedy="twist it, or take a twisted cable"
            )


def _beside_compasses(declared: Declared, settled: Settled, runs: list[Run]) -> Iterator[Finding]:
    """Name the pairs that end within 300 mm of a compass and are not twisted, all in one finding for each compass."""
    placed = declared.ends.arrangement.placed if declared.ends.arrangement else {}
    for panel_id, panel in declared.project.panels.items():
        for key, compass in panel.compasses.items():
            near = {
                device
                for device, spot in placed.items()
                if spot.panel == panel_id and math.dist((spot.x, spot.y, 0.0), compass.at) < NEAR_COMPASS_MM
            }
            mine = [run for run in runs if _loose_pair(settled, run) and {w.owner for w in _ends(run)} & near]
            if mine:
                names = ", ".join(run.number for run in mine)
                text = f"{compass.name or key}: {names} end within {NEAR_COMPASS_MM:g} mm of it and are not twisted"
                yield declared.project.finding(
                    "wire 37",
                    f"panels.{panel_id}.compasses.{key}",
                    text,
                    limit=NEAR_COMPASS_MM,
                    unit="mm",
                    subjects=tuple(declared.segments[run.key].owner for run in mine),
                    remedy="twist each pair near the compass",
                )


def _ends(run: Run) -> tuple[WireEnd, ...]:
    return tuple(end for wire in run.wires for end in (wire.start, wire.end))


def _loose_pair(settled: Settled, run: Run) -> bool:
    kind = settled.sized[run.key].kind
    return run.run_class == "dc" and len(run.wires) > 1 and not (kind is not None and kind.twisted)
