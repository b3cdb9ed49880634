"""Findings as lines for a terminal and as plain data for programs; rules never print."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from layout.findings.finding import in_order
from layout.findings.table import rule

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layout.findings.finding import Finding, Place


def as_lines(findings: Iterable[Finding], *, sources: Mapping[str, str] | None = None) -> list[str]:
    """Render findings for people, one block each.

    Parameters
    ----------
    findings
        Any order; they are sorted.
    sources
        Text of each project file by name; where given, the line itself is shown with a mark under the column.
    """
    lines: list[str] = []
    for finding in in_order(findings):
        where = f"{finding.at}: " if str(finding.at) else ""
        lines.append(f"{where}{finding.weight.value}[{finding.rule}] {finding.message}")
        lines.extend(_shown(finding.at, sources or {}))
        lines.extend(f"  also here: {place}" for place in finding.related if str(place))
        if finding.remedy:
            lines.append(f"  remedy: {finding.remedy}")
    return lines


def as_json(findings: Iterable[Finding]) -> list[dict[str, Any]]:
    """Render findings as plain dicts in their fixed order."""
    return [
        {
            "rule": finding.rule,
            "name": rule(finding.rule).name,
            "severity": finding.weight.value,
            "message": finding.message,
            "at": _place(finding.at),
            "related": [_place(place) for place in finding.related],
            "remedy": finding.remedy,
            "measured": finding.measured,
            "limit": finding.limit,
            "unit": finding.unit,
            "subjects": list(finding.subjects),
        }
        for finding in in_order(findings)
    ]


def _place(place: Place) -> dict[str, Any]:
    return {"file": place.file, "line": place.line, "column": place.column, "key": place.key}


def _shown(at: Place, sources: Mapping[str, str]) -> list[str]:
    lines = sources.get(at.file, "").splitlines()
    if not 0 < at.line <= len(lines):
        return []
    number = f"{at.line:>5} | "
    return [number + lines[at.line - 1].rstrip(), " " * (len(number) + at.column - 1) + "^"]
