"""The nearest known word to one that is not known."""

from __future__ import annotations

from difflib import SequenceMatcher
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable


LEAST_LIKENESS = 0.6
"""Share of letters in common, in order, from which a word counts as near."""


def nearest(word: str, known: Iterable[str]) -> str | None:
    """Return the known word that was most likely meant, or None.

    Case, blanks, hyphens and underscores don't count.
    """
    bare = _bare(word)
    matcher = SequenceMatcher(b=bare)
    best, best_score = None, LEAST_LIKENESS
    for name in known:
        other = _bare(name)
        matcher.set_seq1(other)
        if matcher.real_quick_ratio() < LEAST_LIKENESS:
            continue
        start = 0.01 * _common_start(bare, other)
        if matcher.quick_ratio() + start <= best_score:  # never below the ratio
            continue
        score = matcher.ratio() + start
        if score > best_score:
            best, best_score = name, score
    return best


def among(names: Iterable[str], *, most: int = 12) -> str:
    """List names for a message; a long list is cut short and says by how much."""
    listed = list(names)
    if not listed:
        return "nothing yet"
    rest = len(listed) - most
    return ", ".join(listed[:most]) + (f" and {rest} more" if rest > 0 else "")


def meant(word: str, known: Iterable[str], *, what: str) -> str:
    """Return the remedy for a word that is not known."""
    names = list(known)
    near = nearest(word, names)
    if near is not None:
        return f"did you mean '{near}'?"
    return f"{what}: {among(names)}"


def _common_start(first: str, second: str) -> int:
    pairs = zip(first, second, strict=False)
    return next((index for index, (one, other) in enumerate(pairs) if one != other), min(len(first), len(second)))


def _bare(word: str) -> str:
    return word.lower().replace("_", "").replace("-", "").replace(" ", "")
