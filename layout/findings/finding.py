"""A finding is one located statement about the project; a place is where it stands."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.findings.table import Severity as _Severity
from layout.findings.table import code_order, rule
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable

Severity = _Severity


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A place in a project file; line and column count from 1, key is the dotted path of the entry.

    Line 0 means the file as a whole.
    """

    file: str = ""
    line: int = 0
    column: int = 0
    key: str = ""

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}" if self.line else self.file


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One statement about the project.

    Attributes
    ----------
    rule
        Code in the table of rules, for example ``"panel 1"``; it gives name, severity and reason.
    message
        What is wrong, with names, measured value and limit; it stands alone.
    at, related
        Where in the project files, and other entries that take part.
    remedy
        What to do about it, where one can be named.
    measured, limit, unit
        The figures behind the message, in ``unit``.
    subjects
        Ids of the things concerned, dotted by kind: ``"devices.radio"``, ``"circuits.bilge"``. Sheets that
        show a subject of an error are overprinted or withheld.
    severity
        Left out, the table's severity counts.
    """

    rule: str
    message: str
    at: Place = Place()
    related: tuple[Place, ...] = ()
    remedy: str | None = None
    measured: float | None = None
    limit: float | None = None
    unit: str = ""
    subjects: tuple[str, ...] = ()
    severity: Severity | None = None

    def __str__(self) -> str:
        return f"{self.weight.value} {self.rule}: {self.message}"

    @property
    def weight(self) -> Severity:
        """Severity that counts: the finding's own, else the one in the table of rules."""
        return self.severity or rule(self.rule).severity


def in_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the findings sorted by severity, file, line, column, code and message, without repeats."""
    return tuple(sorted(dict.fromkeys(findings), key=lambda f: (f.weight.rank, f.at, code_order(f.rule), f.message)))


def has_stops(findings: Iterable[Finding]) -> bool:
    """Tell whether any finding is of severity stop."""
    return any(finding.weight is Severity.STOP for finding in findings)
