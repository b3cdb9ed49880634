"""What the model refuses, as located findings in the file's own words."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from layout.findings import Finding
from layout.project.reading import spec
from layout.project.reading.spelling import meant
from layout.project.reading.tree import Items, Key, Leaf, Table, Tree, dotted, find, place
from layout.quantity import QuantityError

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layout.project.reading.convert import Conversion

_BOUND_WORDS = (" of more than ", " of at least ", " of at most ")


def faults(errors: Iterable[Any], conversion: Conversion, root_kind: type) -> list[Finding]:
    """Turn the errors of pydantic into findings.

    Parameters
    ----------
    errors
        As ``ValidationError.errors()`` gives them.
    conversion
        The conversion that made the data; its root is the tree they are located in.
    root_kind
        Type that the whole data was read as.
    """
    tree = conversion.root
    found = []
    for error in errors:
        key, kind, passed = _located(tree, error["loc"], root_kind, conversion)
        if passed and not (error["type"] == "missing" and key in conversion.meant):
            found.append(_finding(tree, key, kind, error))
    return list(dict.fromkeys(found))


def _located(tree: Tree, loc: tuple[Any, ...], kind: Any, conversion: Conversion) -> tuple[Key, Any, bool]:
    """Walk an error's location: key in the file, type expected there, and whether it concerns the alternative taken."""
    key: list[str | int] = []
    current: Tree | None = tree
    for step in loc:
        taken = conversion.chosen.get(tuple(key))
        label = str(step).split("[")[0]
        if taken is not None and isinstance(step, str) and label in {one.__name__ for one in _classes(kind)}:
            if label != taken.__name__:
                return tuple(key), kind, False
            kind = next((one for one in spec.choices(kind) if _class(one) is taken), kind)
            continue
        if isinstance(step, int):
            items = spec.listed(kind)
            if isinstance(current, Items) and step >= len(current.items):
                break  # a list of fixed length is too short: the list itself is at fault
            kind = items[0][min(step, len(items[0]) - 1)] if items else kind
            if isinstance(current, Items):
                key.append(step)
                current = find(current, (step,))
            continue
        record = spec.record(kind)
        value_kind = spec.mapped(kind)
        name = step
        if value_kind is not None:
            kind = value_kind
        elif record is not None and step.rstrip("_") in spec.keys(record):
            name = step.rstrip("_")
            kind = spec.keys(record)[name][1]
        else:
            continue
        key.append(name)
        current = find(current, (name,)) if current is not None else None
    return tuple(key), kind, True


def _classes(kind: Any) -> list[type]:
    return [found for found in map(_class, spec.choices(kind)) if found is not None]


def _class(kind: Any) -> type | None:
    return tuple if spec.listed(kind) else spec.record(kind)


def _finding(tree: Tree, key: Key, kind: Any, error: Any) -> Finding:
    at, related = place(tree, key)
    name = dotted(key)
    value = find(tree, key)
    rule, message, remedy = _said(error, name, kind, value, key)
    return Finding(rule=rule, message=message, at=at, related=related, remedy=remedy)


def _said(error: Any, name: str, kind: Any, value: Tree | None, key: Key) -> tuple[str, str, str | None]:
    what = error["type"]
    reason = error.get("ctx", {}).get("error")
    if isinstance(reason, QuantityError):
        if any(words in str(reason) for words in _BOUND_WORDS):
            return "file 33", f"{name}: {reason}", "check value and unit"
        wanted = spec.expected(kind)
        return "file 32", f"{name}: {reason}", None if wanted in str(reason) else f"write {wanted}"
    if reason is not None:
        return "file 36", f"{name}: {reason}", None
    if what == "missing" and value is None:
        owner = f"'{dotted(key[:-1])}'" if len(key) > 1 else "the project"
        return "file 31", f"{owner} lacks the key '{key[-1]}'", f"add '{key[-1]}:' and {spec.expected(kind)}"
    found = shown(value)
    remedy: str | None = None
    if name == "spile":
        message = f"this program reads version {spec.expected(kind)} of project files, found {found}"
        return "file 35", message, "use the program that the file was written for"
    if what in ("literal_error", "enum"):
        allowed = spec.words(kind)
        remedy = meant(str(error["input"]), allowed, what="write one of") if len(allowed) > 1 else f"write {allowed[0]}"
        return "file 35", f"{name}: expected {spec.expected(kind)}, found {found}", remedy
    if isinstance(value, Items) and (items := spec.listed(kind)) and not items[1]:
        return "file 34", f"{name}: expected {spec.expected(kind)}, found a list of {len(value.items)}", None
    if isinstance(value, Leaf) and value.value is None:
        remedy = "write a value, or delete the key"
    return "file 34", f"{name}: expected {spec.expected(kind)}, found {found}", remedy


def shown(value: Tree | None) -> str:
    """Say what stands in the file, for a message."""
    if isinstance(value, Table):
        return "a table"
    if isinstance(value, Items):
        return f"a list of {len(value.items)}"
    if value is None or value.value is None:
        return "nothing"
    text = value.text if len(value.text) <= 40 else value.text[:39] + "…"
    return f"'{text}'".replace("\n", " ")
