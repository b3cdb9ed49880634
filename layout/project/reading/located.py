"""Findings about entries of the tree, located."""

from __future__ import annotations

from layout.findings import Finding
from layout.project.reading.spelling import meant
from layout.project.reading.tree import Key, TableNode, dotted, file_place


def unknown(tree: TableNode, key: Key, name: str, called: str, known: tuple[str, ...]) -> Finding:
    """Return the finding that an entry names something of a kind (``called``) that is not declared."""
    article = "an" if called[0] in "aeiou" else "a"
    remedy = meant(name, known, what="known") if known else f"declare {article} {called} of this name"
    return fault(tree, key, "file 50", f"{dotted(key)}: there is no {called} '{name}'", remedy)


def fault(tree: TableNode, key: Key, rule: str, message: str, remedy: str, *, also: Key | None = None) -> Finding:
    """Return a finding about the entry at ``key``; ``also`` is another entry that takes part."""
    at, related = file_place(tree, key)
    if also is not None:
        related = (*related, file_place(tree, also)[0])
    return Finding(rule=rule, message=message, at=at, related=related, remedy=remedy)
