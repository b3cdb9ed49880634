"""Findings for a person at a terminal: the same finding of many things is told once, with the list of them."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from layout.findings import Finding

MANY = 3
"""From so many findings with the same rule and remedy on, the first is told and the others are listed."""
LISTED = 12
"""So many are listed by name; JSON and the chapter of findings have all."""


def told(
    findings: Iterable[Finding], sources: Mapping[str, str] | None = None, *, width: int | None = None
) -> list[str]:
    """Return the lines that tell of findings, most severe first, and a last one that counts them.

    What is wrong with the files themselves is always told in full.
    """
    from layout.findings import area, as_lines, in_order

    ordered = in_order(findings)
    alike: dict[tuple[str, ...], list[Finding]] = {}
    for number, finding in enumerate(ordered):
        own = (str(number),) if area(finding.rule) == "file" else ()
        alike.setdefault((*_kind(finding), *own), []).append(finding)
    lines: list[str] = []
    for same in alike.values():
        folded = len(same) >= MANY
        lines += as_lines(same[:1] if folded else same, sources=sources, width=width)
        if folded:
            lines += _others(same, width)
    if len(ordered) > 1:
        lines.append(_count(ordered))
    return lines


def _kind(finding: Finding) -> tuple[str, ...]:
    return finding.weight.value, finding.rule, finding.remedy or ""


def _others(same: Sequence[Finding], width: int | None) -> list[str]:
    """Return the list of what else a finding was made at: names with their lines where the sentence is one for all."""
    from layout.findings import broken

    what = same[0].message.rpartition(": ")[2]
    rest = [finding for finding in same[1:] if finding.message != same[0].message] or list(same[1:])
    told_of = [
        finding.message.rpartition(": ")[0] if finding.message.rpartition(": ")[2] == what else finding.message
        for finding in rest[:LISTED]
    ]
    listed = "; ".join(
        f"{words} ({finding.at.file}:{finding.at.line})" if finding.at.line else words
        for words, finding in zip(told_of, rest, strict=False)
    )
    more = len(rest) - LISTED
    tail = f"; and {more} more: --json lists all" if more > 0 else ""
    return broken(f"the same of {len(same) - 1} more: {listed}{tail}", width)


def _count(findings: Iterable[Finding]) -> str:
    counts = Counter(finding.weight.value for finding in findings)
    words = [f"{counts[word]} {word}" for word in ("stop", "watch", "note")]
    return ", ".join(word for word in words if not word.startswith("0 "))
