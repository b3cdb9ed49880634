"""What a project does not say yet, found in the model itself, with what each gap holds up."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from layout.light_dataclass import dataclass
from layout.project.model.panel import SizeFrom
from layout.wiring.circuits.ends import Ends
from layout.wiring.circuits.leg_words import leg_words
from layout.wiring.circuits.segments import EARTH
from layout.wiring.circuits.starting_current import starting_current_a
from layout.wiring.system.consumers import is_motor

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from layout.project.model.device import Device
    from layout.project.model.keys import End
    from layout.project.model.project import Project
    from layout.project.model.supplies import Protection, Supply

Holds = Literal["cutting", "placing", "wire sizes", "protection", "wireways", "network", "handing over"]
ORDER: tuple[Holds, ...] = ("cutting", "placing", "wire sizes", "protection", "wireways", "network", "handing over")


@dataclass(frozen=True, slots=True, kw_only=True)
class Unknown:
    """One open question.

    Attributes
    ----------
    key
        Dotted path of the entry that should say it.
    about
        Name of the thing.
    question
        What to find out.
    where
        Where the answer usually is: on the maker's paper, on board, with a rule.
    """

    holds: Holds
    key: str
    about: str
    question: str
    where: str


def unknowns(project: Project) -> tuple[Unknown, ...]:
    """Return all gaps of the model, grouped by what they hold up, each group in the file's order."""
    found = [
        *_devices(project), *_panels(project), *_supplies(project), *_feeders(project), *_circuits(project),
        *_ways(project), *_bars(project), *_cables(project), *_wireways(project), *_earth(project), *_title(project),
    ]  # fmt: skip
    return tuple(sorted(found, key=lambda one: ORDER.index(one.holds)))


def _devices(project: Project) -> Iterator[Unknown]:
    wired = _wired(project)
    for device in project.devices.values():
        if device.panel:
            yield from _cutting(device)
            yield from _pilots(device)
            yield from _behind(device)
        if not device.is_removed:
            yield from _terminals(device, wired=device.id in wired)


def _wired(project: Project) -> frozenset[str]:
    """Return the devices that conductors end on, by their own id or as what stands for a supply, switch or panel."""
    circuits = [circuit for circuit in project.circuits.values() if not circuit.is_removed]
    ends = [circuit.to for circuit in circuits if not circuit.legs]
    ends += [end for circuit in circuits for leg in circuit.legs.values() for end in (leg.from_, leg.to)]
    ends += [end for feeder in project.feeders.values() for end in (feeder.from_, feeder.to)]
    owners = {end.owner for end in ends}
    sections = (project.supplies, project.battery_switches, project.breaker_panels)
    stand_for = {entry.device for entries in sections for key, entry in entries.items() if key in owners}
    return frozenset(owners | {device for device in stand_for if device is not None})


def _cutting(device: Device) -> Iterator[Unknown]:
    if device.mount != "cut-in" or device.work_state != "planned" or not device.is_new:
        return
    name, key = device.name or device.id, device.key
    if device.size_from is SizeFrom.GUESSED:
        yield _ask("cutting", f"{key}.size_from", name, "true sizes: these are only guessed", "measure the device")
    elif device.size_from is SizeFrom.CATALOGUE:
        question = "true sizes: these are a standard's, not this device's"
        yield _ask("cutting", f"{key}.size_from", name, question, "maker's template, or measure")
    elif device.size_from is SizeFrom.TRACED:
        question = "whether its cut-out, traced from a picture, agrees with the thing"
        yield _ask("cutting", f"{key}.size_from", name, question, "lay the printed template over it")
    if device.cutout_tolerance is None:
        question = "how much larger or smaller its cut-out may be"
        yield _ask("cutting", f"{key}.cutout_tolerance", name, question, "maker's template")


def _pilots(device: Device) -> Iterator[Unknown]:
    """Yield how deep the pilot holes of a device go, which are still to be drilled."""
    lacking = [one for one in device.fixings if one.kind == "pilot" and one.depth is None]
    if lacking and device.work_state == "planned" and device.is_new:
        question = "how deep its pilot holes go (depth: at each)"
        where = "length of the screw less what it holds"
        yield _ask("cutting", f"{device.key}.fixings", device.name or device.id, question, where)


