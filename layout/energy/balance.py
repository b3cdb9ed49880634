"""The energy sheet: every situation with its loads, converters, sources and banks, and the heat behind the panels."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.energy.bank import bank_day, check_bank, facts_of
from layout.energy.heat import heat_behind
from layout.energy.situation import day_use
from layout.energy.source_yields import yields_of
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from layout.energy.bank import BankDay
    from layout.energy.heat import HeatRow
    from layout.energy.situation import DayUse
    from layout.energy.source_yields import YieldRow
    from layout.findings import Finding
    from layout.project.model.project import Project


@dataclass(frozen=True, slots=True, kw_only=True)
class SituationSheet:
    """One situation with everything in it."""

    id: str
    name: str
    use: DayUse
    charging: tuple[YieldRow, ...]
    banks: tuple[BankDay, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class EnergySheet:
    """All situations, in the project's order, and each panel's heat."""

    situations: tuple[SituationSheet, ...]
    heat: tuple[HeatRow, ...]
    findings: tuple[Finding, ...]


def energy_balance(project: Project) -> EnergySheet:
    """Return the energy sheet of a project; empty where it declares no ``energy``."""
    energy = project.energy
    if energy is None:
        return EnergySheet(situations=(), heat=(), findings=())
    found: list[Finding] = []
    sheets: list[SituationSheet] = []
    batteries = [id_ for id_, supply in project.supplies.items() if supply.kind == "battery"]
    for situation in energy.situations.values():
        use = day_use(project, situation)
        yields, unknown = yields_of(project, energy, situation)
        found += [*use.findings, *unknown]
        banks = []
        for battery in batteries:
            facts = facts_of(project, energy, battery)
            day = bank_day(facts, use, yields, wanted_h=situation.autonomy)
            found += check_bank(situation, facts, day, yields)
            if facts.declared or day.known_wh > 0:
                banks.append(day)
        sheets.append(
            SituationSheet(
                id=situation.id, name=situation.name or situation.id, use=use, charging=yields, banks=tuple(banks)
            )
        )
    heat = tuple(heat_behind(project, panel, entry) for panel, entry in energy.heat.items())
    found += [finding for row in heat for finding in row.findings]
    return EnergySheet(situations=tuple(sheets), heat=heat, findings=project.located(found))
