"""Loads, lengths, sizes and drops of every run."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.project.reading.spelling import nearest
from layout.standards.ampacity import CFR_NAME, ISO_NAME, LAST_GAUGE
from layout.standards.purposes import listed_purposes, purpose
from layout.standards.tables import Practice
from layout.standards.voltage_drop import Criticality, drop_limit_percent
from layout.wiring.routing.run_lengths import wireway_mm
from layout.wiring.schedule.notes import governed_by_memory
from layout.wiring.schedule.numbering import DEFAULT_PATTERN, pattern_fault
from layout.wiring.sizing.conductor_size import Criterion

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from layout.findings import Finding
    from layout.project.model.project import Project
    from layout.wiring.declared import Declared
    from layout.wiring.result import Run
    from layout.wiring.settled import Settled
    from layout.wiring.sizing.sized_segment import SizedSegment

HOT_LIMIT_C = {Practice.ISO: 60.0, Practice.ABYC: 50.0}
"""Up to which ambient the hot-space factors of each practice hold."""


def run_findings(declared: Declared, settled: Settled, runs: Iterable[Run]) -> Iterator[Finding]:
    """Yield what is unknown or not met on each run."""
    fault = pattern_fault(declared.project.wiring.number_pattern)
    if fault is not None:
        yield declared.project.finding(
            "wire 51", "wiring.number_pattern", fault, remedy=f"write one like {DEFAULT_PATTERN}"
        )
    yield from _circuits(declared)
    yield from _other_series(declared.project, settled)
    for run in runs:
        plan = settled.sized[run.key]
        if plan.segment.laid is not None:
            continue  # the networks have their own checks of ways, lengths and kinds
        yield from _unknown(declared, plan)
        yield from _cable(declared.project, plan)
        if plan.segment.run_class not in ("dc", "ac"):
            continue
        yield from _size(declared.project, plan)
        yield from _drop(declared.project, settled, run)
        yield from _heat(declared, plan)


def _other_series(project: Project, settled: Settled) -> Iterator[Finding]:
    """Report each kind of cable that sizes are chosen from and that none of the wanted sizes is bought in."""
    wanted = project.wiring.wire_sizes
    chosen = (plan for plan in settled.sized.values() if not plan.fixed_size and plan.segment.run_class in ("dc", "ac"))
    asked = {plan.cable: plan for plan in chosen if plan.kind is not None and plan.kind.sizes}
    for key, plan in asked.items():
        if plan.kind is None or any(size.series == wanted for size in plan.sizes):
            continue
        name, listed = plan.kind.name or key, f"{plan.sizes[0]} to {plan.sizes[-1]}"
        example = {"metric": "2.5 mm2", "awg": "14 AWG", "sae": "14 SAE"}[wanted]
        held = plan.sizes[0].series.value
        text = (
            f"{name}: its list holds {listed} and no {wanted} size, which the project asks for; sizes are of its list"
        )
        remedy = f"write sizes like {example} into its list, or say wire_sizes: {held}"
        yield project.finding("wire 58", f"cables.{key}.sizes", text, remedy=remedy)


def _circuits(declared: Declared) -> Iterator[Finding]:
    for key, circuit in declared.project.circuits.items():
        if key not in declared.currents:
            continue
        path = f"circuits.{key}"
        name = circuit.name or key
        if declared.currents[key].current_a is None:
            yield declared.project.finding(
                "wire 1",
                f"{path}.load",
                f"{name}: its load is not known, so its conductors have no size",
                remedy="give load: with current or power from the device's paper",
                subjects=(path,),
            )
        if not purpose(circuit.purpose, declared.practice).listed and circuit.critical is None:
            text = f"{name}: the purpose '{circuit.purpose}' is not listed, so its drop is held to the critical limit"
            yield declared.project.finding("wire 43", f"{path}.purpose", text, remedy=_other_purpose(circuit.purpose))


def _other_purpose(written: str) -> str:
    """Say what to write for a purpose that is not listed, and what that changes."""
    critical, other = (drop_limit_percent(kind) for kind in Criticality)
    near = nearest(written, listed_purposes())
    begin = f"did you mean '{near}'? " if near else ""
    return (
        f"{begin}spile words purposes lists them; or say critical: false, and {other:g} % holds in place of "
        f"{critical:g} %, or critical: true"
    )


def _unknown(declared: Declared, plan: SizedSegment) -> Iterator[Finding]:
    segment = plan.segment
    power = segment.carries
    if segment.nominal_v is None and power:
        text = f"{segment.name}: the nominal voltage of {segment.start} is not known"
        yield declared.project.finding("wire 21", segment.owner, text, remedy="give voltage: to what it starts from")
    if segment.aboard == "keep" and plan.size is None and segment.run_class in ("dc", "ac"):
        text = f"{segment.name} stays aboard, but its size is not known"
        yield declared.project.finding("wire 22", segment.owner, text, remedy="measure it and give size:")
    if power and segment.owner_kind == "feeder" and plan.current.current_a is None and plan.size is None:
        text = f"{segment.name}: what it carries is not known, so its conductors have no size"
        yield declared.project.finding("wire 1", segment.owner, text, remedy="declare what it feeds, or give current:")
    if plan.length.total_mm is None:
        yield _no_length(declared, plan)
    elif plan.length.fixed and _ways_mm(declared.project, plan) > plan.length.total_mm + 1e-6:
        given, ways = plan.length.total_mm / 1000, _ways_mm(declared.project, plan) / 1000
        text = f"{segment.name}: {given:.2f} m are given, and the wireways between its ends alone take {ways:.2f} m"
        yield declared.project.finding(
            "wire 54",
            segment.owner,
            text,
            measured=given,
            limit=ways,
            unit="m",
            remedy="leave length: out, correct it, or name the wireways it really takes",
        )
    elif plan.fixed_route and not _route_holds(declared, plan):
        text = f"{segment.name}: the route {' > '.join(segment.wireways)} does not lead from end to end"
        yield declared.project.finding(
            "wire 4", segment.owner, text, remedy="name the wireways in order, or leave them out"
        )


def _no_length(declared: Declared, plan: SizedSegment) -> Finding:
    segment = plan.segment
    for end, site in zip((segment.start, segment.end), plan.sites, strict=True):
        owner = declared.ends.owner(end)
        if site.location is None and site.panel is None:
            text = f"{segment.name}: where {declared.ends.name(owner)} is, is not known, so the run has no length"
            return declared.project.finding(
                "wire 2", segment.owner, text, remedy=f"give location: or device: to {owner}, or length: to it"
            )
        if site.panel is not None and site.device is not None and not _placed(declared, site.device):
            text = f"{segment.name}: {declared.ends.name(owner)} is not placed yet, so the run has no length"
            return declared.project.finding("wire 2", segment.owner, text, remedy="place the panel first")
        if site.panel is not None and declared.project.panels[site.panel].cable_exit is None:
            text = f"{segment.name}: panel {site.panel} has no cable entry, so the run has no length"
            return declared.project.finding(
                "wire 2", segment.owner, text, remedy=f"give panels.{site.panel}.cable_exit"
            )
    places = [site.location for site in plan.sites]
    ways = [declared.project.wireways.get(key) for key in plan.route or ()]
    blank = [way.name or way.id for way in ways if way is not None and wireway_mm(way) is None]
    if blank:
        text = f"{segment.name}: the length of {', '.join(blank)} is not known, and so is the run's"
        return declared.project.finding(
            "wire 2", segment.owner, text, remedy="measure it and give length: to the wireway"
        )
    if plan.route is None:
        text = f"{segment.name}: no wireway that may carry {segment.run_class} leads from {places[0]} to {places[1]}"
        return declared.project.finding(
            "wire 3", segment.owner, text, remedy="declare the missing wireway, or length: on the run"
        )
    text = f"{segment.name}: both ends are at {places[0]}, and how far they are apart is not known"
    return declared.project.finding("wire 2", segment.owner, text, remedy="give length: to the run, with its unit")


def _ways_mm(project: Project, plan: SizedSegment) -> float:
    ways = [project.wireways.get(key) for key in plan.route or ()]
    return sum(wireway_mm(way) or 0.0 for way in ways if way is not None)


def _placed(declared: Declared, device: str) -> bool:
    return declared.ends.arrangement is not None and device in declared.ends.arrangement.placed


def _route_holds(declared: Declared, plan: SizedSegment) -> bool:
    start, end = (site.location for site in plan.sites)
    if start is None or end is None or plan.length.fixed:
        return True
    classes = [
        declared.project.wireways[key].carries for key in plan.segment.wireways if key in declared.project.wireways
    ]
    allowed = all(plan.segment.run_class in carries for carries in classes)
    return allowed and declared.router.follows(plan.segment.wireways, start, end)


def _cable(project: Project, plan: SizedSegment) -> Iterator[Finding]:
    segment, kind = plan.segment, plan.kind
    if kind is None:
        if segment.length_mm is None and plan.route:
            text = f"{segment.name}: no declared cable carries {segment.run_class}, so its diameter is a typical one"
            yield project.finding("wire 44", segment.owner, text, remedy="declare the cable under cables:")
        return
    if kind.cores > 1 and kind.cores < len(segment.leads):
        text = f"{segment.name}: {plan.cable} has {kind.cores} cores for {len(segment.leads)} conductors"
        yield project.finding("wire 38", segment.owner, text, remedy="choose a cable with more cores")
    if segment.run_class not in kind.carries:
        text = f"{segment.name}: {plan.cable} is declared for {', '.join(kind.carries)}, not for {segment.run_class}"
        yield project.finding("wire 39", segment.owner, text, remedy="choose another cable, or add the class to it")
    if segment.run_class in ("dc", "ac") and kind.insulation < plan.copper.temperature_c:
        text = (
            f"{segment.name}: {plan.copper.temperature_c:g} °C at work is above the insulation's {kind.insulation:g} °C"
        )
        yield project.finding(
            "wire 50",
            segment.owner,
            text,
            measured=plan.copper.temperature_c,
            limit=kind.insulation,
            unit="°C",
            remedy="take better insulation, or lower wiring.working_temperature",
        )


def _size(project: Project, plan: SizedSegment) -> Iterator[Finding]:
    segment, sizing = plan.segment, plan.sizing
    if sizing is None or plan.size is None:
        return
    verdict = sizing.verdict
    if verdict.reason and not segment.cranking:
        yield project.finding(
            "wire 32", segment.owner, f"{segment.name}: {verdict.reason}", remedy="choose other insulation"
        )
    law_8_tells = (Criterion.START,)
    fails = [c for c in verdict.fails if c not in law_8_tells and not (segment.cranking and c is not Criterion.LEAST)]
    if fails:
        words = "; ".join(_failed(plan, criterion) for criterion in fails)
        rule = "wire 5" if plan.fixed_size else "wire 6"
        need = max((size for _, size in sizing.by_criterion if size), key=lambda s: s.area_mm2, default=None)
        known = all(size is not None for _, size in sizing.by_criterion)
        remedy = (
            f"take {need}" if need is not None and known else "shorten the run, lower the load or use another cable"
        )
        yield project.finding(rule, segment.owner, f"{segment.name}, {plan.size}: {words}", remedy=remedy)
    elif governed_by_memory(plan):
        bears = verdict.ampacity
        amps = bears.current_a if bears else 0.0
        text = f"{segment.name}: {plan.size} rests on {amps:.3g} A by {ISO_NAME}, from memory and not above {CFR_NAME}"
        if bears is not None and bears.of_last_row:
            text = (
                f"{segment.name}: {plan.size} is held to {amps:.3g} A by the last row of {CFR_NAME}, {LAST_GAUGE} AWG, "
                f"since {ISO_NAME} is from memory"
            )
        yield project.finding("wire 8", segment.owner, text, remedy="check the value in the standard itself")


def _failed(plan: SizedSegment, criterion: Criterion) -> str:
    assert plan.sizing is not None
    demand, verdict = plan.sizing.demand, plan.sizing.verdict
    bears = "nothing" if verdict.ampacity is None else f"{verdict.ampacity.current_a:.3g} A"
    if criterion is Criterion.DROP:
        return f"drop {verdict.drop.worse_v:.2f} V where {demand.allowed_v or 0:.2f} V is left"
    if criterion is Criterion.AMPACITY:
        return f"bears {bears} for {demand.current_a:.3g} A"
    if criterion is Criterion.PROTECTION:
        return f"bears {bears} behind a device of {demand.protection_a:g} A"
    return "below the least size of the practice"


def _drop(project: Project, settled: Settled, run: Run) -> Iterator[Finding]:
    if run.cumulative_percent is None or run.limit_percent is None or run.cranking:
        return
    if run.cumulative_percent > run.limit_percent * (1 + 1e-9):
        owner = settled.sized[run.key].segment.owner
        found, limit = run.cumulative_percent, run.limit_percent
        text = f"{run.name}: drop from the source and back is {found:.2f} %, limit {limit:g} %"
        yield project.finding(
            "wire 7",
            owner,
            text,
            measured=run.cumulative_percent,
            limit=run.limit_percent,
            unit="%",
            remedy="thicken the feeders before it, shorten the run or move the load",
        )


def _heat(declared: Declared, plan: SizedSegment) -> Iterator[Finding]:
    limit = HOT_LIMIT_C[declared.practice]
    for key in plan.route or ():
        way = declared.project.wireways.get(key)
        if way is not None and way.temperature is not None and way.temperature > limit:
            text = f"{plan.segment.name}: wireway {key} is at {way.temperature:g} °C; the factor holds to {limit:g} °C"
            yield declared.project.finding(
                "wire 33",
                plan.segment.owner,
                text,
                measured=way.temperature,
                limit=limit,
                unit="°C",
                related=(f"wireways.{key}",),
                remedy="choose a cooler way",
            )
