"""What each source brings in a situation: energy a day, when, and with what current."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.energy.day import HOURS, hours_of, running
from layout.findings import Finding
from layout.findings.finding import Place
from layout.light_dataclass import dataclass, field

if TYPE_CHECKING:
    from layout.energy.day import Profile
    from layout.project.model.energy import ChargingSource, Energy, Situation
    from layout.project.model.project import Project

DAYLIGHT = ("09:00-15:00",)
"""When the sun is taken to shine where a situation does not say it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class YieldRow:
    """One source in a situation.

    Attributes
    ----------
    bank
        Bank it charges; None where that is not known.
    hours
        Hours it runs; of a yield a day, the hours over which it is spread.
    wh, by_hour_w, current_a
        Energy a day, average power by hour, current while it works at its best; None where not known.
    """

    id: str
    name: str
    kind: str
    bank: str | None
    hours: float
    wh: float | None
    current_a: float | None
    by_hour_w: Profile = field(repr=False)


def yields_of(project: Project, energy: Energy, situation: Situation) -> tuple[tuple[YieldRow, ...], list[Finding]]:
    """Return every source with what it brings in a situation, and what is not known (day 9, day 10)."""
    rows: list[YieldRow] = []
    found: list[Finding] = []
    for id_, entry in energy.charging.items():
        supply = project.supplies.get(entry.supply or id_)
        name = entry.name if entry.name not in ("", id_) else (supply.name if supply is not None else "") or id_
        bank = _bank(project, energy, entry)
        if bank is None:
            found.append(_unknown(id_, name, "does not say which bank it charges", "write bank: with its bank"))
        volts = project.supplies[bank].voltage if bank in project.supplies and bank is not None else None
        run = situation.sources.get(id_)
        if id_ in situation.off:
            rows.append(_row(id_, name, entry, bank, ((0.0,) * HOURS, 0.0, 0.0)))
            continue
        daily = entry.energy_per_day is not None or (entry.kind == "solar" and entry.sun_hours is not None)
        if run is None and not daily:
            found.append(_not_stated(situation, id_, name))
            rows.append(_row(id_, name, entry, bank, ((0.0,) * HOURS, None, None)))
            continue
        between = run.between if run is not None and run.between else DAYLIGHT if entry.kind == "solar" else ()
        profile = running(run.hours if run is not None else None, between) if run is not None or between else ()
        profile = profile or (1.0,) * HOURS
        current = entry.current if entry.current is not None else supply.current if supply is not None else None
        wh, amps = _brings(entry, hours_of(profile), current, volts)
        if wh is None:
            found.append(_unknown(id_, name, *_missing(entry)))
        rows.append(_row(id_, name, entry, bank, (profile, wh, amps)))
    return tuple(rows), found


def _row(
    id_: str, name: str, entry: ChargingSource, bank: str | None, day: tuple[Profile, float | None, float | None]
) -> YieldRow:
    profile, wh, amps = day
    hours = hours_of(profile)
    scale = (wh or 0.0) / hours if hours else 0.0
    return YieldRow(
        id=id_,
        name=name,
        kind=entry.kind,
        bank=bank,
        hours=hours,
        wh=wh,
        current_a=amps,
        by_hour_w=tuple(share * scale for share in profile),
    )


def _bank(project: Project, energy: Energy, entry: ChargingSource) -> str | None:
    """Return the battery that a source charges: as said, or the only one there is."""
    if entry.bank is not None:
        declared = energy.banks.get(entry.bank)
        return (declared.supply or entry.bank) if declared is not None else entry.bank
    batteries = [id_ for id_, supply in project.supplies.items() if supply.kind == "battery"]
    return batteries[0] if len(batteries) == 1 else None


def _brings(
    entry: ChargingSource, hours: float, current_a: float | None, volts: float | None
) -> tuple[float | None, float | None]:
    """Return Wh a day and A while working; the current of a yield a day is what spreads it over its hours."""
    if entry.energy_per_day is not None:
        wh = entry.energy_per_day
        return wh, wh / hours / volts if volts and hours else None
    if entry.kind == "solar":
        if entry.peak is None or entry.sun_hours is None or entry.efficiency is None:
            return None, None
        return entry.peak * entry.sun_hours * entry.efficiency, entry.peak * entry.efficiency / volts if volts else None
    if current_a is None or volts is None:
        return None, None
    amps = current_a * (entry.efficiency if entry.efficiency is not None else 1.0)
    return amps * volts * hours, amps


def _missing(entry: ChargingSource) -> tuple[str, str]:
    if entry.kind == "solar":
        return "has no full figures", "write energy_per_day, or peak, sun_hours and efficiency"
    if entry.kind == "other":
        return "has no figures", "write energy_per_day"
    return "has no current", "write current: of the yield or of its supply"


def _unknown(id_: str, name: str, what: str, remedy: str) -> Finding:
    return Finding(
        rule="day 9",
        message=f"source {name} {what}",
        at=Place(key=f"energy.charging.{id_}"),
        remedy=remedy,
        subjects=("energy",),
    )


def _not_stated(situation: Situation, id_: str, name: str) -> Finding:
    return Finding(
        rule="day 10",
        message=f"situation {situation.name or situation.id} does not say how long {name} works",
        at=Place(key=f"energy.situations.{situation.id}"),
        remedy=f"write {id_} in sources with its hours, or in idle",
        subjects=("energy",),
    )
