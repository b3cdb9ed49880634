"""Wireways: fill, jam, plugs, bends, classes that must not meet, gas."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from layout.standards.conduit import MOST_BEND_DEG, circle_mm2, fill_limit_percent, smallest_bore
from layout.wiring.routing.fill import inner_mm2, tight_plugs

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from layout.findings import Finding
    from layout.project.model.project import Project
    from layout.project.model.wireways import Wireway
    from layout.wiring.declared import Declared
    from layout.wiring.result import WirewayFill


def wireway_findings(declared: Declared, fills: Iterable[WirewayFill]) -> Iterator[Finding]:
    """Yield what is wrong in each wireway that holds a cable."""
    for fill in fills:
        wireway = declared.project.wireways[fill.wireway]
        yield from _gas(declared.project, fill.wireway, wireway)
        if fill.cables:
            yield from _fill(declared, wireway, fill)
            yield from _plugs_not_said(declared, wireway, fill)
            yield from _pulling(declared, wireway, fill)
            yield from _bends(declared, wireway, fill)
            yield from _classes(declared, wireway, fill)


def _subjects(declared: Declared, fill: WirewayFill) -> tuple[str, ...]:
    return tuple(dict.fromkeys(declared.segments[cable.run].owner for cable in fill.cables))


def _fill(declared: Declared, wireway: Wireway, fill: WirewayFill) -> Iterator[Finding]:
    path = f"wireways.{fill.wireway}"
    name = wireway.name or fill.wireway
    fills_up = wireway.kind in ("conduit", "trunk")
    blanks = [cable.number for cable in fill.cables if cable.od_mm is None]
    if fills_up and inner_mm2(wireway) is None:
        text = f"{name}: its inner size is not known, so its fill can't be worked out"
        yield declared.project.finding("wire 16", path, text, remedy="give bore: (conduit) or inner: (trunk)")
    elif fills_up and blanks:
        text = f"{name}: the outer diameter of {', '.join(blanks)} is not known, so its fill can't be worked out"
        yield declared.project.finding(
            "wire 16",
            path,
            text,
            subjects=_subjects(declared, fill),
            remedy="give the diameter under cables: sizes, and size what has none yet",
        )
    if fill.fill_percent is None or fill.limit_percent is None:
        return
    if fill.fill_percent > fill.limit_percent + 1e-9:
        over = fill.fill_percent - fill.limit_percent
        text = f"{name}: {len(fill.cables)} cables fill {fill.fill_percent:.1f} %, limit {fill.limit_percent:g} %"
        yield declared.project.finding(
            "wire 14",
            path,
            f"{text}; {over:.1f} % too much",
            measured=fill.fill_percent,
            limit=fill.limit_percent,
            unit="%",
            subjects=_subjects(declared, fill),
            remedy=_way_out(wireway, fill),
        )
    if fill.jam:
        od = fill.cables[0].od_mm or 0.0
        text = f"{name}: three equal cables of {od:g} mm in a bore of {wireway.bore or 0:g} mm can jam"
        yield declared.project.finding(
            "wire 15", path, text, remedy="pull a fourth cable or a filler, or take another bore"
        )


def _way_out(wireway: Wireway, fill: WirewayFill) -> str:
    """Return the cheapest way out: the thinnest cables that would have to leave, or the bore that would do."""
    inner = inner_mm2(wireway) or 0.0
    area = fill.area_mm2 or 0.0
    gone: list[str] = []
    rest = sorted(fill.cables, key=lambda cable: (-(cable.od_mm or 0.0), cable.number))
    while rest and area > inner * min(fill_limit_percent(len(rest)), fill.limit_percent or 100) / 100 + 1e-9:
        cable = rest.pop(0)
        gone.append(cable.number)
        area -= circle_mm2(cable.od_mm or 0.0)
    need = math.sqrt((fill.area_mm2 or 0.0) / circle_mm2(1.0) / ((fill.limit_percent or 40) / 100))
    bought = smallest_bore("rigid PVC", fill.area_mm2 or 0.0, len(fill.cables))
    wider = f"a bore of at least {need:.1f} mm" + (f" ({bought.trade} rigid PVC)" if bought else "")
    return f"move {', '.join(gone)} to another way, or take {wider}"


def _pulling(declared: Declared, wireway: Wireway, fill: WirewayFill) -> Iterator[Finding]:
    for tight in tight_plugs(wireway, fill.cables):
        name = wireway.name or fill.wireway
        text = f"{name}: the plug of {tight.cable.number} needs {tight.needs_mm:.1f} mm, {tight.has_mm:.1f} mm are left"
        yield declared.project.finding(
            "wire 17",
            f"wireways.{fill.wireway}",
            text,
            measured=tight.needs_mm,
            limit=tight.has_mm,
            unit="mm",
            subjects=(declared.segments[tight.cable.run].owner,),
            remedy="pull it first, fit the plug afterwards, or take a wider way",
        )


def _plugs_not_said(declared: Declared, wireway: Wireway, fill: WirewayFill) -> Iterator[Finding]:
    """Yield cables that are bought made up, with plugs of which nobody knows whether they pass."""
    if wireway.kind not in ("conduit", "trunk"):
        return
    made_up = [cable for cable in fill.cables if cable.plug_mm is None and not cable.lies_already]
    made_up = [cable for cable in made_up if _is_made_up(declared.project, declared.segments[cable.run].owner)]
    if made_up:
        name = wireway.name or fill.wireway
        yield declared.project.finding(
            "wire 75",
            f"wireways.{fill.wireway}",
            f"{name}: {', '.join(cable.number for cable in made_up)} come made up, and how thick their plugs are is "
            "not known, so whether they pass is open",
            subjects=tuple(dict.fromkeys(declared.segments[cable.run].owner for cable in made_up)),
            remedy="measure a plug and say plug: at the network, or leave stock out where plugs are fitted afterwards",
        )


def _is_made_up(project: Project, owner: str) -> bool:
    section, _, key = owner.partition(".")
    bus = project.networks.get(key) if section == "networks" else None
    return bus is not None and bool(bus.stock)


def _bends(declared: Declared, wireway: Wireway, fill: WirewayFill) -> Iterator[Finding]:
    path = f"wireways.{fill.wireway}"
    name = wireway.name or fill.wireway
    if wireway.bends is not None and wireway.bends > MOST_BEND_DEG:
        text = f"{name}: {wireway.bends:g}° of bends between pull points, at most {MOST_BEND_DEG:g}°"
        yield declared.project.finding(
            "wire 19",
            path,
            text,
            measured=wireway.bends,
            limit=MOST_BEND_DEG,
            unit="°",
            remedy="put a pull box in",
        )
    if wireway.kind == "free" or wireway.bends == 0:
        return
    if wireway.bend_radius is None:
        if wireway.kind == "conduit" and wireway.bends is None:
            text = f"{name}: neither its bends nor their radius is declared"
            yield declared.project.finding("wire 23", path, text, remedy="give bends: and bend_radius:")
        return
    for cable in fill.cables:
        need = cable.bend_radius_mm
        if need is not None and wireway.bend_radius < need - 1e-9:
            text = f"{name}: {cable.number} needs a radius of {need:.0f} mm, the bends have {wireway.bend_radius:g} mm"
            yield declared.project.finding(
                "wire 18",
                path,
                text,
                measured=wireway.bend_radius,
                limit=need,
                unit="mm",
                subjects=(declared.segments[cable.run].owner,),
                remedy="take wider bends or a thinner cable",
            )


def _classes(declared: Declared, wireway: Wireway, fill: WirewayFill) -> Iterator[Finding]:
    classes = sorted({declared.segments[cable.run].run_class for cable in fill.cables})
    power = [one for one in classes if one in ("ac", "dc")]
    name = wireway.name or fill.wireway
    if wireway.compartments or len(classes) < 2:
        return
    if len(power) == 2 or ("ac" in classes):
        text = f"{name}: {' and '.join(classes)} cables lie together without compartments"
        yield declared.project.finding(
            "wire 20",
            f"wireways.{fill.wireway}",
            text,
            subjects=_subjects(declared, fill),
            remedy="give each class its own way, or a trunk with compartments",
        )


def _gas(project: Project, key: str, wireway: Wireway) -> Iterator[Finding]:
    if wireway.kind not in ("conduit", "trunk") or wireway.sealed is True or wireway.aboard == "remove":
        return
    for end in (wireway.from_, wireway.to):
        vapour = project.vapour_at(end)
        if vapour:
            name = project.locations[end].name or end
            text = f"{wireway.name or key}: it opens into {name} ({vapour}) and is not said to be sealed"
            yield project.finding("wire 31", f"wireways.{key}", text, remedy="seal its end there; say sealed: true")
