"""What does not fit the model, as located findings in the file's own words."""

from __future__ import annotations

from typing import Any

from layout.findings import Finding
from layout.project.model.edge import TextError
from layout.project.reading import spec
from layout.project.reading.spelling import meant, nearest
from layout.project.reading.tree import Items, Key, Leaf, TableNode, Tree, dotted, file_place
from layout.quantity import OutOfRangeError, QuantityError


def unknown_key(root: TableNode, owner: type, key: Key) -> tuple[Finding, str | None]:
    """Report a key that a record has not.

    Returns
    -------
    Finding
        With the key that was probably meant, or where it belongs.
    str or None
        The key that was probably meant.
    """
    known, name = spec.written_keys(owner), str(key[-1])
    at, related = file_place(root, key)
    where = f"in '{dotted(key[:-1])}'" if len(key) > 1 else "at the top of the file"
    remedy = meant(name, known, what="known keys")
    near = None
    if name == "id" and spec.has_id(owner):
        remedy = f"the id is the name it stands under, '{key[-2]}'; delete this line"
    elif (near := nearest(name, known)) is None:
        inside = [outer for outer, (_, kind) in known.items() if name in spec.inner_keys(kind)]
        remedy = f"'{name}' stands inside {' or '.join(inside)}" if inside else remedy
    message = f"unknown key '{name}' {where}"
    return Finding(rule="file 30", message=message, at=at, related=related, remedy=remedy), near


def missing_key(root: TableNode, key: Key, kind: Any) -> Finding:
    """Report a key that a record must say and does not."""
    at, related = file_place(root, key)
    owner = f"'{dotted(key[:-1])}'" if len(key) > 1 else "the project"
    remedy = f"add '{key[-1]}:' and {spec.expected(kind)}"
    return Finding(rule="file 31", message=f"{owner} lacks the key '{key[-1]}'", at=at, related=related, remedy=remedy)


def unfit_record(root: TableNode, key: Key, reason: ValueError) -> Finding:
    """Report what a record refuses about itself."""
    at, related = file_place(root, key)
    return Finding(rule="file 36", message=f"{dotted(key)}: {reason}", at=at, related=related)


def unfit_value(root: TableNode, key: Key, kind: Any, tree: Tree, reason: QuantityError | TextError | None) -> Finding:
    """Report a value that is of another kind, or out of its range.

    Parameters
    ----------
    kind
        What is expected there.
    tree
        What stands there.
    reason
        What the quantity or text said, where one is expected.
    """
    at, related = file_place(root, key)
    rule, message, remedy = _said(dotted(key), kind, tree, reason)
    return Finding(rule=rule, message=message, at=at, related=related, remedy=remedy)


def _said(name: str, kind: Any, tree: Tree, reason: QuantityError | TextError | None) -> tuple[str, str, str | None]:
    wanted, found = spec.expected(kind), _shown(tree)
    if isinstance(reason, TextError):
        return "file 38", f"{name}: {reason}", "shorten it, or write it in one line; longer texts go into note"
    if isinstance(reason, OutOfRangeError):
        return "file 33", f"{name}: {reason}", "check value and unit"
    if reason is not None:
        return "file 32", f"{name}: {reason}", None if wanted in str(reason) else f"write {wanted}"
    if name == "spile":
        message = f"this program reads version {wanted} of project files, found {found}"
        return "file 35", message, "use the program that the file was written for"
    if (allowed := spec.spec_words(kind)) and isinstance(tree, Leaf):
        many = len(allowed) > 1
        advice = meant(tree.text, allowed, what="write one of") if many else f"write {allowed[0]}"
        return "file 35", f"{name}: expected {wanted}, found {found}", advice
    if isinstance(tree, Items) and (items := spec.listed(kind)) and not items[1]:
        return "file 34", f"{name}: expected {wanted}, found a list of {len(tree.items)}", None
    is_nothing = isinstance(tree, Leaf) and tree.value is None
    remedy = "write a value, or delete the key" if is_nothing else None
    return "file 34", f"{name}: expected {wanted}, found {found}", remedy


def _shown(tree: Tree) -> str:
    """Say what stands in the file, for a message."""
    if isinstance(tree, TableNode):
        return "a table"
    if isinstance(tree, Items):
        return f"a list of {len(tree.items)}"
    if tree.value is None:
        return "nothing"
    text = tree.text if len(tree.text) <= 40 else tree.text[:39] + "…"
    return f"'{text}'".replace("\n", " ")
