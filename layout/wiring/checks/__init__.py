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

    from layout.wiring.declared import Declared
    from layout.wiring.laws.owners_word import OwnersWord
    from layout.wiring.loaded import Loaded
    from layout.wiring.result import Run, WirewayFill
    from layout.wiring.settled import Settled
    from layout.wiring.system.graph import System


def all_findings(
    declared: Declared,
    loaded: Loaded,
    settled: Settled,
    *,
    system: System,
    words: Sequence[OwnersWord],
    runs: Sequence[Run],
    fills: Sequence[WirewayFill],
) -> tuple[Finding, ...]:
    """Return every finding on the wiring of a project, in their fixed order."""
    return in_order(
        (
            *run_findings(declared, settled, runs),
            *limit_cost_findings(declared, loaded, settled),
            *supply_findings(declared, loaded),
            *wireway_findings(declared, fills),
            *protection_findings(declared, loaded, settled),
            *ac_findings(declared),
            *earth_findings(declared, settled),
            *aboard_findings(declared, loaded, settled, runs),
            *found_findings(declared.project),
            *said_end_findings(declared),
            *as_findings(
                declared.project,
                (*breaches(system), *owners_word(words, declared.project, settled.sized.values(), fills)),
            ),
        )
    )
