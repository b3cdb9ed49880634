"""What a project file says, before it means anything: text, lists and tables, each with the place it stands at."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from layout.findings import Place
from layout.light_dataclass import dataclass, field

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

BUILT_IN = "catalogue:"
"""Start of the names that the built-in catalogue's files go by."""

Key = tuple[str | int, ...]
"""Way from the root to an entry: names of keys, and indices of lists counted from 0."""


@dataclass(frozen=True, slots=True, order=True)
class FileSpot:
    """File (as named from the project's folder), line and column, both from 1."""

    file: str
    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Leaf:
    """One scalar: its text as written and the value it stands for."""

    at: FileSpot
    text: str
    value: str | int | float | bool | None


@dataclass(frozen=True, slots=True)
class Items:
    """A list."""

    at: FileSpot
    items: tuple[Tree, ...]


@dataclass(frozen=True, slots=True)
class Member:
    """One key of a table with its value. ``lent`` marks what came from a type, the shelf or the defaults."""

    at: FileSpot
    value: Tree
    lent: bool = False


@dataclass(frozen=True, slots=True)
class TableNode:
    """Keys with their values, in the order of the file."""

    at: FileSpot
    members: Mapping[str, Member] = field(default_factory=dict)

    def get(self, key: str) -> Tree | None:
        """Return the value of a key, or None."""
        member = self.members.get(key)
        return None if member is None else member.value


Tree = Leaf | Items | TableNode


def plain_values(tree: Tree) -> Any:
    """Return the data alone, as dicts, lists and scalars."""
    if isinstance(tree, Leaf):
        return tree.value
    if isinstance(tree, Items):
        return [plain_values(item) for item in tree.items]
    return {key: plain_values(member.value) for key, member in tree.members.items()}


def find(tree: Tree, key: Key) -> Tree | None:
    """Return the entry at a key, or None if there is none."""
    found: Tree | None = tree
    for step in key:
        found = _step(found, step)
        if found is None:
            return None
    return found


def file_place(tree: Tree, key: Key) -> tuple[Place, tuple[Place, ...]]:
    """Locate an entry, or the nearest entry above it that exists.

    Returns
    -------
    Place
        Where the entry's key stands (its value, for the item of a list). What comes from the built-in catalogue stands
        where the project took it over.
    tuple of Place
        For an entry lent by a type, the shelf or the defaults: also the entry of the project that took it over.
    """
    own = here = tree.at
    current: Tree = tree
    lent = False
    for step in key:
        if isinstance(current, TableNode) and isinstance(step, str) and step in current.members:
            member = current.members[step]
            here, current, lent = member.at, member.value, lent or member.lent
        elif isinstance(current, Items) and isinstance(step, int) and 0 <= step < len(current.items):
            current = current.items[step]
            here = current.at
        else:
            break
        own = own if lent else here
    return _places(own, here, dotted(key))


def file_places(tree: Tree) -> dict[str, Place]:
    """Return where every entry stands, by dotted key."""
    found: dict[str, Place] = {}
    todo: list[tuple[str | None, Tree, FileSpot, bool]] = [(None, tree, tree.at, False)]
    while todo:
        key, current, own, lent = todo.pop()
        before = "" if key is None else f"{key}."
        if isinstance(current, TableNode):
            for name, member in list(current.members.items())[::-1]:
                is_lent = lent or member.lent
                mine = own if is_lent else member.at
                text = f"{before}{name}"
                found[text] = _places(mine, member.at, text)[0]
                todo.append((text, member.value, mine, is_lent))
        elif isinstance(current, Items):
            for index, item in enumerate(current.items):
                mine = own if lent else item.at
                text = f"{before}{index}"
                found[text] = _places(mine, item.at, text)[0]
                todo.append((text, item, mine, lent))
    return found


def leaves(tree: Tree, key: Key = ()) -> Iterator[tuple[Key, Leaf]]:
    """Give every scalar with its key."""
    if isinstance(tree, Leaf):
        yield key, tree
    elif isinstance(tree, Items):
        for index, item in enumerate(tree.items):
            yield from leaves(item, (*key, index))
    else:
        for name, member in tree.members.items():
            yield from leaves(member.value, (*key, name))


def _places(own: FileSpot, here: FileSpot, text: str) -> tuple[Place, tuple[Place, ...]]:
    mine = Place(own.file, own.line, own.column, text)
    if own == here or here.file.startswith(BUILT_IN):
        return mine, ()
    return Place(here.file, here.line, here.column, text), (mine,)


def dotted(key: Key) -> str:
    """Write a key as people read it: ``panels.console.holes.0``."""
    return ".".join(str(step) for step in key)


def undotted(tree: Tree, text: str) -> Key:
    """Read a dotted key against a tree; steps that the tree has not are kept as they are written."""
    key: list[str | int] = []
    current: Tree | None = tree
    steps = text.split(".") if text else []
    while steps:
        step: str | int = steps.pop(0)
        while isinstance(current, TableNode) and step not in current.members and steps:
            if not any(name.startswith(f"{step}.{steps[0]}") for name in current.members):
                break
            step = f"{step}.{steps.pop(0)}"
        if isinstance(current, Items) and str(step).isdigit():
            step = int(step)
        key.append(step)
        current = _step(current, step)
    return tuple(key)


def _step(tree: Tree | None, step: str | int) -> Tree | None:
    if isinstance(tree, TableNode) and isinstance(step, str):
        return tree.get(step)
    if isinstance(tree, Items) and isinstance(step, int) and 0 <= step < len(tree.items):
        return tree.items[step]
    return None
