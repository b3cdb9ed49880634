"""Protective earth and bonding: as thick as their rule asks; DC negative joined to earth only where that is said."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.wiring.sizing.earth_sizes import earth_need_mm2

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.findings import Finding
    from layout.wiring.circuits.segments import WireSegment
    from layout.wiring.declared import Declared
    from layout.wiring.settled import Settled


def earth_findings(declared: Declared, settled: Settled) -> Iterator[Finding]:
    """Yield what is wrong with each conductor that earths or bonds."""
    for plan in settled.sized.values():
        segment = plan.segment
        if not segment.is_earth:
            continue
        need = earth_need_mm2(settled.sized, segment)
        if plan.size is not None and need is not None and plan.size.area_mm2 < need - 1e-9:
            what = "a bonding conductor" if segment.leads[0].pole == "bond" else "a protective conductor by itself"
            text = f"{segment.name}: {plan.size} is too thin for {what}; at least {need:.3g} mm²"
            yield declared.project.finding(
                "wire 70",
                segment.owner,
                text,
                measured=plan.size.area_mm2,
                limit=need,
                unit="mm²",
                remedy="take the next thicker size, or leave size: out",
            )
        yield from _negative(declared, segment)


def _negative(declared: Declared, segment: WireSegment) -> Iterator[Finding]:
    """Yield a bond to the DC negative where that is to be insulated: said so, or a metal hull and nothing said."""
    boat = declared.project.boat
    insulated = boat.dc_negative == "insulated" or (boat.dc_negative is None and boat.hull == "metal")
    if not insulated or not any(_is_negative(declared, end) for end in (segment.start, segment.end)):
        return
    why = "dc_negative is insulated" if boat.dc_negative else "on a metal hull both DC poles stay insulated"
    yield declared.project.finding(
        "wire 71",
        segment.owner,
        f"{segment.name} joins the DC negative to earth, but {why}",
        remedy="take the bond out; or say boat.dc_negative: earthed, if its negative is meant to be earthed there",
    )


def _is_negative(declared: Declared, end: str) -> bool:
    """Tell whether an end of a bond lies on a DC negative."""
    owner = declared.ends.owner(end)
    bar = declared.project.bus_bars.get(owner)
    if bar is not None:
        return bar.pole == "-"
    supply, panel = declared.project.supplies.get(owner), declared.project.breaker_panels.get(owner)
    return (supply is not None and not supply.is_ac) or (panel is not None and not panel.ac)
