"""Findings on wiring: the laws of the electrical system, and what each run, cable and part must meet besides."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.findings import Finding, in_order
from layout.wiring.checks.ac import ac_findings
from layout.wiring.checks.earth import earth_findings
from layout.wiring.checks.limit_costs import limit_cost_findings
from layout.wiring.checks.old_wires import found_findings
from layout.wiring.checks.protection import protection_findings
from layout.wiring.checks.runs import run_findings
from layout.wiring.checks.said_ends import said_end_findings
from layout.wiring.checks.supplies import supply_findings
from layout.wiring.checks.surroundings import aboard_findings
from layout.wiring.checks.wireways import wireway_findings
from layout.wiring.laws.all_laws import breaches
from layout.wiring.laws.breach import as_findings
from layout.wiring.laws.owners_word import owners_word

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.wiring.laws.owners_word import OwnersWord
    from layout.wiring.result import Run, WirewayFill
    from layout.wiring.sizing.circuitry import Case
    from layout.wiring.system.graph import System


def all_findings(
    case: Case, system: System, words: Sequence[OwnersWord], runs: Sequence[Run], fills: Sequence[WirewayFill]
) -> tuple[Finding, ...]:
    """Return every finding on a case, in their fixed order."""
    return in_order(
        (
            *run_findings(case, runs),
            *limit_cost_findings(case),
            *supply_findings(case),
            *wireway_findings(case, fills),
            *protection_findings(case),
            *ac_findings(case),
            *earth_findings(case),
            *aboard_findings(case, runs),
            *found_findings(case),
            *said_end_findings(case),
            *as_findings(
                case.project, (*breaches(system), *owners_word(words, case.project, case.plans.values(), fills))
            ),
        )
    )
