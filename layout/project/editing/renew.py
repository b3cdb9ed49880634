"""Renew a file of an older form: old words become new ones in place, and everything else stays as it is written."""

from __future__ import annotations

import re
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.project.editing.edit import EditError, add_item, remove, set_value
from layout.project.editing.writing import write_atomically
from layout.project.reading.form import FILE_FORM
from layout.project.reading.include import read_files
from layout.project.reading.nodes import compose
from layout.project.reading.tree import Items, Key, Leaf, TableNode, find
from layout.shipped import shipped_yaml

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from layout.project.reading.tree import Tree


@dataclass(frozen=True, slots=True, kw_only=True)
class Renewed:
    """One file: the words that changed (``places -> locations``), in the order of the file."""

    file: Path
    words: tuple[str, ...]


@cache
def old_words() -> dict[tuple[str, ...], dict[str, str]]:
    """Return old and new word of each key that has changed, by the table that holds it; ``*`` stands for any entry."""
    text = resources.files("layout.project.editing").joinpath("renamed_keys.yaml").read_text(encoding="utf-8")
    forms = shipped_yaml(text)
    return {tuple(path.split(".")) if path else (): words for path, words in forms[FILE_FORM].items()}


def renew(path: Path) -> tuple[Renewed, ...]:
    """Rewrite a project file, and each file that it includes, in the words of today; files that need nothing stay.

    All files are worked out before the first is written, so that a file that can't be renewed leaves all as they were.

    Raises
    ------
    EditError
        If a file can't be read or an entry can't be patched.
    OSError
        If a file can't be written; each is replaced whole or not at all.
    """
    files = read_files(path)
    if not files.sources:
        raise EditError(files.findings[0].message if files.findings else f"'{path.name}' can't be read")
    done: list[tuple[Renewed, str]] = []
    for name in files.sources:
        file = (path.parent / name).resolve()
        if file.suffix not in (".yaml", ".yml"):
            continue
        raw = file.read_bytes().decode("utf-8")
        mark, text = ("\ufeff", raw[1:]) if raw.startswith("\ufeff") else ("", raw)
        new, words = renewed_text(text)
        if new != text:
            done.append((Renewed(file=file, words=words), mark + new))
    for one, text in reversed(done):  # the project's own file last: until then it says that it is to be renewed
        write_atomically(one.file, text)
    return tuple(one for one, _ in done)


def renewed_text(text: str) -> tuple[str, tuple[str, ...]]:
    """Return a file's text in the words of today, and the words that changed.

    Raises
    ------
    EditError
        If the text is no usable YAML, or an entry is written in a way that can't be patched.
    """
    tree, findings = compose(text, "file")
    if findings or not isinstance(tree, TableNode):
        raise EditError(findings[0].message if findings else "the file holds no keys")
    places = sorted(set(_places(tree, ())), reverse=True)
    lines = re.split(r"(?<=\n)|(?<=\r)(?!\n)", text)
    for line, column, old, new in places:
        row = lines[line - 1]
        start = row.index(old, column - 1)
        lines[line - 1] = row[:start] + new + row[start + len(old) :]
    new_text = _joined_keys("".join(lines), was_old=find(tree, ("wiring", "series")) is not None)
    words = tuple(dict.fromkeys(f"{old} -> {new}" for _, _, old, new in reversed(places)))
    if find(tree, ("spile",)) is not None and new_text != set_value(new_text, ("spile",), FILE_FORM):
        new_text = set_value(new_text, ("spile",), FILE_FORM)
    return new_text, words


def _places(tree: Tree, path: tuple[str, ...]) -> Iterator[tuple[int, int, str, str]]:
    """Give line, column, old and new word of each key to change; an entry that others lend is met once more."""
    if isinstance(tree, Items):
        for item in tree.items:
            yield from _places(item, path)
    elif isinstance(tree, TableNode):
        words = next((words for pattern, words in old_words().items() if _fits(pattern, path)), {})
        for name, member in tree.members.items():
            if name in words:
                yield member.at.line, member.at.column, name, words[name]
            yield from _places(member.value, (*path, name))


def _fits(pattern: tuple[str, ...], path: tuple[str, ...]) -> bool:
    return len(pattern) == len(path) and all(step in ("*", name) for step, name in zip(pattern, path, strict=True))


def _joined_keys(text: str, *, was_old: bool) -> str:
    """Join what were two keys: cable sizes with the area counted on, and what rests in a situation."""
    tree, _ = compose(text, "file")
    sizes, area = (_text(tree, ("wiring", key)) for key in ("wire_sizes", "gauge_area"))
    # a file that is renewed already says awg as it is meant today: only the old words are turned
    if sizes == "awg" and area != "awg" and (was_old or area is not None):
        text = set_value(text, ("wiring", "wire_sizes"), "sae")
    if area is not None:
        text = remove(text, ("wiring", "gauge_area"))
    situations = find(tree, ("energy", "situations")) if tree is not None else None
    for name in situations.members if isinstance(situations, TableNode) else ():
        key: Key = ("energy", "situations", name)
        resting = find(tree, (*key, "idle")) if tree is not None else None
        if isinstance(resting, Items):
            for item in resting.items:
                text = add_item(text, (*key, "off"), item.text if isinstance(item, Leaf) else "")
            text = remove(text, (*key, "idle"))
    return text


def _text(tree: Tree | None, key: Key) -> str | None:
    leaf = find(tree, key) if tree is not None else None
    return leaf.text if isinstance(leaf, Leaf) else None
