"""What circuits are for: critical or not by practice, colour, and which belong side by side."""

from __future__ import annotations

from functools import cache

from layout.light_dataclass import dataclass
from layout.standards.tables import Practice, rows


@dataclass(frozen=True, slots=True, kw_only=True)
class Purpose:
    """One row of the table; ``listed`` is false for words that the table does not have."""

    name: str
    critical: bool
    colour_key: str
    group: str
    listed: bool = True


@cache
def listed_purposes() -> tuple[str, ...]:
    """Return the purposes of the table, in its order."""
    return tuple(str(row["purpose"]) for row in rows("purposes", "purposes"))


@cache
def purpose(words: str, practice: Practice) -> Purpose:
    """Return what a purpose means; an unlisted one is critical, which is the safe side."""
    name = words.strip().lower()
    for row in rows("purposes", "purposes"):
        if row["purpose"] == name:
            return Purpose(
                name=name,
                critical=bool(row[f"critical_{practice.value}"]),
                colour_key=str(row["colour_key"]),
                group=str(row["group"]),
            )
    return Purpose(name=name, critical=True, colour_key="", group="other", listed=False)
