"""Length of a run: terminal to cable entry, hinge loop, wireways, to the other end, and slack."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.wiring.result import Length
from layout.wiring.routing.loom import loom_mm

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.project.model.device import Device
    from layout.project.model.wireways import Wireway
    from layout.wiring.circuits.ends import Ends, Site
    from layout.wiring.circuits.segments import Lead, WireSegment

_Point = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class TerminalSpot:
    """A terminal on a panel: where it is, and the length to be added there (depth, or half the face if not known)."""

    at: _Point
    extra_mm: float
    guessed: bool


STEP_MM = 10.0
"""Runs are as long as the next whole centimetre."""
UNKNOWN_WAY_MM = 1e8
"""What a wireway of unknown length costs a route: it is taken only where nothing else leads there."""


def wireway_mm(wireway: Wireway) -> float | None:
    """Return a wireway's length, mm; a free run is summed along its points. None is not known."""
    if wireway.length is not None or not wireway.points:
        return wireway.length
    return sum(math.dist(a, b) for a, b in zip(wireway.points, wireway.points[1:], strict=False))


def route_cost_mm(wireway: Wireway) -> float:
    """Return what a wireway counts when ways are compared, mm."""
    found = wireway_mm(wireway)
    return UNKNOWN_WAY_MM if found is None else found


def turned(at: _Point, turn: int) -> _Point:
    """Return a point of a device's own frame turned counter-clockwise by a quarter, half or three quarters."""
    x, y = at
    return {0: (x, y), 90: (-y, x), 180: (-x, -y), 270: (y, -x)}[turn % 360]


def spot(ends: Ends, owner: str, terminal: str, site: Site) -> TerminalSpot | None:
    """Return where a terminal is on its panel; None while its device is not placed.

    A terminal that the device does not declare is taken at the device's centre, with half its face's width and height
    added, so that the wire reaches any corner of it.
    """
    placed = ends.arrangement.placed.get(site.device) if ends.arrangement and site.device else None
    if placed is None or site.device is None:
        return None
    found = ends.declared(owner, terminal)
    if found is None:
        return TerminalSpot(
            at=(placed.x, placed.y), extra_mm=_half_face(ends.project.devices[site.device]), guessed=True
        )
    x, y = turned(found.at, placed.turn)
    return TerminalSpot(at=(placed.x + x, placed.y + y), extra_mm=found.depth or 0.0, guessed=False)


def _half_face(device: Device) -> float:
    if device.face is None:
        return 0.0
    return _half_bounds(device.face)


@lru_cache(maxsize=1024)
def _half_bounds(face: object) -> float:
    box = face.to_path().bounds()  # type: ignore[attr-defined]
    return float(box.width + box.height) / 2


def run_length(ends: Ends, segment: WireSegment, route: Sequence[str] | None) -> Length:
    """Return the length of a segment over a route.

    Parameters
    ----------
    route
        Wireways in order; None where no way was found. Two ends on one panel need none.

    Returns
    -------
    Length
        ``total_mm`` is None where an end or the route is not known. A length given in the project stands as it is. Of
        conductors that are pulled together the longest counts for all.
    """
    if segment.length_mm is not None:
        return Length(total_mm=segment.length_mm, fixed=True)
    first = _places(ends, segment.leads[0])
    together = [lead for lead in segment.leads if _places(ends, lead) == first]
    found = [_of_lead(ends, lead, route) for lead in together]
    return max(found, key=lambda one: math.inf if one.total_mm is None else one.total_mm)


def _places(ends: Ends, lead: Lead) -> tuple[tuple[str | None, str | None], ...]:
    sites = [ends.site(ends.owner(end)) for end in (lead.start, lead.end)]
    return tuple((site.panel, site.location) for site in sites)


def _of_lead(ends: Ends, lead: Lead, route: Sequence[str] | None) -> Length:
    rules = ends.project.wiring
    spots, sites = _both(ends, lead)
    if sites[0].panel is not None and sites[0].panel == sites[1].panel:
        low, high = spots
        if low is None or high is None:
            return Length()
        on_panel = loom_mm(_lines(ends, sites[0]), low.at, high.at)
        return _summed(rules.slack_ends, rules.slack_share, start=low.extra_mm + on_panel, end=high.extra_mm)
    if route is None or (
        not route and sites[0].location == sites[1].location and not any(site.panel for site in sites)
    ):
        return Length()
    parts: list[float] = []
    hinges = 0
    for site, found in zip(sites, spots, strict=True):
        if site.panel is None:
            parts.append(0.0)
            continue
        panel = ends.project.panels[site.panel]
        if found is None or panel.cable_exit is None:
            return Length()
        parts.append(found.extra_mm + loom_mm(_lines(ends, site), found.at, panel.cable_exit.at))
        hinges += panel.hinge is not None
    ways = [wireway_mm(ends.project.wireways[key]) for key in route]
    if None in ways:
        return Length()
    way = sum(one for one in ways if one is not None)
    return _summed(
        rules.slack_ends, rules.slack_share, start=parts[0], end=parts[1], hinge=hinges * rules.hinge_loop, way=way
    )


def _both(ends: Ends, lead: Lead) -> tuple[list[TerminalSpot | None], list[Site]]:
    sites: list[Site] = []
    spots: list[TerminalSpot | None] = []
    for end, incoming in ((lead.start, False), (lead.end, True)):
        owner = ends.owner(end)
        site = ends.site(owner)
        sites.append(site)
        terminal = ends.terminal(end, lead.pole, incoming=incoming)
        spots.append(spot(ends, owner, terminal, site) if site.panel else None)
    return spots, sites


def _lines(ends: Ends, site: Site) -> tuple[tuple[_Point, ...], ...]:
    return ends.project.panels[site.panel or ""].loom


def _summed(
    slack_ends_mm: float, slack_share: float, *, start: float, end: float, hinge: float = 0.0, way: float = 0.0
) -> Length:
    """Return the sum with slack, up to the next whole centimetre: what is printed is what is cut."""
    plain = start + end + hinge + way
    whole = math.ceil((plain + 2 * slack_ends_mm + slack_share * plain) / STEP_MM - 1e-9) * STEP_MM
    return Length(
        start_panel_mm=start,
        end_panel_mm=end,
        hinge_mm=hinge,
        wireways_mm=way,
        slack_mm=whole - plain,
        total_mm=whole,
    )
