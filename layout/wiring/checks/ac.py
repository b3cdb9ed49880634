"""What AC asks beside the laws: changeover, neutral-earth bond, isolation, polarity. Errors, not cautions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.wiring.checks.common import about
from layout.wiring.circuits.supply_graph import root_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.findings import Finding
    from layout.project.model.project import Project
    from layout.project.model.supplies import Supply
    from layout.wiring.circuits.supply_graph import SourceInState
    from layout.wiring.sizing.circuitry import Case


def ac_findings(case: Case) -> Iterator[Finding]:
    """Yield what is wrong on the AC side; nothing where there is none."""
    sources = {key: supply for key, supply in case.project.supplies.items() if supply.is_ac}
    if sources:
        yield from _meeting(case, sources)
        yield from _bonds(case, sources)
        yield from _shore(case, sources)


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
            bonds = _bonds_in(case.project, one, sources)
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


def _bonds_in(project: Project, one: SourceInState, sources: dict[str, Supply]) -> int:
    bonded = [key for key, supply in sources.items() if supply.neutral_bond]
    return sum(key == one.source or root_of(project, key, "N") in one.back for key in bonded)


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
