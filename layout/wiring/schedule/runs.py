"""From settled plans to frozen runs: numbers, colours, ends, drops and what stands before them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.standards.colours import letter_code
from layout.wiring.circuits.chains import lead_key
from layout.wiring.circuits.holders import tail_key
from layout.wiring.circuits.segments import EARTH, return_end
from layout.wiring.circuits.supply_graph import CHARGING
from layout.wiring.protection.protective_device import stand_before
from layout.wiring.result import FittedDevice, Run, Wire, WireEnd
from layout.wiring.schedule.fittings import fitting
from layout.wiring.schedule.numbering import DEFAULT_PATTERN, format_number, pattern_fault
from layout.wiring.schedule.wire_colours import AS_CABLE, run_colours
from layout.wiring.sizing.drop_budget import circuit_limit_percent, feeder_limit_percent, is_critical, run_ohm

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.project.model.project import Project
    from layout.wiring.circuits.chains import Chain
    from layout.wiring.circuits.segments import Lead, WireSegment
    from layout.wiring.declared import Declared
    from layout.wiring.loaded import Loaded
    from layout.wiring.protection.fault_book import FaultRange
    from layout.wiring.protection.protective_device import ProtectiveDevice
    from layout.wiring.schedule.numbering import Numbers
    from layout.wiring.settled import Settled
    from layout.wiring.sizing.sized_segment import SizedSegment


@dataclass(frozen=True, slots=True, kw_only=True)
class Ledger:
    """What runs take from the project as a whole.

    Attributes
    ----------
    studs
        ``position thread`` by (bus bar, segment key and pole), as the positions were assigned.
    stands
        Device of a circuit's feed by the key of its first segment.
    """

    numbers: Numbers
    faults: Mapping[str, FaultRange]
    studs: Mapping[tuple[str, str], str]
    stands: Mapping[str, ProtectiveDevice]


def make_run(
    declared: Declared, loaded: Loaded, settled: Settled, plan: SizedSegment, ledger: Ledger, *, notes: tuple[str, ...]
) -> Run:
    """Return the run of one settled plan; ``notes`` are the numbers of its footnotes."""
    segment = plan.segment
    numbers, book = ledger.numbers, ledger.faults
    wires = tuple(
        _wire(declared, loaded, plan, lead, ledger, core=at if plan.cores > 1 else None, colour=colour)
        for at, (lead, colour) in enumerate(zip(segment.leads, run_colours(declared, plan), strict=True), start=1)
    )
    nominal = segment.nominal_v
    drops = [wire.drop_v for wire in wires if wire.pole in ("+", "-", "L", "N", "switched")]
    known = [value for value in drops if value is not None]
    drop = sum(known) if drops and len(known) == len(drops) else None
    ohms = [wire.ohm for wire in wires if wire.ohm is not None]
    cumulative, limit = _cumulative(declared, loaded, settled, segment)
    if segment.owner_kind == "feeder" and cumulative is not None and drop is not None:
        cumulative = max(cumulative, drop)
    circuit = declared.project.circuits[segment.circuits[0]] if segment.circuits else None
    return Run(
        key=segment.key,
        number=wires[0].number if len(wires) == 1 else _plain_number(declared.project, segment, numbers),
        owner=segment.owner.partition(".")[2],
        owner_kind=segment.owner_kind,
        name=segment.name,
        purpose=segment.purpose,
        group=declared.ends.owner(segment.start),
        run_class=segment.run_class,
        nominal_v=nominal,
        ac=segment.ac,
        wires=wires,
        cable=plan.cable,
        cores=plan.cores,
        od_mm=plan.od_mm,
        size=plan.size,
        size_given=plan.fixed_size,
        current_a=plan.current.current_a,
        current_text=plan.current.text if segment.carries else "",
        critical=is_critical(circuit, declared.practice) if circuit else segment.owner_kind == "feeder",
        route=plan.route or (),
        length=plan.length,
        bundle=plan.bundle,
        hot=plan.hot,
        sizing=plan.sizing,
        ohm=sum(ohms) if ohms else None,
        drop_v=drop,
        drop_percent=_percent(drop, nominal),
        cumulative_v=cumulative,
        cumulative_percent=_percent(cumulative, nominal),
        limit_percent=limit,
        guard=_guard(declared, loaded, settled, plan, book),
        fault=_fault(settled, segment, ledger),
        aboard=str(segment.aboard) if segment.aboard else None,
        old_label=segment.old_label,
        cranking=segment.cranking,
        always_live=segment.always_live,
        made=segment.laid.made if segment.laid else "",
        notes=notes,
    )


def _percent(volts: float | None, nominal: float | None) -> float | None:
    return None if volts is None or not nominal else 100 * volts / nominal


def _numbers(segment: WireSegment, numbers: Numbers) -> tuple[int, int]:
    owner, mark, _ = segment.key.partition(":")
    return numbers.of(owner), numbers.of(segment.key if mark else f"{owner}:")


def _pattern(project: Project) -> str:
    pattern = project.wiring.number_pattern
    return DEFAULT_PATTERN if pattern_fault(pattern) else pattern


def _plain_number(project: Project, segment: WireSegment, numbers: Numbers) -> str:
    circuit, part = _numbers(segment, numbers)
    return format_number(_pattern(project), circuit=circuit, segment=part, pole="", core=None)


def _wire(
    declared: Declared,
    loaded: Loaded,
    plan: SizedSegment,
    lead: Lead,
    ledger: Ledger,
    *,
    core: int | None,
    colour: str,
) -> Wire:
    segment = plan.segment
    circuit, part = _numbers(segment, ledger.numbers)
    number = format_number(_pattern(declared.project), circuit=circuit, segment=part, pole=lead.pole, core=core)
    amps = lead_current(declared, loaded, segment, lead)
    resistance = run_ohm(plan, declared.practice)
    start = _end(declared, plan, lead, ledger.studs, incoming=False)
    end = _end(declared, plan, lead, ledger.studs, incoming=True)
    made = segment.laid.made if segment.laid else plan.size
    size = "" if made is None else f" {made}"
    code = "" if colour == AS_CABLE else letter_code(colour) or colour
    return Wire(
        number=number,
        pole=lead.pole,
        core=core,
        colour=colour,
        code=code,
        start=replace(start, label=f"{number} > {end.name} {end.terminal}".rstrip() + f"{size} {code}".rstrip()),
        end=replace(end, label=f"{number} > {start.name} {start.terminal}".rstrip() + f"{size} {code}".rstrip()),
        current_a=amps,
        ohm=resistance,
        drop_v=None if amps is None or resistance is None else amps * resistance,
    )


def lead_current(declared: Declared, loaded: Loaded, segment: WireSegment, lead: Lead) -> float | None:
    """Return the current that makes a conductor's drop; earth and bonding conductors carry none in service.

    A conductor that no load draws through has the current it is declared with, or what its source charges with; one
    that starts an engine has the most it carries. None is unknown.
    """
    if lead.pole in EARTH:
        return 0.0
    if segment.run_class in ("data", "antenna"):
        return None
    if segment.owner_kind == "feeder":
        most = loaded.segment_currents[segment.key].current_a
        if segment.cranking:
            return most
        drawn = loaded.inputs.drop_currents.get(lead_key(segment.key, lead))
        given = declared.project.feeders[segment.owner.partition(".")[2]].current
        return drawn or given or most or None  # what is not said is no zero
    return loaded.lead_a.get(lead_key(segment.key, lead), declared.currents[segment.circuits[0]].current_a)


def _end(
    declared: Declared, plan: SizedSegment, lead: Lead, studs: Mapping[tuple[str, str], str], *, incoming: bool
) -> WireEnd:
    written = lead.end if incoming else lead.start
    owner = declared.ends.owner(written)
    terminal = declared.ends.terminal(written, lead.pole, incoming=incoming)
    site = declared.ends.site(owner)
    stud = studs.get((owner, f"{plan.segment.key} {lead.pole}"))
    position = stud.partition(" ")[0] if stud else terminal
    node = lead.end_node if incoming else lead.start_node
    return WireEnd(
        owner=owner,
        name=declared.ends.name(owner),
        terminal=position,
        node=declared.joined.get(node, node),
        panel=site.panel,
        location=site.location,
        fitting=plan.segment.laid.plug_words
        if plan.segment.laid
        else fitting(
            declared.ends.declared(owner, terminal),
            stud=stud.partition(" ")[2] if stud else declared.ends.stud(owner),
            area_mm2=plan.size.area_mm2 if plan.size else None,
            is_splice=declared.ends.kind(owner) == "locations",
        ),
    )


def _cumulative(
    declared: Declared, loaded: Loaded, settled: Settled, segment: WireSegment
) -> tuple[float | None, float | None]:
    """Return the worst drop from the source's post to the end of a run and back, V, and its limit in percent."""
    if segment.owner_kind == "feeder":
        most = None if segment.cranking else feeder_limit_percent(ac=segment.ac)
        return _feeder_cumulative(declared, settled, segment), most
    worst: float | None = None
    limit: float | None = None
    for circuit in segment.circuits:
        one = circuit_limit_percent(declared.project.circuits[circuit], declared.practice, ac=segment.ac)
        limit = one if limit is None else min(limit, one)
        for chain in loaded.chains.get(circuit, ()):
            if any(step.segment == segment.key for step in chain.steps):
                drop = chain_drop_v(declared, loaded, settled, chain)
                if drop is None:
                    return None, limit
                worst = drop if worst is None else max(worst, drop)
    return worst, limit


