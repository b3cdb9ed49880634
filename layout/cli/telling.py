"""Findings for a person at a terminal: the same finding of many things is told once, with the list of them."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from layout.languages import in_language

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
    from layout.findings import broken_lines

    messages = [in_language(finding.message) for finding in same]
    what = messages[0].rpartition(": ")[2]
    rest = [at for at, said in enumerate(messages) if at and said != messages[0]] or list(range(1, len(same)))
    listed_of = [(messages[at], same[at]) for at in rest[:LISTED]]
    told_of = [said.rpartition(": ")[0] if said.rpartition(": ")[2] == what else said for said, _ in listed_of]
    listed = "; ".join(
        f"{words} ({finding.at.file}:{finding.at.line})" if finding.at.line else words
        for words, (_, finding) in zip(told_of, listed_of, strict=True)
    )
    more = len(rest) - LISTED
    tail = in_language(f"; and {more} more: --json lists all") if more > 0 else ""
    return broken_lines(in_language(f"the same of {len(same) - 1} more:") + f" {listed}{tail}", width)


def _count(findings: Iterable[Finding]) -> str:
    counts = Counter(finding.weight.value for finding in findings)
    words = [f"{counts[word]} {word}" for word in ("stop", "watch", "note")]
    return ", ".join(word for word in words if not word.startswith("0 "))
