"""What the page is told, in the project's language: sentences and lists, never ids, keys or codes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from layout.languages import in_language

if TYPE_CHECKING:
    from collections.abc import Mapping

_READ = frozenset({
    "message", "remedy", "words", "title", "notes", "columns", "rows", "why", "says", "lines", "refused", "told",
    "undo", "redo", "proof", "about", "expected", "source",
})  # fmt: skip
"""Keys whose texts are read by people."""


def in_words(answer: Any, *, is_read: bool = False) -> Any:
    """Return plain data with every text under a key of ``READ`` as it is said."""
    if isinstance(answer, str):
        return in_language(answer) if is_read else answer
    if isinstance(answer, dict):
        return _entries(answer, is_read=is_read)
    if isinstance(answer, list | tuple):
        return [in_words(one, is_read=is_read) for one in answer]
    return answer


def _entries(answer: Mapping[str, Any], *, is_read: bool) -> dict[str, Any]:
    return {key: in_words(value, is_read=is_read or key in _READ) for key, value in answer.items()}