def _feeder_cumulative(declared: Declared, settled: Settled, segment: WireSegment) -> float | None:
    """Return the worst drop to the far end of a feeder and back; None where no supplying source reaches both."""
    lead = segment.leads[0]
    far = lead.end if lead.live else lead.start
    live, back = ("L", "N") if segment.ac else ("+", "-")
    out = far if lead.live else return_end(declared.ends, far, live, segment.nominal_v)
    source = declared.ends.node(out, live, incoming=True)
    home = declared.ends.node(return_end(declared.ends, out, back, segment.nominal_v), back, incoming=False)
    found = settled.upstream.worst(source, home)
    start = declared.project.supplies.get(declared.ends.owner(segment.start))
    charges = start is not None and start.kind in CHARGING
    return found[0] if found and not charges else None


def chain_drop_v(declared: Declared, loaded: Loaded, settled: Settled, chain: Chain) -> float | None:
    """Return the drop from the source's post through a chain and back, V; None where a part is unknown."""
    before = settled.upstream.worst(chain.source_node, chain.return_node)
    if before is None or before[0] is None:
        return None
    total = before[0]
    for step in chain.steps:
        amps = loaded.lead_a.get(lead_key(step.segment, step.lead))
        resistance = run_ohm(settled.sized[step.segment], declared.practice)
        if amps is None or resistance is None:
            return None
        total += amps * resistance
    return total


