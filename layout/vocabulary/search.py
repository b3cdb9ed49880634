"""Search the vocabulary for a word."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.vocabulary.gather import words

if TYPE_CHECKING:
    from layout.vocabulary.gather import Word, WordKind


def search(kind: WordKind, text: str) -> tuple[Word, ...]:
    """Return the words of a kind that hold a text: those that are it first, then names that hold it, then sentences.

    Case doesn't count, nor whether blanks, hyphens or underscores join the parts. Without a text all are returned.
    """
    wanted = _plain(text)
    ranks = [(_rank(word, wanted), word) for word in words(kind)]
    return tuple(word for rank, word in sorted(ranks, key=lambda row: row[0]) if rank < _NOT_FOUND)


_NOT_FOUND = 4


def _rank(word: Word, wanted: str) -> int:
    name = _plain(word.word)
    if wanted and wanted in (name, name.rpartition(".")[2]):
        return 0
    if wanted in name:
        return 1
    if wanted in _plain(word.says):
        return 2
    return 3 if any(wanted in _plain(fact) for _, fact in word.facts) else _NOT_FOUND


def _plain(text: str) -> str:
    return " ".join(text.lower().replace("-", " ").replace("_", " ").split())
