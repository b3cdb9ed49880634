"""Ways, feeders, panels and bars: what is taken twice, understated or overloaded."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from layout.findings import Severity
from layout.wiring.sizing.circuit_draws import without_current

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.findings import Finding
    from layout.project.model.project import Project
    from layout.wiring.declared import Declared
    from layout.wiring.loaded import Loaded


def supply_findings(declared: Declared, loaded: Loaded) -> Iterator[Finding]:
    """Yield what is wrong between sources and ways."""
    yield from _ways(declared)
    yield from _feeders(declared, loaded)
    yield from _parallel(declared)
    yield from _bars(declared.project)
    yield from _inputs(declared.project)


def _ways(declared: Declared) -> Iterator[Finding]:
    for clash in declared.assignment.clashes:
        rule = "wire 25" if clash.no_room else "wire 24"
        remedy = "free a way or name one with a higher rating" if clash.no_room else "correct one of the two"
        related = (clash.related,) if clash.related else ()
        yield declared.project.finding(rule, clash.key, clash.text, remedy=remedy, related=related)
    used = set(declared.assignment.ways.values())
    for key, panel in declared.project.breaker_panels.items():
        free = sum(1 for way in panel.ways if f"{key}/{way}" not in used)
        if free < panel.free_ways:
            text = f"{panel.name or key}: {free} ways are free, {panel.free_ways} should be"
            yield declared.project.finding(
                "wire 26",
                f"breaker_panels.{key}",
                text,
                measured=free,
                limit=panel.free_ways,
                remedy="take a panel with more ways, or ask for fewer spares",
            )


def _feeders(declared: Declared, loaded: Loaded) -> Iterator[Finding]:
    seen: dict[str, tuple[str, ...]] = {}
    for key, unknown in loaded.flows.unknown.items():
        seen[key[0]] = tuple(dict.fromkeys((*seen.get(key[0], ()), *unknown)))
    for feeder_key, names in seen.items():
        if names:
            text = f"{declared.segments[feeder_key].name}: the load of {', '.join(names)} is not known"
            yield declared.project.finding("wire 12", feeder_key, text, remedy="find out the loads named")
    for name, feeder in declared.project.feeders.items():
        loads = [amps for one, amps in loaded.flows.load_a.items() if one[0] == f"feeders.{name}" and amps is not None]
        charges = [amps for one, amps in loaded.flows.charge_a.items() if one[0] == f"feeders.{name}"]
        most = max((*loads, *charges), default=0.0)
        if feeder.current is not None and most > feeder.current * 1.005:
            text = f"{feeder.name or name}: {feeder.current:g} A is given, but {most:.1f} A can flow at once"
            yield declared.project.finding(
                "wire 11",
                f"feeders.{name}.current",
                text,
                measured=most,
                limit=feeder.current,
                unit="A",
                remedy="leave current out, so that the sum counts",
            )


def _parallel(declared: Declared) -> Iterator[Finding]:
    feeders = [s for s in declared.segments.values() if s.owner_kind == "feeder"]
    for one, other in combinations(feeders, 2):
        mine = {(lead.pole, frozenset((lead.start_node, lead.end_node))) for lead in one.leads}
        theirs = {(lead.pole, frozenset((lead.start_node, lead.end_node))) for lead in other.leads}
        if mine & theirs:
            text = f"{one.name} and {other.name} run in parallel between the same terminals"
            yield declared.project.finding(
                "wire 13",
                other.key,
                text,
                related=(one.key,),
                subjects=(one.key,),
                remedy="use one conductor of the size that is needed",
            )


def _bars(project: Project) -> Iterator[Finding]:
    for key, bar in project.bus_bars.items():
        path = f"bus_bars.{key}"
        name = bar.name or key
        if bar.pole in ("+", "-", "L", "N") and bar.covered is not True:
            said = "has no cover" if bar.covered is False else "is not said to have a cover"
            what = "live bar" if bar.pole in ("+", "L") else "bar"
            weight = None if bar.pole in ("+", "L") else Severity.WATCH
            text = f"{name}: the {what} {said}"
            yield project.finding("wire 42", path, text, severity=weight, remedy="fit a cover; say covered: true")
        if bar.pole in ("+", "L") and bar.marked is not True:
            text = f"{name}: its voltage is not marked on it"
            yield project.finding("wire 42", path, text, remedy="mark it; say marked: true")


def _inputs(project: Project) -> Iterator[Finding]:
    for key in without_current(project):
        text = f"{project.supplies[key].name or key}: its largest output is not known"
        yield project.finding("wire 48", f"supplies.{key}", text, remedy="give current: or power: from its paper")
