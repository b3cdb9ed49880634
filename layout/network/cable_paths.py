"""Shortest ways between places for one class of cable, and where a device is reached from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.wiring.routing.loom import loom_mm
from layout.wiring.routing.routes import Router
from layout.wiring.routing.run_lengths import spot, wireway_mm

if TYPE_CHECKING:
    from layout.project.model.project import Project
    from layout.wiring.circuits.ends import Ends


@dataclass(frozen=True, slots=True, kw_only=True)
class CablePath:
    """A way through the wireways: length in mm, places passed (both ends included), ids and lengths of the wireways."""

    length_mm: float
    places: tuple[str, ...]
    wireways: tuple[str, ...]
    legs_mm: tuple[float, ...] = ()

    def between_mm(self, start_mm: float, end_mm: float) -> tuple[str, ...]:
        """Return the wireways that the cable from one distance along the way to another lies in, the last at least."""
        found, at = [], 0.0
        for wireway, leg in zip(self.wireways, self.legs_mm, strict=True):
            if at < end_mm and at + leg > start_mm:
                found.append(wireway)
            at += leg
        return tuple(found) or self.wireways[-1:]


@dataclass(frozen=True)
class Ways:
    """The shortest ways between the places of a project for one class of cable."""

    project: Project
    router: Router
    carries: str

    @property
    def places(self) -> tuple[str, ...]:
        """Every place, in the project's order."""
        return tuple(self.project.locations)

    def between(self, start: str, end: str) -> CablePath | None:
        """Return the shortest way; None where there is none, or none but through a wireway of unknown length."""
        if not {start, end} <= set(self.places):
            return None
        wireways = self.router.shortest(self.carries, start, end)
        if wireways is None:
            return None
        places, legs = [start], []
        for key in wireways:
            wireway = self.project.wireways[key]
            length = wireway_mm(wireway)
            if length is None:
                return None
            legs.append(length)
            places.append(wireway.to if places[-1] == wireway.from_ else wireway.from_)
        return CablePath(length_mm=float(sum(legs)), places=tuple(places), wireways=wireways, legs_mm=tuple(legs))


def ways_for(project: Project, carries: str) -> Ways:
    """Return the ways open to a class of cable (``data``, ``antenna``, ``dc``); what is to be removed is left out."""
    return Ways(project, Router(project), carries)


@dataclass(frozen=True, slots=True, kw_only=True)
class CableReach:
    """Where an owner is reached from: the place, and the length beyond it, mm; None where not known.

    ``moves`` says that the length beyond it swings with a hinged panel.
    """

    location: str | None
    tail_mm: float | None
    moves: bool = False


def reach_of(ends: Ends, owner: str) -> CableReach:
    """Return where a device, distribution panel, supply or bar is reached from.

    Beyond the place come, on a panel, the way from the cable entry along the loom lines and the hinge loop;
    elsewhere the slack at one end. While a device is not placed its way on the panel is not known.
    """
    site = ends.site(owner)
    rules = ends.project.wiring
    if site.panel is None:
        return CableReach(location=site.location, tail_mm=None if site.location is None else rules.slack_ends)
    panel = ends.project.panels[site.panel]
    moves = panel.hinge is not None
    found = spot(ends, owner, "", site)
    if found is None or panel.cable_exit is None:
        return CableReach(location=site.location, tail_mm=None, moves=moves)
    tail = loom_mm(panel.loom, panel.cable_exit.at, found.at) + rules.slack_ends
    return CableReach(location=site.location, tail_mm=tail + (rules.hinge_loop if moves else 0.0), moves=moves)
