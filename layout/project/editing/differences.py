"""What differs between two states of a project, as values to set in its file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from typing import Any

from layout.project.model.canonical import default_of, plain_data
from layout.project.reading.spec import is_written

Setting = tuple[str, Any]
"""A dotted key and the plain value that it is to have; None takes the entry out."""


def differences(before: object, after: object) -> tuple[Setting, ...]:
    """Return what has to be set in the file of one state to make it the other, in the model's order.

    Parameters
    ----------
    before, after
        Two values of the same record of the model, mostly two projects. Lengths come out as bare millimetres.

    Returns
    -------
    tuple of (str, plain data)
        Items of a list that went are named from the last to the first, so that indices still count while they go.
    """
    return tuple(_differing((), before, after))


def _differing(key: tuple[str, ...], before: Any, after: Any) -> Iterator[Setting]:
    if before == after:
        return
    if is_dataclass(before) and type(before) is type(after):
        yield from _fields(key, before, after)
    elif isinstance(before, Mapping) and isinstance(after, Mapping) and before:
        for name in dict.fromkeys((*before, *after)):
            if name not in after:
                yield ".".join((*key, name)), None
            elif name not in before:
                yield ".".join((*key, name)), _plain(after[name])
            else:
                yield from _differing((*key, name), before[name], after[name])
    elif _are_records(before) and _are_records(after):
        yield from _items(key, list(before), list(after))
    else:
        yield ".".join(key), _plain(after)


def _fields(key: tuple[str, ...], before: Any, after: Any) -> Iterator[Setting]:
    for field in fields(before):
        if is_written(type(before), field.name):
            old, new = getattr(before, field.name), getattr(after, field.name)
            way = (*key, field.name.rstrip("_"))
            if old != new and new == default_of(field):
                yield ".".join(way), None
            else:
                yield from _differing(way, old, new)


def _items(key: tuple[str, ...], before: list[Any], after: list[Any]) -> Iterator[Setting]:
    """Compare two lists of records: what went, item by item; else each item; else the whole list anew."""
    if len(before) == len(after):
        for index, (old, new) in enumerate(zip(before, after, strict=True)):
            yield from _differing((*key, str(index)), old, new)
        return
    rest = iter(after)
    wanted = next(rest, None)
    gone = []
    for index, old in enumerate(before):
        if old == wanted:
            wanted = next(rest, None)
        else:
            gone.append(index)
    if len(before) - len(gone) == len(after):
        yield from ((".".join((*key, str(index))), None) for index in reversed(gone))
    else:
        yield ".".join(key), _plain(tuple(after))


def _are_records(value: Any) -> bool:
    return isinstance(value, tuple) and bool(value) and all(is_dataclass(entry) for entry in value)


def _plain(value: Any) -> Any:
    return plain_data(value, left_out=frozenset({"id"}))
