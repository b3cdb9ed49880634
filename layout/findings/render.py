"""Findings as lines for a terminal and as plain data for programs; rules never print."""

from __future__ import annotations

import textwrap
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from layout.findings.finding import in_order
from layout.findings.table import rule
from layout.languages import in_language

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layout.findings.finding import Finding, Place


INDENT = 7
"""Columns that the lines under a finding's first one stand in from the left, as wide as the severity words need."""


def as_lines(
    findings: Iterable[Finding], *, sources: Mapping[str, str] | None = None, width: int | None = None
) -> list[str]:
    """Render findings for people: what is wrong, where it stands, what to do.

    Parameters
    ----------
    findings
        Any order; they are sorted.
    sources
        Text of each project file by name; where given, the line itself is shown behind its place.
    width
        Columns of the terminal; lines are broken between words to stay within it. None breaks none.
    """
    lines: list[str] = []
    for finding in in_order(findings):
        said = in_language(finding.message)
        lines += broken_lines(f"{finding.weight.value:<{INDENT}}{finding.rule}   {said}", width, first="")
        for text in (*_places(finding, sources or {}), *([in_language(finding.remedy)] if finding.remedy else [])):
            lines += broken_lines(text, width)
    return lines


def _places(finding: Finding, sources: Mapping[str, str]) -> list[str]:
    at = finding.at
    where = f"{at.file}:{at.line}" if at.line else at.file
    lines = _lines(sources.get(at.file, ""))
    said = lines[at.line - 1].strip() if 0 < at.line <= len(lines) else ""
    own = [f"{where}   {said}".rstrip()] if where else []
    return own + [in_language(f"see also {place.file}:{place.line}") for place in finding.related if place.file]


@lru_cache(maxsize=128)
def _lines(text: str) -> list[str]:
    """Return a file's lines; each of many findings in it asks for one."""
    return text.splitlines()


def broken_lines(text: str, width: int | None, *, first: str = " " * INDENT) -> list[str]:
    """Return a text as the lines below a finding's first one, broken at words to stay within ``width`` columns."""
    if width is None:
        return [first + text]
    return textwrap.wrap(
        text, max(width, 3 * INDENT), initial_indent=first, subsequent_indent=" " * INDENT, break_on_hyphens=False
    )


def as_json(findings: Iterable[Finding]) -> list[dict[str, Any]]:
    """Render findings as plain dicts in their fixed order."""
    return [
        {
            "rule": finding.rule,
            "name": rule(finding.rule).name,
            "severity": finding.weight.value,
            "message": in_language(finding.message),
            "at": _place(finding.at),
            "related": [_place(place) for place in finding.related],
            "remedy": finding.remedy and in_language(finding.remedy),
            "measured": finding.measured,
            "limit": finding.limit,
            "unit": finding.unit,
            "subjects": list(finding.subjects),
        }
        for finding in in_order(findings)
    ]


def _place(place: Place) -> dict[str, Any]:
    return {"file": place.file, "line": place.line, "column": place.column, "key": place.key}
