"""Findings on wiring: the laws of the electrical system, and what each run, cable and part must meet besides."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.findings import Finding, in_order
from layout.wiring.checks.ac import ac_findings
from layout.wiring.checks.breaking import fault_findings
from layout.wiring.checks.motors import motor_findings
from layout.wiring.checks.old_wires import found_findings
from layout.wiring.checks.protection import protection_findings
from layout.wiring.checks.runs import run_findings
from layout.wiring.checks.supplies import supply_findings
from layout.wiring.checks.surroundings import aboard_findings
from layout.wiring.checks.wireways import wireway_findings
from layout.wiring.laws.all_laws import breaches
from layout.wiring.laws.breach import as_findings
from layout.wiring.sizing.circuitry import system_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.wiring.checks.short_circuits import FaultBook
    from layout.wiring.result import Run, WirewayFill
    from layout.wiring.sizing.circuitry import Case


def all_findings(
    case: Case, runs: Sequence[Run], fills: Sequence[WirewayFill], faults: FaultBook
) -> tuple[Finding, ...]:
    """Return every finding on a case, in their fixed order."""
    return in_order(
        (
            *run_findings(case, runs),
            *supply_findings(case),
            *wireway_findings(case, fills),
            *protection_findings(case, faults),
            *fault_findings(case, faults),
            *motor_findings(case),
            *ac_findings(case),
            *aboard_findings(case, runs),
            *found_findings(case),
            *as_findings(case.project, breaches(system_of(case))),
        )
    )
