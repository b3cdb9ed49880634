"""The assembler: project and arrangement in, all runs, fills, legends, cut list and findings out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.frozen import FrozenMap
from layout.standards.conduit import power_bend_radius_mm
from layout.wiring.declared import make_declared
from layout.wiring.laws.owners_word import owners_words
from layout.wiring.loaded import make_loaded
from layout.wiring.protection.bought_devices import protectors
from layout.wiring.protection.fault_book import fault_book
from layout.wiring.result import CableIn, WayUse, Wiring
from layout.wiring.routing.fill import fill
from layout.wiring.routing.run_lengths import spot, wireway_mm
from layout.wiring.schedule.cut_lengths import DEFAULT_REEL_MM, ToCut, cut_list
from layout.wiring.schedule.notes import footnotes, note_keys
from layout.wiring.schedule.numbering import assign_numbers
from layout.wiring.schedule.runs import Ledger, make_run
from layout.wiring.schedule.studs import stud_spots, stud_uses
from layout.wiring.schedule.wire_colours import AS_CABLE
from layout.wiring.settled import laid_system, make_settled
from layout.wiring.sizing.feeder_flows import feeder_load
from layout.wiring.system.isolation import isolation

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project
    from layout.wiring.circuits.network_segments import NetworkCable
    from layout.wiring.declared import Declared
    from layout.wiring.result import CutList, Run, WirewayFill
    from layout.wiring.settled import Settled
    from layout.wiring.sizing.sized_segment import SizedSegment


def wire(
    project: Project,
    arrangement: Arrangement | None,
    *,
    numbers: Mapping[str, int] | None = None,
    network_cables: tuple[NetworkCable, ...] = (),
) -> Wiring:
    """Work out the whole wiring of a placed project.

    Parameters
    ----------
    project
        As read. What is not known in it gives findings and blanks, never zeros.
    arrangement
        Chosen positions; None leaves every length on a panel unknown.
    numbers
        Wire numbers from the register, by stable key.
    network_cables
        Cables of the planned buses and antenna leads.

    Returns
    -------
    Wiring
        ``numbers`` holds the register's entries and the new ones.

    Raises
    ------
    ValueError
        If the register's numbers clash.
    """
    from layout.wiring.checks import all_findings  # checks look at the result types

    declared = make_declared(project, arrangement, network_cables)
    loaded = make_loaded(declared)
    settled = make_settled(declared, loaded)
    given = assign_numbers(settled.sized, numbers or {})
    spots = stud_spots(declared, settled)
    system = laid_system(declared, loaded, settled)
    faults = fault_book(system)
    ledger = Ledger(
        numbers=given,
        faults=faults,
        studs={key: f"{position} {thread}" for key, (position, thread) in spots.items()},
        stands={first: stand for (_, first), stand in reversed(list(settled.stands.items()))},
    )
    words = owners_words(declared.ends)
    keys = [note_keys(project, plan, words, guessed=_guessed(declared, plan)) for plan in settled.sized.values()]
    by_note, texts = footnotes(keys, words, temperature_c=project.wiring.working_temperature)
    runs = tuple(
        make_run(declared, loaded, settled, plan, ledger, notes=tuple(by_note[key] for key in mine))
        for plan, mine in zip(settled.sized.values(), keys, strict=True)
    )
    number_of = {f"{run.key} {wire.pole}": wire.number for run in runs for wire in run.wires}
    fills = tuple(_fills(declared, settled, runs))
    return Wiring(
        practice=declared.practice.value,
        runs=runs,
        feeders=tuple(
            feeder_load(plan.segment.key, loaded.flows, loaded.flows.load_a)
            for plan in settled.sized.values()
            if plan.segment.owner_kind == "feeder" and not plan.segment.is_earth and not plan.segment.tail_of
        ),
        wireways=fills,
        ways=tuple(_ways(declared, settled)),
        studs=tuple(stud_uses(project, spots, number_of)),
        cut_list=_cut_list(project, runs),
        numbers=FrozenMap(given.taken),
        findings=all_findings(declared, loaded, settled, system=system, words=words, runs=runs, fills=fills),
        footnotes=FrozenMap(texts),
        protectors=protectors(project, settled, faults),
        isolation=isolation(system),
    )


def _guessed(declared: Declared, plan: SizedSegment) -> bool:
    """Tell whether an end's terminal is not declared, so that its spot on the panel is a guess."""
    lead = plan.segment.leads[0]
    if plan.length.fixed:
        return False
    for end, incoming, site in ((lead.start, False, plan.sites[0]), (lead.end, True, plan.sites[1])):
        owner = declared.ends.owner(end)
        terminal = declared.ends.terminal(end, lead.pole, incoming=incoming)
        found = spot(declared.ends, owner, terminal, site) if site.panel else None
        if found is not None and found.guessed:
            return True
    return False


