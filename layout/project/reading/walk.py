"""Find entries of the tree by pattern."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.project.reading.tree import Items, Key, Leaf, TableNode, Tree, find

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence


def matching(tree: Tree, pattern: Sequence[str], key: Key = ()) -> Iterator[tuple[Key, Leaf]]:
    """Give the scalars that a pattern names, each with its key.

    ``*`` stands for every entry of a table or list; ``?`` for every item of a list, or a single value that stands for a
    list of one; a final ``@`` gives the keys of a table as if they were values.
    """
    if not pattern:
        if isinstance(tree, Leaf):
            yield key, tree
        return
    step, rest = pattern[0], pattern[1:]
    if step == "@":
        if isinstance(tree, TableNode):
            for name, member in tree.members.items():
                yield (*key, name), Leaf(member.at, name, name)
    elif step == "?" and not isinstance(tree, Items):
        yield from matching(tree, rest, key)
    elif isinstance(tree, Items) and step in ("*", "?"):
        for index, item in enumerate(tree.items):
            yield from matching(item, rest, (*key, index))
    elif isinstance(tree, TableNode):
        for name in tree.members if step == "*" else (step,):
            if name in tree.members:
                yield from matching(tree.members[name].value, rest, (*key, name))


def tables(tree: Tree, pattern: Sequence[str], key: Key = ()) -> Iterator[tuple[Key, TableNode]]:
    """Give the tables that a pattern names, each with its key."""
    if not pattern:
        if isinstance(tree, TableNode):
            yield key, tree
        return
    step, rest = pattern[0], pattern[1:]
    if step == "*" and isinstance(tree, Items):
        for index, item in enumerate(tree.items):
            yield from tables(item, rest, (*key, index))
    elif isinstance(tree, TableNode):
        for name in tree.members if step == "*" else (step,):
            if name in tree.members:
                yield from tables(tree.members[name].value, rest, (*key, name))


def names(tree: Tree, section: str) -> tuple[str, ...]:
    """Return the ids of a section such as ``devices``, ``energy.banks``, or of several joined with ``or``."""
    tables_of = (find(tree, tuple(one.split("."))) for one in section.split(" or "))
    return tuple(name for table in tables_of if isinstance(table, TableNode) for name in table.members)
