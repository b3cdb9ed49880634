"""Findings on wiring and protection: one module a family, each a function from the case to findings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.findings import Finding, in_order

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layout.wiring.case import Case
    from layout.wiring.result import Run, WirewayFill
    from layout.wiring.runs import Ledger


def all_findings(case: Case, runs: Iterable[Run], fills: Iterable[WirewayFill], ledger: Ledger) -> tuple[Finding, ...]:
    """Return every finding on a case, in their fixed order."""
    return in_order(())
