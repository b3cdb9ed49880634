"""A whole plan: what was declared, where it stands, and everything that was worked out from it."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING

from layout.handover.books.chapters import chapters
from layout.handover.handed import Work
from layout.handover.lists.revisions import snapshot

if TYPE_CHECKING:
    from layout.energy.balance import EnergySheet
    from layout.findings import Finding
    from layout.network.networks import Networks
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project
    from layout.wiring.result import Wiring


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """Everything worked out for one project.

    Attributes
    ----------
    findings
        Everything found, in order: by reading, placing, the judge, wiring, networks and energy.
    issued
        State of the revision before this one (``state_of``), for the revision list; None if there is none.
    measured
        What the printer's 100 mm bars measured, across and up; None prints at nominal size.
    """

    project: Project
    arrangement: Arrangement | None
    wiring: Wiring
    networks: Networks
    energy: EnergySheet
    findings: tuple[Finding, ...]
    issued: str | None = None
    measured: tuple[float, float] | None = None

    def __repr__(self) -> str:
        return f"<Plan of {self.project.project.name!r}, {len(self.wiring.runs)} runs, {len(self.findings)} findings>"


def work_of(plan: Plan) -> Work:
    """Return what documents are made from."""
    return Work(
        project=plan.project,
        arrangement=plan.arrangement,
        wiring=plan.wiring if plan.wiring.runs else None,
        findings=plan.findings,
        issued=json.loads(plan.issued) if plan.issued else None,
        chapters=chapters(plan.project, plan.networks, plan.energy),
        measured=plan.measured,
    )


def state_of(plan: Plan) -> str:
    """Return what this revision hands over, as JSON text for the register."""
    return json.dumps(snapshot(plan.project, plan.arrangement, plan.wiring), ensure_ascii=False, sort_keys=True)


def labels_of(wiring: Wiring) -> dict[str, str]:
    """Return the label texts of every wire, both ends, by its run and pole."""
    return {
        f"{run.key} {wire.pole}": f"{wire.start.label} | {wire.end.label}" for run in wiring.runs for wire in run.wires
    }


def keys_in_use(wiring: Wiring) -> tuple[str, ...]:
    """Return the register's keys of all wires that the project has, owners and segments."""
    segments = [run.key for run in wiring.runs]
    owners = [key.partition(":")[0] for key in segments]
    return tuple(dict.fromkeys([*owners, *(key if ":" in key else f"{key}:" for key in segments), *segments]))