def _fills(declared: Declared, settled: Settled, runs: Iterable[Run]) -> Iterable[WirewayFill]:
    inside: dict[str, list[CableIn]] = {}
    for run in runs:
        plug, bend = _plug(declared, run), _bend_radius_mm(declared, run)
        for key in run.route:
            inside.setdefault(key, []).extend(
                CableIn(
                    run=run.key,
                    number=number,
                    od_mm=run.od_mm,
                    plug_mm=plug,
                    bend_radius_mm=bend,
                    lies_already=run.aboard == "keep",
                )
                for number in cable_numbers(run)
            )
    for key, wireway in declared.project.wireways.items():
        if wireway.aboard != "remove":
            count = settled.bundles.get(("wireway", key), 0)
            yield fill(key, wireway, wireway_mm(wireway), inside.get(key, ()), count)


def cable_numbers(run: Run) -> list[str]:
    """Return the number of each cable of a run: of the cable as a whole, or of each single core."""
    return [run.number] if run.cores > 1 else [wire.number for wire in run.wires]


def _bend_radius_mm(declared: Declared, run: Run) -> float | None:
    """Return the least bend radius: the kind's own factor, or that of power cables on board (IEC 60092-352)."""
    laid = declared.segments[run.key].laid
    if laid is not None or run.od_mm is None:
        return laid.bend_radius_mm if laid is not None else None
    kind = declared.project.cables.get(run.cable) if run.cable else None
    if kind is None or kind.bend_radius is None:
        return power_bend_radius_mm(run.od_mm)
    return kind.bend_radius * run.od_mm


def _plug(declared: Declared, run: Run) -> float | None:
    """Return the plug that stays on the cable while it is pulled; None where it can be taken off."""
    laid = declared.segments[run.key].laid
    if laid is not None:
        return laid.plug_mm
    kind = declared.project.cables.get(run.cable) if run.cable else None
    if kind is None or kind.plug is None or kind.plug_removable:
        return None
    return kind.plug


def _ways(declared: Declared, settled: Settled) -> Iterable[WayUse]:
    by_way = {way: circuit for circuit, way in declared.assignment.ways.items()}
    at_way = {circuit: stand for (circuit, _), stand in settled.stands.items() if stand.from_way}
    for panel_id, panel in declared.project.breaker_panels.items():
        for way_id, way in panel.ways.items():
            circuit = by_way.get(f"{panel_id}/{way_id}")
            stand = at_way.get(circuit) if circuit else None
            design = declared.currents.get(circuit) if circuit else None
            name = declared.project.circuits[circuit].name if circuit else ""
            yield WayUse(
                panel=panel_id,
                way=way_id,
                circuit=circuit,
                name=way.label or name or circuit or ("free" if way.free else ""),
                rating_a=stand.rating_a if stand else way.rating,
                assigned=circuit in declared.assignment.chosen,
                free=way.free or circuit is None,
                current_a=design.current_a if design else None,
            )


def _cut_list(project: Project, runs: Iterable[Run]) -> CutList:
    pieces: list[ToCut] = []
    for run in runs:
        size, length_mm = run.size_words, run.length.total_mm
        if run.aboard == "keep" or run.bought_whole or size is None or length_mm is None:
            continue
        kind = project.cables.get(run.cable) if run.cable else None
        reel = kind.reel if kind and kind.reel else DEFAULT_REEL_MM
        whole = run.cores > 1
        for at, number in enumerate(cable_numbers(run)):
            pieces.append(
                ToCut(
                    number=number,
                    cable=(kind.name if kind else "") or run.cable or "single core",
                    size=size,
                    colour=AS_CABLE if whole else run.wires[at].colour,
                    length_mm=length_mm,
                    reel_mm=reel,
                    copper_mm2=run.size.area_mm2 * (run.cores if whole else 1) if run.size else 0.0,
                )
            )
    return cut_list(pieces)
