"""What AC asks besides: changeover, neutral-earth bond, residual current, poles, isolation. Errors, not cautions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.standards.protection import breaking_capacity_ac_shore
from layout.wiring.checks.common import about

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.findings import Finding
    from layout.project.model.supplies import BreakerPanel, Supply
    from layout.wiring.circuits.segments import Segment
    from layout.wiring.circuits.supply_graph import SourceInState
    from layout.wiring.protection.protective_device import ProtectiveDevice
    from layout.wiring.sizing.circuitry import Case

MOST_RESIDUAL_A = 0.030


def ac_findings(case: Case) -> Iterator[Finding]:
    """Yield what is wrong on the AC side; nothing where there is none."""
    sources = {key: supply for key, supply in case.project.supplies.items() if supply.is_ac}
    if sources:
        yield from _meeting(case, sources)
        yield from _bonds(case, sources)
        yield from _shore(case, sources)
    for key, panel in case.project.breaker_panels.items():
        if panel.ac:
            yield from _panel(case, key, panel, sources)
    yield from _earths(case)


def _meeting(case: Case, sources: dict[str, Supply]) -> Iterator[Finding]:
    """More than one source, and nothing that keeps them apart while it changes over."""
    for key, switch in case.project.battery_switches.items():
        if switch.kind == "changeover" and switch.poles < 2 and _is_ac(case, key):
            text = f"{switch.name or key}: it changes over one pole, so the neutrals of all sources stay joined"
            yield about(
                case,
                "fuse 34",
                f"battery_switches.{key}",
                text,
                remedy="fit one that changes over line and neutral; poles: 2",
            )
        if switch.kind == "changeover" and switch.break_before_make is not True:
            text = f"{switch.name or key}: it is not said to break before it makes"
            yield about(
                case,
                "fuse 30",
                f"battery_switches.{key}",
                text,
                remedy="fit one that does; say break_before_make: true",
            )
    for state in dict.fromkeys(one.state for one in case.supplying):
        here = [one for one in case.supplying if one.state == state and one.source in sources]
        for at, one in enumerate(here):
            for other in here[at + 1 :]:
                if other.live.root in one.live:
                    names = f"{case.ends.name(one.source)} and {case.ends.name(other.source)}"
                    text = f"{names} are joined in state '{state}'"
                    yield about(
                        case,
                        "fuse 30",
                        f"supplies.{one.source}",
                        text,
                        related=(f"supplies.{other.source}",),
                        remedy="put a changeover switch between them that breaks before it makes",
                    )


def _is_ac(case: Case, switch: str) -> bool:
    return any(s.ac and switch in (case.ends.owner(s.start), case.ends.owner(s.end)) for s in case.segments.values())


def _bonds(case: Case, sources: dict[str, Supply]) -> Iterator[Finding]:
    panels = [f"{key}/in" for key, panel in case.project.breaker_panels.items() if panel.ac]
    for one in case.supplying:
        if one.source not in sources:
            continue
        feeds = any(node in one.live for node in panels)
        supply = sources[one.source]
        name = case.ends.name(one.source)
        if supply.neutral_bond is None:
            text = f"{name}: whether neutral and earth are joined at it is not known"
            yield about(case, "fuse 31", f"supplies.{one.source}", text, remedy="say neutral_bond: true or false")
            continue
        if feeds:
            bonds = _bonds_in(one, sources)
            if bonds != 1:
                text = f"state '{one.state}', fed by {name}: neutral and earth are joined {bonds} times, once is right"
                yield about(
                    case,
                    "fuse 31",
                    f"supplies.{one.source}",
                    text,
                    measured=bonds,
                    limit=1,
                    remedy="join them at the source that feeds, and nowhere else",
                )


def _bonds_in(one: SourceInState, sources: dict[str, Supply]) -> int:
    return sum(
        1 for key, supply in sources.items() if supply.neutral_bond and (key == one.source or f"{key}/N" in one.back)
    )


def _shore(case: Case, sources: dict[str, Supply]) -> Iterator[Finding]:
    for key, supply in sources.items():
        if supply.kind != "shore":
            continue
        name = supply.name or key
        if supply.isolation is None:
            text = (
                f"{name}: neither galvanic isolator nor isolating transformer nor a decision against both is declared"
            )
            yield about(case, "fuse 33", f"supplies.{key}", text, remedy="say isolation:")
        if supply.polarized is None:
            text = f"{name}: whether its plug is polarized is not known"
            yield about(case, "fuse 35", f"supplies.{key}", text, remedy="say polarized: true or false")
        if supply.fault_current is None:
            text = f"{name}: its prospective fault current is not known"
            yield about(case, "fuse 37", f"supplies.{key}", text, remedy="ask the marina, or take 6 kA devices")


def _panel(case: Case, key: str, panel: BreakerPanel, sources: dict[str, Supply]) -> Iterator[Finding]:
    path, name = f"breaker_panels.{key}", panel.name or key
    feeding = [one for one in case.supplying if one.source in sources and f"{key}/in" in one.live]
    before = {one.source: _stands_before(case, one, key) for one in feeding}
    bare = [
        source
        for source, stands in before.items()
        if not any(_saves(r) for r in (panel.main.residual if panel.main else None, *(s.residual_a for s in stands)))
    ]
    unpolarized = [source for source in before if sources[source].polarized is not True]
    for way_id, way in panel.ways.items():
        circuit = next((c for c, w in case.assignment.ways.items() if w == f"{key}/{way_id}"), None)
        if circuit is None:
            continue
        if (bare or not before) and not _saves(way.residual):
            text = f"{name}, way {way_id}: no residual-current device of 30 mA or less before circuit {circuit}"
            if before and len(bare) < len(before):
                text += f" when it is fed by {', '.join(case.ends.name(source) for source in bare)}"
            yield about(
                case,
                "fuse 32",
                f"{path}.ways.{way_id}",
                text,
                subjects=(f"circuits.{circuit}",),
                remedy="put one in the panel's main, in this way or at each source; say residual:",
            )
        if unpolarized and way.poles < 2:
            said = {source: sources[source].polarized for source in unpolarized}
            which = ", ".join(
                f"{case.ends.name(source)} ({'not polarized' if polarized is False else 'not said to be polarized'})"
                for source, polarized in said.items()
            )
            text = f"{name}, way {way_id}: opens one pole, and {which} can feed it"
            yield about(
                case,
                "fuse 34",
                f"{path}.ways.{way_id}.poles",
                text,
                subjects=(f"circuits.{circuit}",),
                remedy="take a double-pole breaker, or say polarized: true where that is so",
            )
    for source, stands in before.items():
        mains = [*([panel.main.poles] if panel.main else []), *(stand.poles for stand in stands)]
        if not any(poles >= 2 for poles in mains):
            text = f"{name}: no double-pole breaker between it and {case.ends.name(source)}"
            yield about(case, "fuse 34", path, text, remedy="give its main, or the breaker at the source, two poles")
    need = breaking_capacity_ac_shore()
    for way_id, way in panel.ways.items():
        if way.breaking_capacity is not None and way.breaking_capacity < need.branch_a and way.circuit:
            text = f"{name}, way {way_id}: breaks {way.breaking_capacity:.0f} A, {need.branch_a:.0f} A are asked"
            yield about(
                case,
                "fuse 8",
                f"{path}.ways.{way_id}",
                text,
                measured=way.breaking_capacity,
                limit=need.branch_a,
                unit="A",
                remedy="take a device of higher breaking capacity",
            )


def _saves(residual_a: float | None) -> bool:
    return residual_a is not None and residual_a <= MOST_RESIDUAL_A + 1e-9


def _stands_before(case: Case, one: SourceInState, panel: str) -> list[ProtectiveDevice]:
    """Return the devices between a source and an AC panel."""
    path = one.live.path(f"{panel}/in") or ()
    return [stand for link in path if (stand := case.feeder_stands.get((link.key, False)))]


def _earths(case: Case) -> Iterator[Finding]:
    by_circuit: dict[str, list[Segment]] = {}
    for segment in case.segments.values():
        for circuit in segment.circuits:
            by_circuit.setdefault(circuit, []).append(segment)
    for key in case.chains:
        mine = by_circuit.get(key, [])
        if any(segment.ac for segment in mine) and not any(lead.pole == "PE" for s in mine for lead in s.leads):
            text = f"{case.project.circuits[key].name or key}: no protective conductor"
            yield about(case, "fuse 36", f"circuits.{key}", text, remedy="add a leg of pole PE")
