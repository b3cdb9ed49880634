"""One bus: as it is built, or planned, with voltages, parts list and everything that is wrong with it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.findings import Finding, Severity
from layout.findings.finding import Place
from layout.light_dataclass import dataclass
from layout.network.bus_as_built import backbone
from layout.network.bus_blocks import blocks
from layout.network.bus_checks.bus_feed import feed_agrees
from layout.network.bus_checks.bus_lengths import backbone_mm, check_lengths, reach_mm
from layout.network.bus_checks.bus_power import check_devices, check_power
from layout.network.bus_checks.bus_shape import check_shape
from layout.network.bus_checks.bus_voltages import device_voltages, sides
from layout.network.bus_planning.bus_course import CourseSetting, limits_for, make_terms
from layout.network.bus_planning.bus_planner import plan_backbone
from layout.network.bus_planning.bus_problem import steps_per_mm
from layout.network.bus_planning.bus_spares import with_spares
from layout.network.bus_planning.bus_stock import parts_list
from layout.network.bus_planning.plugged_bus import as_built, plugged
from layout.network.cable_paths import reach_of, ways_for
from layout.network.declared_bus import devices_of, feed_of
from layout.standards import network

if TYPE_CHECKING:
    from layout.network.bus_checks.bus_voltages import BusSide, DeviceVoltage
    from layout.network.bus_parts import Assembly
    from layout.network.bus_planning.bus_course import Terms
    from layout.network.bus_planning.bus_planner import Planned
    from layout.network.bus_planning.bus_stock import StockLine
    from layout.project.model.network import InstrumentNetwork
    from layout.wiring.circuits.ends import Ends


@dataclass(frozen=True, slots=True, kw_only=True)
class BusPlan:
    """A bus with all its figures.

    Attributes
    ----------
    assembly
        Parts, pieces, drops, devices and feed.
    voltages, sides
        Worst case at the lowest feed.
    parts
        What to buy.
    backbone_mm, reach_mm, drops_mm
        Length of the backbone, the length that counts against its limit, and of all drops.
    proof
        What is known about the course, in words; empty where it is as built.
    """

    id: str
    name: str
    assembly: Assembly
    voltages: tuple[DeviceVoltage, ...]
    sides: tuple[BusSide, ...]
    parts: tuple[StockLine, ...]
    backbone_mm: float
    reach_mm: float
    drops_mm: float
    proof: str
    findings: tuple[Finding, ...]


def plan_bus(ends: Ends, bus: InstrumentNetwork, *, work: float = 8.0) -> BusPlan:
    """Plan or take over one bus and check it.

    A built line that holds every device is taken as it is. One that does not is lengthened and filled up; one that is
    not a sound line is only checked. Where no course keeps every limit, the shortest one without them is shown, with
    the limits it breaks.
    """
    project = ends.project
    built = backbone(bus) if bus.built else None
    setting = CourseSetting(
        ends=ends,
        bus=bus,
        devices=devices_of(project, bus),
        feed=feed_of(ends, bus),
        data=ways_for(project, "data"),
        power=ways_for(project, "dc"),
        built=built,
    )
    found: list[Finding] = []
    proof = ""
    assembly = as_built(setting)
    if built is not None:
        found += _unknown_labels(bus, built.unknown_labels)
    waiting = [id_ for id_ in setting.devices if id_ not in setting.hung]
    if waiting and not (built is not None and (found or not _is_line(assembly))):
        if built is not None:
            setting = replace(setting, blocks=blocks(built))
        made, proof, more = _planned(setting, work)
        assembly = made or assembly
        found += more
    assembly = replace(assembly, bus=bus.id)
    found += [
        *check_shape(assembly),
        *check_lengths(assembly),
        *check_power(assembly),
        *check_devices(assembly),
        *_feed_place(ends, bus, assembly),
        *_shared_feed(ends, bus),
        *feed_agrees(ends.project, bus, assembly),
    ]
    return BusPlan(
        id=bus.id,
        name=bus.name or bus.id,
        assembly=assembly,
        voltages=device_voltages(assembly),
        sides=sides(assembly),
        parts=parts_list(assembly, setting.stock_mm, setting.joint_mm),
        backbone_mm=backbone_mm(assembly),
        reach_mm=reach_mm(assembly),
        drops_mm=sum(drop.length_mm or 0.0 for drop in assembly.drops),
        proof=proof,
        findings=tuple(found),
    )


def _is_line(assembly: Assembly) -> bool:
    """Tell whether a built backbone is a line that may be lengthened: in one piece, no loop, no branch."""
    stops = {"bus 4", "bus 5", "bus 31", "bus 2"}
    return not any(finding.rule in stops for finding in check_shape(assembly)) and len(assembly.taps) <= 1


def _planned(setting: CourseSetting, work: float) -> tuple[Assembly | None, str, list[Finding]]:
    bus = setting.bus
    terms = make_terms(setting)
    found = _left_out(setting, terms)
    if not terms.problem.hooks or not terms.problem.feeds_mm:
        return None, "", found
    result = plan_backbone(terms.problem, work=work)
    problem = terms.problem
    if result.plan is None:
        found.append(_not_plannable(setting, terms, result, work))
        why = "no course keeps them all" if result.proof == "none exists" else "none was found within the work limit"
        loose = replace(problem.limits, drops_mm=10**8, backbone_mm=10**8, side_lens=10**6, fall=10**12)
        problem = replace(problem, limits=loose)
        result = plan_backbone(problem, work=work)
        if result.plan is None:
            return None, "", found
        proof = f"shown without its limits: {why}"
    else:
        proof = _proof(bus, result)
        if result.proof == "within":
            found.append(_at_work_limit(bus, result))
    problem, plan = with_spares(problem, result.plan, bus.spare_tees, bus.spare_load_units)
    return plugged(setting, problem, plan), proof, found


def _proof(bus: InstrumentNetwork, result: Planned) -> str:
    metres = (result.cost_mm or 0) / 1000
    if result.proof == "optimal":
        once = ", each place opened once" if bus.stock else ""
        return f"optimal for these places, wireways and cable lengths{once}: worth {metres:.2f} m of cable and joints"
    low = (result.bound_mm or 0) / 1000
    return f"usable; worth {metres:.2f} m of cable and joints, none can be below {low:.2f} m"


def _at(bus: InstrumentNetwork, *more: str) -> Place:
    return Place(key=".".join(("networks", bus.id, *more)))


def _name(bus: InstrumentNetwork) -> str:
    return bus.name or bus.id


def _at_work_limit(bus: InstrumentNetwork, result: Planned) -> Finding:
    return Finding(
        rule="bus 34",
        message=f"the course of {_name(bus)} is {_proof(bus, result)}",
        at=_at(bus),
        measured=(result.cost_mm or 0) / 1000,
        limit=(result.bound_mm or 0) / 1000,
        unit="m",
        severity=Severity.NOTE,
        subjects=(bus.key,),
    )


def _left_out(setting: CourseSetting, terms: Terms) -> list[Finding]:
    bus, found = setting.bus, []
    for id_, reason in terms.lost:
        device = setting.devices[id_]
        found.append(
            Finding(
                rule="bus 35",
                message=f"{device.name} can't be planned on {_name(bus)}: {reason}",
                at=_at(bus, "nodes", id_),
                remedy="write the device's place, or drop: with its length; a device on a panel must be placed first",
                subjects=(f"devices.{device.device}", bus.key),
            )
        )
    for id_ in terms.beyond:
        device = setting.devices[id_]
        given = bus.nodes[id_].drop
        limit = network.most_drop_mm() / 1000
        why = (
            f"no drop of at most {limit:g} m reaches it"
            if given is None or given > network.most_drop_mm()
            else f"its drop of {given / 1000:g} m reaches no place of the wireways"
        )
        found.append(
            Finding(
                rule="bus 33",
                message=f"{device.name} finds no tee on {_name(bus)}: {why}",
                at=_at(bus, "nodes", id_),
                remedy="lead a data wireway nearer to it, or write the drop's true length",
                measured=None if given is None else given / 1000,
                limit=limit,
                unit="m",
                subjects=(f"devices.{device.device}", bus.key),
            )
        )
    return found


def _not_plannable(setting: CourseSetting, terms: Terms, result: Planned, work: float) -> Finding:
    bus = setting.bus
    none = result.proof == "none exists"
    said = "no course keeps every limit" if none else "no course was found within the work limit"
    helps = _what_helps(setting, terms, work / 4) if none else []
    return Finding(
        rule="bus 33",
        message=f"{_name(bus)}: {said} with {terms.problem.load_units} LEN on {bus.cable.value} cable",
        at=_at(bus),
        remedy=f"it would fit {' or '.join(helps)}" if helps else "divide the bus, or move devices nearer",
        measured=float(terms.problem.load_units),
        unit="LEN",
        subjects=(bus.key,),
    )


def _what_helps(setting: CourseSetting, terms: Terms, work: float) -> list[str]:
    """Try single changes, each alone: a stronger cable, and each limit lifted."""
    problem, bus, found = terms.problem, setting.bus, []
    stronger = {"light": ("mid",), "mid": (), "heavy": ()}[bus.cable.value]
    for cable in stronger:
        limits = limits_for(bus, setting.feed, [cable])
        better = replace(problem, limits=limits, backbone_steps=steps_per_mm(cable))
        if plan_backbone(better, work=work).plan is not None:
            found.append(f"with {cable} cable")
    for field, lifted, words in (
        ("fall", 10**12, "with a larger fall of voltage allowed"),
        ("side_lens", 10**6, "with more current allowed a side"),
        ("backbone_mm", 10**8, "with a longer backbone allowed"),
        ("drops_mm", 10**8, "with more drop cable allowed"),
    ):
        better = replace(problem, limits=replace(problem.limits, **{field: lifted}))
        if plan_backbone(better, work=work).plan is not None:
            found.append(words)
    return found


def _unknown_labels(bus: InstrumentNetwork, labels: tuple[str, ...]) -> list[Finding]:
    return [
        Finding(
            rule="bus 31",
            message=f"built of {_name(bus)} plugs into '{label}', which no part before it is labelled",
            at=_at(bus, "built"),
            remedy=f"write label: {label} on that part",
            subjects=(bus.key,),
        )
        for label in labels
    ]


def _feed_place(ends: Ends, bus: InstrumentNetwork, assembly: Assembly) -> list[Finding]:
    """Tell if the circuit that feeds the bus ends at another place than the power tap."""
    circuit = ends.project.circuits.get(bus.circuit) if bus.circuit else None
    if circuit is None or not assembly.taps:
        return []
    end, tap = reach_of(ends, circuit.to.owner).location, assembly.taps[0].at
    if end is None or tap is None or end == tap:
        return []
    return [
        Finding(
            rule="bus 39",
            message=f"circuit {bus.circuit} ends at {end}, but the power tap of {_name(bus)} is at {tap}",
            at=_at(bus, "circuit"),
            remedy=f"let the circuit end at {tap}, or write tap_at: {end}",
            subjects=(bus.key, f"circuits.{bus.circuit}"),
        )
    ]


def _shared_feed(ends: Ends, bus: InstrumentNetwork) -> list[Finding]:
    """Tell if the bus hangs on a supply that also starts an engine, straight from its terminals."""
    project = ends.project
    circuit = project.circuits.get(bus.circuit) if bus.circuit else None
    owner = circuit.from_.owner if circuit is not None else bus.supply
    if owner is None or owner not in project.supplies:
        return []
    cranks = [key for key, f in project.feeders.items() if f.cranking and f.from_.owner == owner]
    if not cranks:
        return []
    return [
        Finding(
            rule="bus 38",
            message=f"{_name(bus)} is fed straight from {owner}, which also starts an engine ({cranks[0]})",
            at=_at(bus),
            remedy="feed it from a distribution panel on another supply",
            subjects=(bus.key,),
        )
    ]
