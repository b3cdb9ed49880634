"""Findings on paper: each code once, with everything it was found at and what to do."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.findings import Severity, area, in_order
from layout.handover.lists.table import Column, Table

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layout.findings import Finding
    from layout.handover.document import BookName
    from layout.handover.lists.table import Cell

PANEL_AREAS = ("panel", "fit", "cut")
"""Findings about the sheet: they stand in the book of the workshop; all others in that of the electrician."""

COLUMNS = (
    Column(key="severity", title="Weight", width_mm=14),
    Column(key="code", title="Code", width_mm=16),
    Column(key="count", title="Times", width_mm=12, align="right"),
    Column(key="message", title="What was found", width_mm=140),
    Column(key="remedy", title="What to do", width_mm=80),
    Column(key="settled", title="Settled", width_mm=16, blank=True),
)


def of_book(findings: Iterable[Finding], book: BookName) -> tuple[Finding, ...]:
    """Return the findings that the readers of a book must know."""
    if book == "workshop":
        return tuple(one for one in findings if area(one.rule) in PANEL_AREAS)
    return tuple(one for one in findings if area(one.rule) not in PANEL_AREAS)


def findings_table(findings: Iterable[Finding]) -> Table:
    """Return one row for each code and remedy, in the order of weight; everything it was found at stands in it."""
    alike: dict[tuple[str, str, str], list[Finding]] = {}
    for one in in_order(findings):
        alike.setdefault((one.weight.value, one.rule, one.remedy or ""), []).append(one)
    rows: list[dict[str, Cell]] = [
        {
            "severity": weight, "code": code, "count": len(same),
            "message": "\n".join(_folded(same)), "remedy": _sentence(remedy),
            "settled": "",
        }
        for (weight, code, remedy), same in alike.items()
    ]  # fmt: skip
    stops = frozenset(at for at, row in enumerate(rows) if row["severity"] == Severity.STOP.value)
    notes = ("stop: the sheets concerned are not to be worked from. watch: look before you go on. note: know it.",)
    return Table(
        name="findings", title="Findings you must know", columns=COLUMNS, rows=tuple(rows), faulty=stops, notes=notes
    )


def _folded(same: Iterable[Finding]) -> list[str]:
    """Return the messages, those that say the same of several things as one sentence behind all their names."""
    alike: dict[str, list[str]] = {}
    for one in same:
        name, _, what = one.message.rpartition(": ")
        alike.setdefault(what, []).append(name)
    found = []
    for what, names in alike.items():
        named = ", ".join(dict.fromkeys(name for name in names if name))
        found.append(_sentence(f"{named}: {what}" if named else what))
    return found


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}" if words else ""
