"""A battery bank through a day: how long it lasts, what the sources bring, how long charging takes.

    usable energy   = capacity x voltage x health x allowed depth of discharge
    autonomy        = usable energy / energy a day
    time to charge  = usable charge / (charge efficiency x (charging current - current drawn meanwhile))

The last part of charging a lead bank goes slower than that; the maker's paper says by how much.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.energy.day import HOURS
from layout.findings import Finding
from layout.findings.finding import Place
from layout.light_dataclass import dataclass, field

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.energy.day import Profile
    from layout.energy.situation import DayUse
    from layout.energy.source_yields import YieldRow
    from layout.project.model.energy import Bank, Energy, Situation
    from layout.project.model.project import Project

LEAD_DEPTH = 0.5
"""Allowed depth of discharge above which a lead bank ages fast (common practice, no single source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BankFacts:
    """What is known about a bank, from ``energy`` and its supply; None where not known."""

    id: str
    name: str
    key: str
    capacity_ah: float | None
    voltage_v: float
    usable: float | None
    health: float
    autonomy_h: float | None
    charge_efficiency: float | None
    largest_charge_a: float | None
    lead: bool
    declared: bool

    @property
    def usable_ah(self) -> float | None:
        """Charge between full and the allowed depth."""
        if self.capacity_ah is None or self.usable is None:
            return None
        return self.capacity_ah * self.health * self.usable


@dataclass(frozen=True, slots=True, kw_only=True)
class Charging:
    """Charging from the allowed depth by one source, or by all together (``source`` empty); hours None: never."""

    source: str
    name: str
    current_a: float
    hours: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BankDay:
    """One bank in one situation; figures are None where a part of them is not known.

    Attributes
    ----------
    drawn_wh, known_wh
        Energy a day it gives, and the part of that which is known.
    brought_wh, net_wh
        What the sources bring a day, and what the day leaves after charge efficiency.
    usable_wh, autonomy_h, wanted_h
        Usable energy, how long that lasts with no source, and how long it should.
    days_left
        Days until the allowed depth with the sources working; None if it lasts for good.
    charging
        Each running source, then all together.
    state, lowest_state
        Share of charge at the end of each hour of a day that starts full at midnight, empty where not known; and the
        share that the allowed depth leaves.
    """

    id: str
    name: str
    drawn_wh: float | None
    known_wh: float
    brought_wh: float | None
    net_wh: float | None
    usable_wh: float | None
    autonomy_h: float | None
    wanted_h: float | None
    days_left: float | None
    charging: tuple[Charging, ...]
    lowest_state: float | None
    state: Profile = field(repr=False)


def facts_of(project: Project, energy: Energy, supply_id: str) -> BankFacts:
    """Return what is known about a bank."""
    supply = project.supplies[supply_id]
    key, entry = next(((k, e) for k, e in energy.banks.items() if (e.supply or k) == supply_id), (supply_id, None))

    def said(name: str) -> float | None:
        value: float | None = getattr(entry, name) if entry is not None else None
        return value

    capacity, voltage = said("capacity"), said("voltage")
    return BankFacts(
        id=supply_id,
        name=_name(entry, key, supply.name) or supply_id,
        key=key,
        capacity_ah=capacity if capacity is not None else supply.capacity,
        voltage_v=voltage if voltage is not None else supply.voltage,
        usable=said("usable"),
        health=entry.health if entry is not None else 1.0,
        autonomy_h=said("autonomy"),
        charge_efficiency=said("charge_efficiency"),
        largest_charge_a=said("largest_charge"),
        lead=supply.chemistry == "lead",
        declared=entry is not None,
    )


def _name(entry: Bank | None, key: str, supply_name: str) -> str:
    return entry.name if entry is not None and entry.name not in ("", key) else supply_name


def bank_day(facts: BankFacts, use: DayUse, yields: tuple[YieldRow, ...], *, wanted_h: float | None = None) -> BankDay:
    """Return one bank in one situation; ``wanted_h`` is the situation's own autonomy, None for the bank's."""
    drawn, known = use.drawn_wh[facts.id], use.known_wh[facts.id]
    mine = [row for row in yields if row.bank == facts.id]
    brought = None if any(row.wh is None for row in mine) else sum(row.wh or 0.0 for row in mine)
    usable = None if facts.usable_ah is None else facts.usable_ah * facts.voltage_v
    net = None
    if drawn is not None and brought is not None and (facts.charge_efficiency is not None or not brought):
        net = brought * (facts.charge_efficiency or 0.0) - drawn
    autonomy = None if usable is None or not drawn else 24 * usable / drawn
    days = usable / -net if usable is not None and net is not None and net < 0 else None
    return BankDay(
        id=facts.id,
        name=facts.name,
        drawn_wh=drawn,
        known_wh=known,
        brought_wh=brought,
        net_wh=net,
        usable_wh=usable,
        autonomy_h=autonomy,
        wanted_h=facts.autonomy_h if wanted_h is None else wanted_h,
        days_left=days,
        charging=_charging(facts, drawn, mine),
        lowest_state=None if facts.usable is None else 1.0 - facts.usable,
        state=_state(facts, use, mine) if drawn is not None and brought is not None else (),
    )


def charge_hours(usable_ah: float, *, efficiency: float, current_a: float, drawn_a: float) -> float | None:
    """Return the hours to put back a charge while a current is drawn; None if it never fills."""
    surplus = current_a - drawn_a
    return usable_ah / (efficiency * surplus) if surplus > 0 else None


def _charging(facts: BankFacts, drawn_wh: float | None, yields: list[YieldRow]) -> tuple[Charging, ...]:
    if facts.usable_ah is None or facts.charge_efficiency is None or drawn_wh is None:
        return ()
    drawn_a = drawn_wh / 24 / facts.voltage_v
    running = [row for row in yields if row.current_a]
    cases = [(row.id, row.name, row.current_a or 0.0) for row in running]
    if len(cases) > 1:
        cases.append(("", "all together", sum(amps for _, _, amps in cases)))
    found = []
    for source, name, amps in cases:
        held = amps if facts.largest_charge_a is None else min(amps, facts.largest_charge_a + drawn_a)
        hours = charge_hours(facts.usable_ah, efficiency=facts.charge_efficiency, current_a=held, drawn_a=drawn_a)
        found.append(Charging(source=source, name=name, current_a=amps, hours=hours))
    return tuple(found)


def _state(facts: BankFacts, use: DayUse, yields: list[YieldRow]) -> Profile:
    """Return the share of charge at the end of each hour, from full at midnight, never above full."""
    if facts.capacity_ah is None or (yields and facts.charge_efficiency is None):
        return ()
    full = facts.capacity_ah * facts.health * facts.voltage_v
    most = None if facts.largest_charge_a is None else facts.largest_charge_a * facts.voltage_v
    charge, found = full, []
    for hour in range(HOURS):
        load = sum(profile[hour] for profile in use.by_hour_w[facts.id].values())
        surplus = sum(row.by_hour_w[hour] for row in yields) - load
        if surplus > 0:
            surplus = (surplus if most is None else min(surplus, most)) * (facts.charge_efficiency or 0.0)
        charge = max(min(charge + surplus, full), 0.0)
        found.append(charge / full)
    return tuple(found)


def check_bank(
    situation: Situation, facts: BankFacts, day: BankDay, yields: tuple[YieldRow, ...]
) -> tuple[Finding, ...]:
    """Check a bank in a situation (day 4, 006, 007, 012-015)."""
    return tuple(_check(situation, facts, day, [row for row in yields if row.bank == facts.id]))


def _check(situation: Situation, facts: BankFacts, day: BankDay, yields: list[YieldRow]) -> Iterator[Finding]:
    at, subjects = Place(key=f"energy.banks.{facts.key}"), (facts.key, "energy")
    where = f"in situation {situation.name or situation.id}"
    if facts.declared or day.known_wh > 0:
        missing = [word for word, value in (("capacity", facts.capacity_ah), ("usable", facts.usable)) if value is None]
        if missing:
            yield Finding(
                rule="day 6",
                message=f"{facts.name} has no {' and no '.join(missing)}",
                at=at,
                remedy=f"write {' and '.join(missing)}: of the bank",
                subjects=subjects,
            )
    if facts.lead and facts.usable is not None and facts.usable > LEAD_DEPTH + 1e-9:
        yield Finding(
            rule="day 14",
            message=f"{facts.name} is a lead bank discharged by {100 * facts.usable:.0f} %;"
            f" it lasts longest at {100 * LEAD_DEPTH:.0f} % or less",
            at=at,
            measured=100 * facts.usable,
            limit=100 * LEAD_DEPTH,
            unit="%",
            subjects=subjects,
        )
    if day.autonomy_h is not None and day.wanted_h is not None and day.autonomy_h < day.wanted_h - 1e-9:
        needed = (day.drawn_wh or 0.0) / 24 * day.wanted_h / (facts.voltage_v * (facts.usable or 1.0) * facts.health)
        yield Finding(
            rule="day 4",
            message=f"{facts.name} lasts {day.autonomy_h:.1f} h {where}; {day.wanted_h:g} h are wanted",
            at=at,
            remedy=f"take a bank of {needed:.0f} Ah, or use less",
            measured=day.autonomy_h,
            limit=day.wanted_h,
            unit="h",
            subjects=subjects,
        )
    if yields and day.net_wh is not None and day.net_wh < 0:
        lasts = f"; it lasts {day.days_left:.1f} days" if day.days_left is not None else ""
        yield Finding(
            rule="day 7",
            message=f"{facts.name} loses {-day.net_wh:.0f} Wh a day {where}{lasts}",
            at=at,
            remedy="run a source longer, or use less",
            measured=-day.net_wh,
            limit=0.0,
            unit="Wh",
            subjects=subjects,
        )
    yield from _charging_findings(facts, day, yields, where)


def _charging_findings(facts: BankFacts, day: BankDay, yields: list[YieldRow], where: str) -> Iterator[Finding]:
    at, subjects = Place(key=f"energy.banks.{facts.key}"), (facts.key, "energy")
    running = [row for row in yields if row.current_a]
    amps = sum(row.current_a or 0.0 for row in running)
    if running and facts.charge_efficiency is None:
        yield Finding(
            rule="day 15",
            message=f"the charge efficiency of {facts.name} is not known",
            at=at,
            remedy="write charge_efficiency: from its paper",
            subjects=subjects,
        )
    if facts.largest_charge_a is not None and amps > facts.largest_charge_a + 1e-9:
        yield Finding(
            rule="day 12",
            message=f"the sources together charge {facts.name} with {amps:.1f} A {where};"
            f" it takes {facts.largest_charge_a:g} A",
            at=at,
            remedy="set the regulators so that together they stay below it",
            measured=amps,
            limit=facts.largest_charge_a,
            unit="A",
            subjects=subjects,
        )
    if day.charging and day.charging[-1].hours is None:
        yield Finding(
            rule="day 13",
            message=f"{facts.name} never fills {where}: it draws as much as its sources give ({amps:.1f} A)",
            at=at,
            remedy="use less while charging, or add a source",
            measured=amps,
            unit="A",
            subjects=subjects,
        )
