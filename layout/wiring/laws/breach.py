"""What a law hands on: one breach, with the way it was found by."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layout.findings import Finding, Severity
    from layout.project.model.project import Project


@dataclass(frozen=True, slots=True, kw_only=True)
class Breach:
    """One place where the system does not keep a law.

    Attributes
    ----------
    rule
        Code in the table of rules.
    entry
        Dotted key of the entry in the file to which it belongs: the root, not each thing that suffers by it.
    message, remedy
        With names, figures and the switch state; the remedy names a key or a thing to fit.
    way
        Keys of conductors, guards, contacts and nodes along which it was found, in order.
    related, subjects
        Dotted keys of other entries that take part.
    severity
        None takes the severity of the table.
    """

    rule: str
    entry: str
    message: str
    remedy: str
    way: tuple[str, ...] = ()
    related: tuple[str, ...] = ()
    subjects: tuple[str, ...] = ()
    measured: float | None = None
    limit: float | None = None
    unit: str = ""
    severity: Severity | None = None


def as_findings(project: Project, breaches: Iterable[Breach]) -> tuple[Finding, ...]:
    """Return breaches as located findings, in their order, each once."""
    return tuple(
        dict.fromkeys(
            project.finding(
                breach.rule,
                breach.entry,
                breach.message,
                remedy=breach.remedy or None,
                measured=breach.measured,
                limit=breach.limit,
                unit=breach.unit,
                related=breach.related,
                subjects=breach.subjects,
                severity=breach.severity,
            )
            for breach in breaches
        )
    )