def _fault(settled: Settled, segment: WireSegment, ledger: Ledger) -> FaultRange | None:
    """Return the fault range of the device that stands at a run's own start or end."""
    own = _own_stand(settled, segment) or ledger.stands.get(tail_key(segment.key, at_end=False))
    own = own or ledger.stands.get(segment.key)
    return ledger.faults.get(own.key) if own is not None else None


def _guard(
    declared: Declared, loaded: Loaded, settled: Settled, plan: SizedSegment, book: Mapping[str, FaultRange]
) -> FittedDevice | None:
    """Return the device before a run; a starting conductor has none, whatever stands before what it meets."""
    stand = None if plan.segment.cranking else _stand_of(declared, loaded, settled, plan.segment)
    if stand is None:
        return None
    bears = plan.sizing.verdict.ampacity if plan.sizing else None
    fault = book.get(stand.key)
    needed = fault.needed_breaking_a if fault else None
    return FittedDevice.of(stand, needed_breaking_a=needed, limit_a=bears.current_a if bears else None)


def _own_stand(settled: Settled, segment: WireSegment) -> ProtectiveDevice | None:
    """Return the device of a feeder at its start, else at its end; what leads up to a holder has the one in it."""
    at_start = settled.feeder_stands.get((segment.tail_of or segment.key, False))
    at_end = settled.feeder_stands.get((segment.tail_of or segment.key, True))
    return (at_start if segment.protection is not None else None) or at_end


def _stand_of(declared: Declared, loaded: Loaded, settled: Settled, segment: WireSegment) -> ProtectiveDevice | None:
    """Return the device before a segment: its own, else the one of the feed it belongs to."""
    own = _own_stand(settled, segment)
    if own is not None or segment.owner_kind == "feeder":
        return own or stand_before(segment.key, declared.supplying, settled.feeder_stands)
    for circuit in segment.circuits:
        for chain in loaded.chains.get(circuit, ()):
            stand = settled.stands.get((circuit, chain.feed[0].segment))
            if stand is not None and any(step.segment == segment.key for step in chain.steps):
                return stand
    return None
