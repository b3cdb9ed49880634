"""One situation: what each circuit uses in a day, what that draws from which bank, hour by hour.

A use takes ``power x hours x duty`` at the load, and its standby current in the rest of the day. Through a converter
the bank gives ``energy / efficiency``, and the converter's own standby on top.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.energy.bank_of_circuit import (
    PASSING,
    behind_of,
    chain_of,
    conversion_of,
    factor_of,
    feeds_converter,
    working_w,
)
from layout.energy.day import HOURS, hours_of, may_run, running
from layout.findings import Finding
from layout.findings.finding import Place
from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass, field

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.energy.bank_of_circuit import EnergyChain
    from layout.energy.day import Profile
    from layout.project.model.energy import Situation, Use
    from layout.project.model.project import Project


@dataclass(frozen=True, slots=True, kw_only=True)
class UseRow:
    """One circuit in a situation.

    Attributes
    ----------
    system, system_name, bank, through
        Supply it hangs on and its name, bank behind it (None: shore or generator), converters passed.
    hours, duty, power_w
        Power is None where it is not known.
    load_wh, bank_wh
        Energy a day at the load, and what the bank gives for it; None where not known.
    by_hour_w
        Average power at the load in each hour of the day.
    peak_w
        Power it may draw in each hour in the worst case.
    """

    circuit: str
    name: str
    system: str
    system_name: str
    bank: str | None
    through: tuple[str, ...]
    hours: float
    duty: float
    power_w: float | None
    standby_w: float
    load_wh: float | None
    bank_wh: float | None
    by_hour_w: Profile = field(repr=False)
    peak_w: Profile = field(repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class ConversionRow:
    """One converter in a situation; figures are None where not known.

    ``out_wh`` is what its loads take, ``in_wh`` what it takes from its source with its own standby, and
    ``standby_bank_wh`` what the bank gives for that standby.
    """

    id: str
    name: str
    bank: str | None
    efficiency: float | None
    out_wh: float | None
    standby_wh: float | None
    in_wh: float | None
    standby_bank_wh: float | None
    peak_w: float | None
    rating_w: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class DayUse:
    """What a situation uses.

    Attributes
    ----------
    drawn_wh
        By bank: energy a day; None where a part is not known.
    known_wh
        By bank: the part of it that is known, so that the rest can be told from nothing.
    by_hour_w
        By bank and system: average power drawn from the bank in each hour (known parts).
    """

    uses: tuple[UseRow, ...]
    conversions: tuple[ConversionRow, ...]
    drawn_wh: Mapping[str, float | None]
    known_wh: Mapping[str, float]
    by_hour_w: Mapping[str, Mapping[str, Profile]]
    findings: tuple[Finding, ...]


def day_use(project: Project, situation: Situation) -> DayUse:
    """Return what a situation uses by circuit, converter and bank, with its findings (day 1-003, 005, 008, 011)."""
    found: list[Finding] = []
    rows: list[UseRow] = []
    left_out: set[str] = set()
    for id_ in project.circuits:
        if project.circuits[id_].is_removed or feeds_converter(project, id_) is not None:
            continue
        if id_ in situation.off:
            continue
        chain, use = chain_of(project, id_), situation.uses.get(id_)
        if chain is None:
            found.append(_no_supply(situation, project, id_))
            continue
        if use is None:
            found.append(_not_listed(situation, project, id_))
            if chain.bank is not None:
                left_out.add(chain.bank)
            continue
        row = _row(project, id_, use, chain)
        rows.append(row)
        if row.power_w is None and row.hours > 0:
            found.append(_unknown_load(situation, project, id_))
    conversions = _conversions(project, rows)
    found += [finding for row in conversions for finding in _conversion_findings(situation, row)]
    drawn, known, by_hour = _by_bank(project, rows, conversions, left_out)
    return DayUse(
        uses=tuple(rows),
        conversions=conversions,
        drawn_wh=FrozenMap(drawn),
        known_wh=FrozenMap(known),
        by_hour_w=FrozenMap({bank: FrozenMap(systems) for bank, systems in by_hour.items()}),
        findings=tuple(found),
    )


def _row(project: Project, id_: str, use: Use, chain: EnergyChain) -> UseRow:
    volts = project.supplies[chain.system].voltage
    power = use.power if use.power is not None else use.current * volts if use.current is not None else None
    if power is None:
        power = working_w(project, id_, chain.system)
    profile = running(use.hours, use.between)
    hours = hours_of(profile)
    standby = (use.standby or 0.0) * volts
    works = (power or 0.0) * use.duty
    by_hour = tuple(share * works + (1 - share) * standby for share in profile)
    known = power is not None or hours == 0
    load = sum(by_hour) if known else None
    factor = factor_of(project, chain.converters)
    peak = tuple((power or 0.0) * on for on in may_run(use.hours, use.between))
    return UseRow(
        circuit=id_,
        name=project.circuits[id_].name or id_,
        system=chain.system,
        system_name=project.supplies[chain.system].name or chain.system,
        bank=chain.bank,
        through=chain.converters,
        hours=hours,
        duty=use.duty,
        power_w=power,
        standby_w=standby,
        load_wh=load,
        bank_wh=load * factor if load is not None and factor is not None and chain.bank is not None else None,
        by_hour_w=by_hour,
        peak_w=peak,
    )


def _conversions(project: Project, rows: list[UseRow]) -> tuple[ConversionRow, ...]:
    """Return every converter and inverter, used or not: its standby goes on all the same."""
    found: list[ConversionRow] = []
    for id_ in [key for key, supply in project.supplies.items() if supply.kind in PASSING]:
        known, chain = conversion_of(project, id_), behind_of(project, id_)
        users = [row for row in rows if id_ in row.through]
        energies = [_leaving(project, row, id_) for row in users]
        out = None if any(energy is None for energy in energies) else sum(energy or 0.0 for energy in energies)
        standby = None if known.standby is None else known.standby * known.standby_hours
        taken = None
        if out is not None and standby is not None and known.efficiency:
            taken = out / known.efficiency + standby
        further = factor_of(project, chain.converters) if chain is not None else None
        unknown = any(row.power_w is None and row.hours > 0 for row in users)
        found.append(
            ConversionRow(
                id=id_,
                name=known.name,
                bank=chain.bank if chain is not None else None,
                efficiency=known.efficiency,
                out_wh=out,
                standby_wh=standby,
                in_wh=taken,
                standby_bank_wh=None if standby is None or further is None else standby * further,
                peak_w=None if unknown else max(sum(row.peak_w[hour] for row in users) for hour in range(HOURS)),
                rating_w=known.rating,
            )
        )
    return tuple(found)


def _leaving(project: Project, row: UseRow, converter: str) -> float | None:
    """Return the energy of a use where it leaves a converter: through those that stand nearer to the load."""
    nearer = factor_of(project, row.through[: row.through.index(converter)])
    return None if row.load_wh is None or nearer is None else row.load_wh * nearer


def _by_bank(
    project: Project, rows: list[UseRow], conversions: tuple[ConversionRow, ...], left_out: set[str]
) -> tuple[dict[str, float | None], dict[str, float], dict[str, dict[str, Profile]]]:
    drawn: dict[str, float | None] = {}
    known: dict[str, float] = {}
    by_hour: dict[str, dict[str, Profile]] = {}
    for bank in [id_ for id_, supply in project.supplies.items() if supply.kind == "battery"]:
        mine = [row for row in rows if row.bank == bank]
        own = [row for row in conversions if row.bank == bank]
        parts = [*(row.bank_wh for row in mine), *(row.standby_bank_wh for row in own)]
        known[bank] = sum(part or 0.0 for part in parts)
        drawn[bank] = known[bank] if bank not in left_out and None not in parts else None
        systems: dict[str, Profile] = {}
        for row in mine:
            if row.bank_wh is not None:
                factor = row.bank_wh / row.load_wh if row.load_wh else 1.0
                _add(systems, row.system, tuple(factor * watts for watts in row.by_hour_w))
        for converter in own:
            _add(systems, converter.id, ((converter.standby_bank_wh or 0.0) / HOURS,) * HOURS)
        by_hour[bank] = systems
    return drawn, known, by_hour


def _add(systems: dict[str, Profile], system: str, more: Profile) -> None:
    before = systems.get(system, (0.0,) * HOURS)
    systems[system] = tuple(one + other for one, other in zip(before, more, strict=True))


def _at(situation: Situation, *more: str) -> Place:
    return Place(key=".".join(("energy.situations", situation.id, *more)))


def _words(project: Project, circuit: str) -> str:
    return project.circuits[circuit].name or circuit


def _no_supply(situation: Situation, project: Project, circuit: str) -> Finding:
    return Finding(
        rule="day 11",
        message=f"{_words(project, circuit)} has no supply behind it: its energy {_in(situation)} comes from nowhere",
        at=Place(key=f"circuits.{circuit}"),
        remedy="join its distribution panel or bar to a supply with a feeder",
        subjects=(f"circuits.{circuit}", "energy"),
    )


def _not_listed(situation: Situation, project: Project, circuit: str) -> Finding:
    return Finding(
        rule="day 1",
        message=f"{_words(project, circuit)} is not listed {_in(situation)}",
        at=_at(situation),
        remedy=f"write {circuit} in uses with its hours, or in off",
        subjects=(f"circuits.{circuit}", "energy"),
    )


def _unknown_load(situation: Situation, project: Project, circuit: str) -> Finding:
    return Finding(
        rule="day 2",
        message=f"{_words(project, circuit)} runs {_in(situation)}, but what it draws is not known",
        at=_at(situation, "uses", circuit),
        remedy="write load: of the circuit with current or power, or current: of the use",
        subjects=(f"circuits.{circuit}", "energy"),
    )


def _in(situation: Situation) -> str:
    return f"in situation {situation.name or situation.id}"


def _conversion_findings(situation: Situation, row: ConversionRow) -> list[Finding]:
    at, subjects = Place(key=f"energy.conversions.{row.id}"), (f"supplies.{row.id}", "energy")
    found = []
    if not row.efficiency:
        found.append(
            Finding(
                rule="day 3",
                message=f"the efficiency of {row.name} is not known",
                at=at,
                remedy=f"write efficiency: of {row.id} from its paper",
                subjects=subjects,
            )
        )
    if row.standby_wh is None:
        found.append(
            Finding(
                rule="day 16",
                message=f"what {row.name} takes with no load is not known",
                at=at,
                remedy=f"write standby: of {row.id} from its paper; 0 W if it is switched off with its loads",
                subjects=subjects,
            )
        )
    if row.rating_w is None:
        found.append(
            Finding(
                rule="day 8",
                message=f"the rating of {row.name} is not known",
                at=at,
                remedy=f"write rating: of {row.id}",
                subjects=subjects,
            )
        )
    elif row.peak_w is not None and row.peak_w > row.rating_w + 1e-9:
        found.append(
            Finding(
                rule="day 5",
                message=f"{row.name} may have to give {row.peak_w:.0f} W {_in(situation)};"
                f" it is rated {row.rating_w:.0f} W",
                at=at,
                remedy="take a stronger converter, or say in between: which loads never run together",
                measured=row.peak_w,
                limit=row.rating_w,
                unit="W",
                subjects=subjects,
            )
        )
    return found