def _behind(device: Device) -> Iterator[Unknown]:
    name, key = device.name or device.id, device.key
    if device.mount == "cut-in":
        if not device.behind:
            yield _ask("placing", f"{key}.behind", name, "what fills the space behind it", "measure the device")
        if device.plug_room is None or device.plug_room.depth is None:
            yield _ask(
                "placing", f"{key}.plug_room.depth", name, "room for plugs and bending cables", "plug in and measure"
            )
    for number, body in enumerate(device.behind):
        if body.depth is None:
            path = f"{key}.behind.{number}.depth"
            yield _ask("placing", path, name, "depth behind the sheet", "measure the device")


def _terminals(device: Device, *, wired: bool) -> Iterator[Unknown]:
    name, key = device.name or device.id, device.key
    if wired and not device.terminals:
        question = "what its terminals take: ring and stud, blade, ferrule, plug"
        yield _ask("handing over", f"{key}.terminals", name, question, "look at the device")
    for terminal in device.terminals.values():
        if terminal.pole in ("+", "-", "L", "N", "PE") and terminal.takes is None and terminal.stud is None:
            question = f"what terminal {terminal.id} takes: ring and stud, blade, ferrule, plug"
            yield _ask("handing over", f"{key}.terminals.{terminal.id}", name, question, "look at the device")


def _panels(project: Project) -> Iterator[Unknown]:
    for panel in project.panels.values():
        name, key = panel.name or panel.id, panel.key
        if panel.kind == "panel" and panel.depth is None and not panel.depth_at and not panel.depth_steps:
            yield _ask("placing", f"{key}.depth", name, "free depth behind the sheet", "measure on board")
        if panel.cable_exit is None:
            yield _ask(
                "wire sizes", f"{key}.cable_exit", name, "where its cables leave, and to which place", "look on board"
            )
        if panel.hinge is not None and panel.hinge.loom_depth is None:
            question = "how far the loom stands behind the sheet when it swings"
            yield _ask("placing", f"{key}.hinge.loom_depth", name, question, "decide, then keep to it")


ALTERNATOR_WIRES = {
    "excitation": "what feeds its excitation: a conductor to its terminal excitation",
    "sense": "where it senses its voltage: a conductor to its terminal sense",
}


def _supplies(project: Project) -> Iterator[Unknown]:
    ends = {f"{end.owner}/{end.terminal}" for pair in _conductors(project) for end in pair[:2]}
    ends |= {f"{end.owner}/{end.terminal}" for end in (circuit.to for circuit in project.circuits.values())}
    for supply in project.supplies.values():
        name, key = supply.name or supply.id, supply.key
        if supply.kind == "battery":
            yield from _battery(supply, name, key)
        elif supply.kind in ("shore", "generator"):
            yield from _ac_source(supply, name, key)
        elif supply.self_limiting is None and supply.fault_current is None:
            question = "whether it limits its own current, or its fault current"
            yield _ask("protection", f"{key}.self_limiting", name, question, "maker's paper")
        if supply.kind == "solar" and None in (supply.open_circuit_voltage, supply.highest_input):
            question = "open-circuit voltage of its panels, and the highest voltage that its input bears"
            lacks = "open_circuit_voltage" if supply.open_circuit_voltage is None else "highest_input"
            yield _ask("protection", f"{key}.{lacks}", name, question, "papers of panels and controller")
        if supply.current is None and supply.power is None and supply.kind != "battery":
            yield _ask("wire sizes", f"{key}.current", name, "largest output", "its plate")
        if supply.kind == "alternator":
            for wire, question in ALTERNATOR_WIRES.items():
                if wire not in supply.without and f"{supply.id}/{wire}" not in ends:
                    words = f"{question}, or without: [{wire}]"
                    yield _ask("handing over", f"{key}.without", name, words, "maker's paper")
        if supply.device is None and supply.location is None:
            yield _ask("wire sizes", f"{key}.location", name, "where it stands", "look on board")


def _battery(supply: Supply, name: str, key: str) -> Iterator[Unknown]:
    if supply.chemistry is None:
        yield _ask("protection", f"{key}.chemistry", name, "lead or lithium", "its label")
    if supply.chemistry != "lithium" and supply.cold_cranking is None:
        question = "cold cranking amperes (breaking capacity is asked by them)"
        yield _ask("protection", f"{key}.cold_cranking", name, question, "its label")
    if supply.chemistry == "lithium":
        if supply.fault_current is None:
            yield _ask("protection", f"{key}.fault_current", name, "largest fault current", "maker's paper")
    elif supply.cold_cranking is None and supply.resistance is None and supply.fault_current is None:
        question = "internal resistance, cold cranking amperes or fault current"
        yield _ask("protection", f"{key}.resistance", name, question, "maker's paper, or measure under load")


