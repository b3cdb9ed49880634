"""Runs gathered by circuit, in the order of the panels' ways: feed, legs and return together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.handover.lists.wires.run_words import BACK
from layout.light_dataclass import dataclass
from layout.wiring.circuits.ends import LIVE

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.project.model.project import Project
    from layout.wiring.result import Run, WayUse, Wiring


@dataclass(frozen=True, slots=True, kw_only=True)
class Gathered:
    """The runs of one circuit, or of all feeders.

    Attributes
    ----------
    title
        The circuit's name; what else the group is.
    way
        The way that feeds it; None where it is fed from a bar or a supply, or is no circuit.
    """

    title: str
    runs: tuple[Run, ...]
    way: WayUse | None = None


def by_circuit(project: Project, wiring: Wiring) -> tuple[Gathered, ...]:
    """Return every run once: feeders, circuits by panel and way, those fed otherwise, then data and antenna leads."""
    runs: dict[str, list[Run]] = {}
    for run in wiring.runs:
        runs.setdefault(f"{run.owner_kind} {run.owner}", []).append(run)
    feeders = tuple(run for run in wiring.runs if run.owner_kind == "feeder")
    found: list[Gathered] = [Gathered(title="Supplies, switches and bars", runs=feeders)] if feeders else []
    done: set[str] = set()
    for way in _ways(project, wiring):
        own = runs.get(f"circuit {way.circuit}")
        if own and way.circuit not in done:
            done.add(str(way.circuit))
            found.append(Gathered(title=_name(project, own[0]), runs=_in_part_order(own), way=way))
    for key, own in runs.items():
        kind, _, owner = key.partition(" ")
        if kind == "circuit" and owner not in done:
            found.append(Gathered(title=_name(project, own[0]), runs=_in_part_order(own)))
    links = tuple(run for run in wiring.runs if run.owner_kind not in ("feeder", "circuit"))
    return (*found, Gathered(title="Data and antenna leads", runs=links)) if links else tuple(found)


def _ways(project: Project, wiring: Wiring) -> Iterator[WayUse]:
    """Yield the ways in the order of panels and their ways as they are declared."""
    used = {(way.panel, way.way): way for way in wiring.ways}
    for panel in project.breaker_panels.values():
        for way in panel.ways:
            if (panel.id, way) in used:
                yield used[panel.id, way]


def _in_part_order(runs: list[Run]) -> tuple[Run, ...]:
    """Return feeds in the file's order, then returns, then the rest."""

    def rank(run: Run) -> int:
        poles = {wire.pole for wire in run.wires}
        return 0 if poles & LIVE or not poles else 1 if poles & BACK else 2

    return tuple(sorted(runs, key=rank))


def _name(project: Project, run: Run) -> str:
    circuit = project.circuits.get(run.owner)
    return (circuit.name if circuit else "") or run.owner
