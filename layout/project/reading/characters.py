"""Characters that can be printed; the ranges are those of the font that is shipped (a test compares them)."""

from __future__ import annotations

from functools import cache
from importlib import resources
from typing import TYPE_CHECKING

from layout.findings import Finding
from layout.project.reading.tree import BUILT_IN, Items, Key, Leaf, TableNode, Tree, dotted, file_place

if TYPE_CHECKING:
    from collections.abc import Iterator

RANGES = "characters.txt"
"""Data file: one range of code points a line, ``0020-007E``, ends included."""


@cache
def printable() -> frozenset[int]:
    """Return the code points that can be printed; a line break within text counts."""
    text = resources.files("layout.project").joinpath(RANGES).read_text(encoding="ascii")
    codes = {ord("\n")}
    for line in text.split():
        first, _, last = line.partition("-")
        codes.update(range(int(first, 16), int(last or first, 16) + 1))
    return frozenset(codes)


def unprintable(text: str) -> str:
    """Return the characters that can't be printed, each once, in order."""
    known = printable()
    return "".join(dict.fromkeys(character for character in text if ord(character) not in known))


def unprintable_texts(tree: Tree) -> list[Finding]:
    """Find every text and name of the project that could not be printed."""
    found = []
    for key, text in _texts(tree):
        if odd := unprintable(text):
            named = ", ".join(_named(character) for character in odd)
            at, related = file_place(tree, key)
            found.append(
                Finding(
                    rule="file 37",
                    message=f"{dotted(key)}: the font can't print {named}",
                    at=at,
                    related=related,
                    remedy="write it in Latin, Greek or Cyrillic letters and common signs",
                )
            )
    return found


def _texts(tree: Tree, key: Key = ()) -> Iterator[tuple[Key, str]]:
    if isinstance(tree, Leaf):
        if not tree.text.isascii() or not tree.text.isprintable():
            yield key, tree.text
    elif isinstance(tree, Items):
        for index, item in enumerate(tree.items):
            yield from _texts(item, (*key, index))
    elif isinstance(tree, TableNode) and not tree.at.file.startswith(BUILT_IN):
        for name, member in tree.members.items():
            if not name.isascii() or not name.isprintable():
                yield (*key, name), name
            yield from _texts(member.value, (*key, name))


def _named(character: str) -> str:
    code = f"U+{ord(character):04X}"
    return f"'{character}' ({code})" if character.isprintable() else code