def _ac_source(supply: Supply, name: str, key: str) -> Iterator[Unknown]:
    if supply.fault_current is None and not supply.self_limiting:
        question = "prospective fault current at the inlet"
        yield _ask("protection", f"{key}.fault_current", name, question, "measure with a loop tester")
    if supply.neutral_bond is None:
        question = "whether neutral is earthed there"
        yield _ask("protection", f"{key}.neutral_bond", name, question, "look and measure")
    if supply.kind == "shore" and supply.isolation is None:
        question = "galvanic isolator, isolating transformer or none"
        yield _ask("protection", f"{key}.isolation", name, question, "decide")


def _protection(guard: Protection | None, key: str, name: str) -> Iterator[Unknown]:
    if guard is None:
        return
    if guard.device is None and guard.location is None and guard.kind != "built-in":
        question = "where its holder stands: on which device of a panel, or at which place"
        yield _ask("handing over", f"{key}.device", name, question, "decide, or look on board")
    if guard.from_source is None and guard.device is None:
        question = "distance of the fuse from the source, along the conductor"
        yield _ask("protection", f"{key}.from_source", name, question, "measure on board")
    if guard.breaking_capacity is None:
        yield _ask("protection", f"{key}.breaking_capacity", name, "breaking capacity of its fuse", "maker's paper")
    if guard.trips_at is None:
        yield _ask("protection", f"{key}.trips_at", name, "trip curve of its fuse", "maker's paper")


def _feeders(project: Project) -> Iterator[Unknown]:
    for feeder in project.feeders.values():
        if feeder.is_removed:
            continue
        name, key = feeder.name or feeder.id, feeder.key
        yield from _protection(feeder.protection, f"{key}.protection", name)
        yield from _protection(feeder.protection_to, f"{key}.protection_to", name)
        if feeder.cranking and starting_current_a(project, feeder.id) is None:
            yield _ask("wire sizes", f"{key}.current", name, "starting current", "maker's paper, or measure")
        if not feeder.is_new and feeder.size is None:
            yield _ask(
                "wire sizes", f"{key}.size", name, "size of the conductor that is there", "read it off the sheath"
            )


def _circuits(project: Project) -> Iterator[Unknown]:
    for circuit in project.circuits.values():
        if circuit.is_removed:
            continue
        name, key = circuit.name or circuit.id, circuit.key
        load = circuit.load
        if load is None or (load.current is None and load.power is None):
            legs = circuit.legs.values()
            if not legs or any(leg.current is None and leg.pole in ("+", "L", "switched") for leg in legs):
                yield _ask("wire sizes", f"{key}.load", name, "current or power of the load", "its plate")
        elif is_motor(load, circuit.purpose):
            if load.locked_rotor is None:
                question = "locked rotor current of the motor"
                yield _ask("protection", f"{key}.load.locked_rotor", name, question, "maker's paper")
            if load.inrush is None:
                yield _ask("wire sizes", f"{key}.load.inrush", name, "starting current of the motor", "maker's paper")
            if load.start_voltage is None:
                question = "least voltage at which the motor starts"
                yield _ask("wire sizes", f"{key}.load.start_voltage", name, question, "maker's paper")
            if load.largest_protection is None:
                question = "largest fuse its maker allows"
                yield _ask("protection", f"{key}.load.largest_protection", name, question, "maker's paper")
        yield from _protection(circuit.protection, f"{key}.protection", name)
        ends = Ends(project, None)
        for leg in circuit.legs.values():
            yield from _protection(
                leg.protection, f"{key}.legs.{leg.id}.protection", f"{name}, {leg_words(ends, [leg])}"
            )


def _ways(project: Project) -> Iterator[Unknown]:
    for panel in project.breaker_panels.values():
        ways = [way for way in panel.ways.values() if not way.free]
        name = panel.name or panel.id
        for field, question in (("breaking_capacity", "breaking capacity"), ("trips_at", "trip curve")):
            lacking = [way.id for way in ways if getattr(way, field) is None]
            if lacking:
                words = f"{question} of way{'s' if len(lacking) > 1 else ''} {', '.join(lacking)}"
                key = f"breaker_panels.{panel.id}.ways.{lacking[0]}.{field}"
                yield _ask("protection", key, name, words, "maker's paper of the breakers")
        main = panel.main
        for field, question in (("breaking_capacity", "breaking capacity"), ("trips_at", "trip curve")):
            if main is not None and getattr(main, field) is None:
                key = f"breaker_panels.{panel.id}.main.{field}"
                yield _ask("protection", key, name, f"{question} of its main device", "maker's paper")


