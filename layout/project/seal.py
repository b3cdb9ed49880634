"""The last line of a machine-written file: that it is whole, and that it is as it was written."""

from __future__ import annotations

import hashlib

KEY = "sealed"
"""Key of the last line."""


def with_seal(text: str) -> str:
    """Return a text with the seal as its last line."""
    return f"{text}{KEY}: {_mark(text)}\n"


def seal_broken(text: str) -> str | None:
    """Say what is wrong with a sealed text, or None if it is as it was written; line ends may be of either kind."""
    text = text.replace("\r\n", "\n")
    body, found, last = text.rpartition(f"\n{KEY}: ")
    if not found or not last.endswith("\n") or last.count("\n") != 1:
        return f"it ends too early: its last line ('{KEY}') is missing"
    if last.strip() != _mark(f"{body}\n"):
        return "it is not as it was written: a line was changed, lost or added"
    return None


def _mark(text: str) -> str:
    return f"x{hashlib.sha256(text.encode()).hexdigest()[:24]}"
