"""What all checks share: making a finding about one entry."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from layout.findings import Finding, Severity
    from layout.wiring.sizing.circuitry import Case


def about(
    case: Case,
    rule: str,
    key: str,
    message: str,
    *,
    remedy: str | None = None,
    measured: float | None = None,
    limit: float | None = None,
    unit: str = "",
    related: tuple[str, ...] = (),
    subjects: tuple[str, ...] = (),
    severity: Severity | None = None,
) -> Finding:
    """Return a finding about the entry at a dotted key; the entry itself is its first subject."""
    return case.project.finding(
        rule,
        key,
        message,
        remedy=remedy,
        measured=measured,
        limit=limit,
        unit=unit,
        related=related,
        subjects=subjects,
        severity=severity,
    )
