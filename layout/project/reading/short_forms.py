"""Short ways to say a thing, written out in full: what is read afterwards knows only the long ones.

Each works on the tree, and each entry that it makes stands where the short one is written.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from layout.project.model.project_file import ProjectFile
from layout.project.reading import spec
from layout.project.reading.build import value_fits
from layout.project.reading.made_entries import each, made_in_full, with_value
from layout.project.reading.tree import FileSpot, Items, Key, Leaf, Member, TableNode, Tree

if TYPE_CHECKING:
    from layout.findings import Finding


def written_out(tree: TableNode) -> tuple[TableNode, list[Finding]]:
    """Return a project's tree with its short forms in full, and what is wrong with them; types are not merged yet."""
    full = _bare_values(tree, ProjectFile)
    assert isinstance(full, TableNode)
    return made_in_full(full)


def shaped(tree: TableNode) -> TableNode:
    """Return the tree with the cut-out as the shape of what lies behind it, where no other is said; types are merged.

    A shape that a type lends gives way to the cut-out only where a cut-out and no shape stand in the device.
    """
    return each(each(tree, "shelf", _shaped), "devices", _shaped)


def bare_key(kind: Any, leaf: Leaf) -> str | None:
    """Return the key that a bare value stands for where a record is expected; None where it may not stand for one.

    The units tell the keys apart: ``60 W`` is a power and ``5 A`` a current, a bare ``60`` is neither.
    """
    record = None if leaf.value is None else spec.record(kind)
    if record is None:
        return None
    known = spec.keys(record)
    return next((key for key in spec.bare(record) if value_fits(leaf, known[key][1])), None)


def way_in_file(tree: TableNode, key: Key, value: object) -> tuple[Key, object]:
    """Return what to write where, for a change of an entry that may be written short: a bare value, or a table of it.

    Parameters
    ----------
    tree
        The files as they are written.
    key, value
        The change, as if everything were written in full; None takes the entry out.
    """
    kind: Any = ProjectFile
    current: Tree | None = tree
    for depth, step in enumerate(key):
        kind = spec.inside(kind, step)
        if kind is None:
            break
        current = _step(current, step)
        if not isinstance(current, Leaf):
            continue
        here, rest = key[: depth + 1], key[depth + 1 :]
        if spec.takes_one(kind) and (items := spec.listed(kind)) is not None:
            kind, rest = items[0][0], rest[1:] if rest[:1] in ((0,), ("0",)) else rest
        short = bare_key(kind, current)
        if rest == (short,):
            return here, value
        if short is None or not rest or isinstance(rest[0], int) or value is None:
            break
        for inner in reversed(rest[1:]):
            value = {str(inner): value}
        return here, {short: current.value, str(rest[0]): value}
    return key, value


def said_in_short(tree: TableNode, key: Key) -> FileSpot | None:
    """Return where the files say an entry in short that only the tree in full has; None of what can be written."""
    inner: Tree | None = tree
    full: Tree | None = written_out(tree)[0]
    for step in key:
        if isinstance(inner, Items) and isinstance(full, Items) and len(inner.items) != len(full.items):
            return inner.at
        if isinstance(full, TableNode) and isinstance(step, str) and (member := full.members.get(step)) is not None:
            if member.lent:
                return None
            if isinstance(inner, TableNode) and step not in inner.members:
                return member.at
        inner, full = _step(inner, step), _step(full, step)
    return None


def _step(tree: Tree | None, step: str | int) -> Tree | None:
    if isinstance(tree, TableNode) and isinstance(step, str):
        return tree.get(step)
    if isinstance(tree, Items) and isinstance(step, int) and step < len(tree.items):
        return tree.items[step]
    return None


def _bare_values(tree: Tree, kind: Any) -> Tree:
    """Write ``{rating: 10 A}`` for ``10 A`` wherever a type of the model allows it."""
    if isinstance(tree, Items):
        inner = spec.listed(kind)
        if inner is None or not inner[1]:
            return tree
        items = tuple(_bare_values(item, inner[0][0]) for item in tree.items)
        is_changed = any(new is not old for new, old in zip(items, tree.items, strict=True))
        return Items(tree.at, items) if is_changed else tree
    if spec.takes_one(kind) and (inner := spec.listed(kind)) is not None:
        kind = inner[0][0]
    if isinstance(tree, Leaf):
        key = bare_key(kind, tree)
        return tree if key is None else TableNode(tree.at, {key: Member(tree.at, tree)})
    changed = {}
    for name, member in tree.members.items():
        below = spec.inside(kind, name)
        value = member.value if below is None else _bare_values(member.value, below)
        if value is not member.value:
            changed[name] = replace(member, value=value)
    return TableNode(tree.at, {**tree.members, **changed}) if changed else tree


def _shaped(_: str, device: TableNode) -> TableNode:
    behind, cutout = device.get("behind"), device.get("cutout")
    if not isinstance(behind, TableNode) or behind.get("shape") is not None or cutout is None:
        return device
    shapes = cutout.items if isinstance(cutout, Items) else (cutout,)
    made = tuple(
        TableNode(behind.at, {"shape": Member(behind.at, shape, lent=True), **behind.members}) for shape in shapes
    )
    if not made:
        return device
    return with_value(device, "behind", made[0] if len(made) == 1 else Items(behind.at, made))
