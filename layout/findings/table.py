"""The table of rules: code, name, severity and reason of everything that can be found."""

from __future__ import annotations

from enum import StrEnum
from functools import cache
from importlib import resources

from layout.light_dataclass import dataclass

AREAS = ("file", "panel", "fit", "cut", "wire", "fuse", "bus", "day", "paper")
"""What a code begins with: the subject it speaks of, in the order of the work."""


class Severity(StrEnum):
    """How much a finding weighs; ``stop`` makes the affected sheets unusable."""

    STOP = "stop"
    WATCH = "watch"
    NOTE = "note"

    @property
    def rank(self) -> int:
        """0 for stop, 1 for watch, 2 for note."""
        return list(Severity).index(self)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One row of the table. ``name`` is the fault, hyphenated: ``device-overlap``."""

    code: str
    name: str
    severity: Severity
    why: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Retired:
    """A code that is out of use: what it was called, and which codes tell of that fault now."""

    code: str
    name: str
    instead: str


@cache
def rules() -> dict[str, Rule]:
    """Return the whole table, read from ``layout/findings/rules/*.yaml``, sorted by code.

    Raises
    ------
    ValueError
        If a code stands twice.
    """
    from layout.shipped import shipped_yaml

    table: dict[str, Rule] = {}
    for file in sorted(resources.files("layout.findings").joinpath("rules").iterdir(), key=lambda f: f.name):
        if not file.name.endswith(".yaml"):
            continue
        for code, row in (shipped_yaml(file.read_text(encoding="utf-8")) or {}).items():
            if code in table:
                raise ValueError(f"rule {code} stands twice in the table of rules")
            table[code] = Rule(
                code=code,
                name=row["name"],
                severity=Severity(row["severity"]),
                why=row["why"],
                source=row.get("source", "rule of the house"),
            )
    return dict(sorted(table.items(), key=lambda row: code_order(row[0])))


@cache
def meanings() -> dict[str, str]:
    """Return what each finding means, a plain sentence by code, from ``meaning.yaml``; else its name."""
    return {code: row.name.replace("-", " ") for code, row in rules().items()} | _by_code("meaning.yaml")


@cache
def mends() -> dict[str, str]:
    """Return how each finding is mended, a sentence or two by code, from ``mending.yaml``."""
    return _by_code("mending.yaml")


def _by_code(file: str) -> dict[str, str]:
    from layout.shipped import shipped_yaml

    return dict(shipped_yaml(resources.files("layout.findings").joinpath(file).read_text(encoding="utf-8")))


@cache
def retired() -> dict[str, Retired]:
    """Return the codes that are out of use; none of them is given to another fault."""
    from layout.shipped import shipped_yaml

    text = resources.files("layout.findings").joinpath("retired.yaml").read_text(encoding="utf-8")
    return {code: Retired(code=code, **row) for code, row in shipped_yaml(text).items()}


def area(code: str) -> str:
    """Return the word a code begins with: ``"fuse"`` of ``"fuse 8"``."""
    return code.partition(" ")[0]


def code_order(code: str) -> tuple[int, int]:
    """Return what codes are sorted by: their area's place in ``AREAS``, then their number.

    Raises
    ------
    ValueError
        If the code is not a listed word and a number.
    """
    word, _, number = code.partition(" ")
    return AREAS.index(word), int(number)


def rule(code: str) -> Rule:
    """Return the row of one code.

    Raises
    ------
    KeyError
        If the table has no such code.
    """
    return rules()[code]
