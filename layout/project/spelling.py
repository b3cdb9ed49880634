"""The nearest known word to one that is not known."""

from __future__ import annotations

from difflib import get_close_matches
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable


def nearest(word: str, known: Iterable[str]) -> str | None:
    """Return the known word that was most likely meant, or None.

    Case, blanks, hyphens and underscores don't count.
    """
    by_bare: dict[str, str] = {}
    for name in known:
        by_bare.setdefault(_bare(name), name)
    found = get_close_matches(_bare(word), list(by_bare), n=1, cutoff=0.6)
    return by_bare[found[0]] if found else None


def among(names: Iterable[str], *, most: int = 12) -> str:
    """List names for a message; a long list is cut short and says by how much."""
    listed = list(names)
    if not listed:
        return "none is declared"
    rest = len(listed) - most
    return ", ".join(listed[:most]) + (f" and {rest} more" if rest > 0 else "")


def meant(word: str, known: Iterable[str], *, what: str) -> str:
    """Return the remedy for a word that is not known."""
    names = list(known)
    near = nearest(word, names)
    if near is not None:
        return f"did you mean '{near}'?"
    return f"{what}: {among(names)}"


def _bare(word: str) -> str:
    return word.lower().replace("_", "").replace("-", "").replace(" ", "")
