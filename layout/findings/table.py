"""The table of rules: code, name, severity and reason of everything that can be found."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from importlib import resources


class Severity(StrEnum):
    """How much a finding weighs; an error makes the affected sheets unusable."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"

    @property
    def rank(self) -> int:
        """0 for error, 1 for warning, 2 for note."""
        return list(Severity).index(self)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One row of the table. ``name`` is the fault, hyphenated: ``device-overlap``."""

    code: str
    name: str
    severity: Severity
    why: str
    source: str


@cache
def rules() -> dict[str, Rule]:
    """Return the whole table, read from ``layout/findings/rules/*.yaml``, sorted by code.

    Raises
    ------
    ValueError
        If a code stands twice.
    """
    import yaml  # noqa: PLC0415  (kept out of start-up)

    table: dict[str, Rule] = {}
    for file in sorted(resources.files("layout.findings").joinpath("rules").iterdir(), key=lambda f: f.name):
        if not file.name.endswith(".yaml"):
            continue
        for code, row in (yaml.safe_load(file.read_text(encoding="utf-8")) or {}).items():
            if code in table:
                raise ValueError(f"rule {code} stands twice in the table of rules")
            table[code] = Rule(
                code=code,
                name=row["name"],
                severity=Severity(row["severity"]),
                why=row["why"],
                source=row.get("source", "rule of the house"),
            )
    return dict(sorted(table.items()))


def rule(code: str) -> Rule:
    """Return the row of one code.

    Raises
    ------
    KeyError
        If the table has no such code.
    """
    return rules()[code]
