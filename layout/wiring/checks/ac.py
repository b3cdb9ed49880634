"""What AC asks beside the laws: changeover, neutral-earth bond, isolation, polarity. Errors, not cautions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.wiring.circuits.supply_graph import root_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.findings import Finding
    from layout.project.model.project import Project
    from layout.project.model.supplies import Supply
    from layout.wiring.circuits.supply_graph import SourceInState
    from layout.wiring.declared import Declared


def ac_findings(declared: Declared) -> Iterator[Finding]:
    """Yield what is wrong on the AC side; nothing where there is none."""
    sources = {key: supply for key, supply in declared.project.supplies.items() if supply.is_ac}
    if sources:
        yield from _meeting(declared, sources)
        yield from _bonds(declared, sources)
        yield from _shore(declared.project, sources)


def _meeting(declared: Declared, sources: dict[str, Supply]) -> Iterator[Finding]:
    """More than one source, and nothing that keeps them apart while it changes over."""
    for key, switch in declared.project.battery_switches.items():
        if switch.kind == "changeover" and switch.poles < 2 and _is_ac(declared, key):
            text = f"{switch.name or key}: it changes over one pole, so the neutrals of all sources stay joined"
            yield declared.project.finding(
                "fuse 34",
                f"battery_switches.{key}",
                text,
                remedy="fit one that changes over line and neutral; poles: 2",
            )
        if switch.kind == "changeover" and switch.break_before_make is not True:
            text = f"{switch.name or key}: it is not said to break before it makes"
            yield declared.project.finding(
                "fuse 30",
                f"battery_switches.{key}",
                text,
                remedy="fit one that does; say break_before_make: true",
            )
    for state in dict.fromkeys(one.state for one in declared.supplying):
        here = [one for one in declared.supplying if one.state == state and one.source in sources]
        for at, one in enumerate(here):
            for other in here[at + 1 :]:
                if other.live.root in one.live:
                    names = f"{declared.ends.name(one.source)} and {declared.ends.name(other.source)}"
                    text = f"{names} are joined in state '{state}'"
                    yield declared.project.finding(
                        "fuse 30",
                        f"supplies.{one.source}",
                        text,
                        related=(f"supplies.{other.source}",),
                        remedy="put a changeover switch between them that breaks before it makes",
                    )


def _is_ac(declared: Declared, switch: str) -> bool:
    return any(
        s.ac and switch in (declared.ends.owner(s.start), declared.ends.owner(s.end))
        for s in declared.segments.values()
    )


def _bonds(declared: Declared, sources: dict[str, Supply]) -> Iterator[Finding]:
    panels = [f"{key}/in" for key, panel in declared.project.breaker_panels.items() if panel.ac]
    for one in declared.supplying:
        if one.source not in sources:
            continue
        feeds = any(node in one.live for node in panels)
        supply = sources[one.source]
        name = declared.ends.name(one.source)
        if supply.neutral_bond is None:
            text = f"{name}: whether neutral and earth are joined at it is not known"
            yield declared.project.finding(
                "fuse 31", f"supplies.{one.source}", text, remedy="say neutral_bond: true or false"
            )
            continue
        if feeds:
            bonds = _bonds_in(declared.project, one, sources)
            if bonds != 1:
                text = f"state '{one.state}', fed by {name}: neutral and earth are joined {bonds} times, once is right"
                yield declared.project.finding(
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


def _shore(project: Project, sources: dict[str, Supply]) -> Iterator[Finding]:
    for key, supply in sources.items():
        if supply.kind != "shore":
            continue
        name = supply.name or key
        if supply.isolation is None:
            text = (
                f"{name}: neither galvanic isolator nor isolating transformer nor a decision against both is declared"
            )
            yield project.finding("fuse 33", f"supplies.{key}", text, remedy="say isolation:")
        if supply.polarized is None:
            text = f"{name}: whether its plug is polarized is not known"
            yield project.finding("fuse 35", f"supplies.{key}", text, remedy="say polarized: true or false")
