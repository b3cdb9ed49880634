"""Findings for a person at a terminal: all that differ, a few of those that are alike, and the count."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layout.findings import Finding

SHOWN_OF_MANY = 3
MANY = 6
"""From so many findings with the same rule and remedy on, only the first are shown; JSON always has all."""


def told(
    findings: Iterable[Finding], sources: Mapping[str, str] | None = None, *, width: int | None = None
) -> list[str]:
    """Return the lines that tell of findings, most severe first, and a last one that counts them.

    What is wrong with the files themselves is always told in full.
    """
    from layout.findings import area, as_lines, in_order

    ordered = in_order(findings)
    alike = Counter(_kind(finding) for finding in ordered)
    seen: Counter[tuple[str, ...]] = Counter()
    lines: list[str] = []
    for finding in ordered:
        kind = _kind(finding)
        seen[kind] += 1
        many = alike[kind] >= MANY and area(finding.rule) != "file"
        if not many or seen[kind] <= SHOWN_OF_MANY:
            lines += as_lines([finding], sources=sources, width=width)
        if many and seen[kind] == SHOWN_OF_MANY:
            rest = alike[kind] - SHOWN_OF_MANY
            lines.append(f"       and {rest} more of {finding.rule} with the same to do; --json lists all")
    if len(ordered) > 1:
        lines.append(_count(ordered))
    return lines


def _kind(finding: Finding) -> tuple[str, ...]:
    return finding.weight.value, finding.rule, finding.remedy or ""


def _count(findings: Iterable[Finding]) -> str:
    counts = Counter(finding.weight.value for finding in findings)
    words = [f"{counts[word]} {word}" for word in ("stop", "watch", "note")]
    return ", ".join(word for word in words if not word.startswith("0 "))