def _bars(project: Project) -> Iterator[Unknown]:
    for bar in project.bus_bars.values():
        if not bar.studs and not bar.is_removed:
            yield _ask("handing over", bar.key.inner("studs"), bar.name or bar.id, "its studs", "look at it")


def _cables(project: Project) -> Iterator[Unknown]:
    for cable in project.cables.values():
        if not cable.sizes:
            question = "outer diameter of each size"
            yield _ask(
                "wireways", cable.key.inner("sizes"), cable.name or cable.id, question, "maker's paper, or measure"
            )


def _wireways(project: Project) -> Iterator[Unknown]:
    for way in project.wireways.values():
        name, key = way.name or way.id, way.key
        if way.length is None and not way.points and not way.is_removed:
            yield _ask("wire sizes", f"{key}.length", name, "its length", "measure along it")
        if way.kind == "conduit" and way.bore is None:
            yield _ask("wireways", f"{key}.bore", name, "its bore", "measure inside")
        if way.kind == "trunk" and way.inner is None:
            yield _ask("wireways", f"{key}.inner", name, "its inner width and height", "measure inside")
        if way.kind == "conduit" and way.bends is None:
            yield _ask("wireways", f"{key}.bends", name, "sum of its bends", "look along it")


def _earth(project: Project) -> Iterator[Unknown]:
    """Yield what protective earth, DC negative and metal parts are joined to, where no conductor says it."""
    joins = [{end.owner, other.owner} for end, other, poles in _conductors(project) if EARTH & poles]
    earths = {bar.id for bar in project.bus_bars.values() if bar.pole == "bond"}
    aboard = [supply for supply in project.supplies.values() if not supply.is_removed]
    ac = {supply.id for supply in aboard if supply.is_ac}
    dc = {supply.id for supply in aboard if supply.kind == "battery"}
    panels = [panel for panel in project.breaker_panels.values() if not panel.is_removed]
    of_ac = ac | {panel.id for panel in panels if panel.ac}
    if ac and not any(join & earths and join & of_ac for join in joins):
        question = "the main earth: a bus bar of pole bond, and the conductor that joins the AC earth to it"
        yield _ask("protection", "bus_bars", "Protective earth", question, "decide")
    negative = dc | {panel.id for panel in panels if not panel.ac}
    negative |= {bar.id for bar in project.bus_bars.values() if bar.pole == "-"}
    insulated = project.boat.dc_negative == "insulated" or project.boat.hull == "metal"
    if ac and dc and not insulated and not any(join & negative for join in joins):
        question = "where the DC negative is joined to the main earth, or dc_negative: insulated"
        yield _ask("protection", "boat.dc_negative", "DC negative", question, "look on board, or decide")
    used = any(join & earths for join in joins)
    if used and project.boat.bonded_parts is None and not any(join & set(project.devices) for join in joins):
        question = "which metal parts are joined to it: engine, tanks, shaft, seacocks; or bonded_parts: none"
        yield _ask("protection", "boat.bonded_parts", "Main earth", question, "look on board")


def _conductors(project: Project) -> Iterator[tuple[End, End, set[str]]]:
    """Yield both ends and the poles of each feeder and leg."""
    for feeder in project.feeders.values():
        if not feeder.is_removed:
            yield feeder.from_, feeder.to, set(feeder.poles)
    for circuit in project.circuits.values():
        for leg in circuit.legs.values():
            if not (circuit.is_removed or leg.is_removed):
                yield leg.from_, leg.to, {leg.pole}


def _title(project: Project) -> Iterator[Unknown]:
    if project.boat.hull is None:
        yield _ask("protection", "boat.hull", "Boat", "hull material (metal asks for two-pole DC)", "look")
    if project.boat.fuel is None:
        yield _ask("protection", "boat.fuel", "Boat", "fuel (petrol asks for ignition-protected parts)", "look")
    if not project.project.date:
        yield _ask("handing over", "project.date", "Title block", "date of this revision", "decide")


def _ask(holds: Holds, key: str, about: str, question: str, where: str) -> Unknown:
    return Unknown(holds=holds, key=key, about=about, question=question, where=where)


def counted(found: Iterable[Unknown]) -> dict[Holds, int]:
    """Return how many open questions hold up what."""
    tally: dict[Holds, int] = {}
    for one in found:
        tally[one.holds] = tally.get(one.holds, 0) + 1
    return tally
