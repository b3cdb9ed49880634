"""What the model's types ask of the file: keys of a record, kind of a value, and both in words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import MISSING, fields, is_dataclass
from enum import Enum
from functools import cache
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from layout.project.model.edge import OneOrMore, TextMark
from layout.project.model.project import Project
from layout.quantity import EXAMPLES, Number, QuantityKind, WireSize


def is_written(record: type, name: str) -> bool:
    """Tell whether a field is for people to write; ids are the entries' keys, positions come from the node tree."""
    return name != "id" and not (name == "positions" and issubclass(record, Project))


@cache
def keys(record: type) -> Mapping[str, tuple[str, Any]]:
    """Return what a record may say: by key of the file, the field's name and type."""
    hints = get_type_hints(record, include_extras=True)
    names = [field.name for field in fields(record) if is_written(record, field.name)]
    return {name.rstrip("_"): (name, hints[name]) for name in names}


def bare(record: type) -> tuple[str, ...]:
    """Return the keys that a bare value may stand for in place of the record, told apart by their units."""
    keys: tuple[str, ...] = getattr(record, "BARE", ())
    return keys


def short(record: type) -> Mapping[str, Any]:
    """Return the keys that only the file has, with their types: short forms, written out before a record is built."""
    keys: Mapping[str, Any] = getattr(record, "SHORT", {})
    return keys


def filled(record: type) -> tuple[str, ...]:
    """Return the keys a record must say that a short form may say in its own way."""
    keys: tuple[str, ...] = getattr(record, "FILLED", ())
    return keys


@cache
def written_keys(record: type) -> Mapping[str, tuple[str, Any]]:
    """Return what a record may say in the file, short forms too: by key, the field's name and type."""
    return {**keys(record), **{key: (key, kind) for key, kind in short(record).items()}}


@cache
def inside(kind: Any, step: str | int) -> Any | None:
    """Return the type of what stands one step further in: at a key, or in a list at an index; None if nothing can."""
    if (items := listed(kind)) is not None:
        inner = items[0][0] if items[1] or isinstance(step, str) else items[0][step] if step < len(items[0]) else None
        return inner if isinstance(step, int) or not takes_one(kind) else inside(inner, step)
    if isinstance(step, int):
        return None
    if (value := mapped(kind)) is not None:
        return value
    owner = record(kind)
    known = written_keys(owner) if owner is not None else {}
    return known[step][1] if step in known else None


@cache
def needed(record: type) -> tuple[str, ...]:
    """Return the keys that a record must say."""
    return tuple(
        field.name.rstrip("_")
        for field in fields(record)
        if field.default is MISSING and field.default_factory is MISSING
    )


def has_id(kind: Any) -> bool:
    """Tell whether entries of this type are named by the key they stand under."""
    return is_dataclass(kind) and any(field.name == "id" for field in fields(kind))


@cache
def marks(kind: Any) -> tuple[Any, ...]:
    """Return the marks (``Kind``, ``Number``, ``Text``, ``OneOrMore``) of an annotated type."""
    return tuple(get_args(kind)[1:]) if get_origin(kind) is Annotated else ()


def choices(kind: Any) -> tuple[Any, ...]:
    """Return the alternatives of a type, without None."""
    if get_origin(kind) is Annotated and not any(
        isinstance(mark, QuantityKind | Number | TextMark) for mark in marks(kind)
    ):
        return choices(get_args(kind)[0])
    if get_origin(kind) in (Union, UnionType):
        return tuple(one for part in get_args(kind) if part is not NoneType for one in choices(part))
    return (kind,)


@cache
def takes_nothing(kind: Any) -> bool:
    """Tell whether an entry may be left empty."""
    if get_origin(kind) is Annotated:
        return takes_nothing(get_args(kind)[0])
    return kind is NoneType or (get_origin(kind) in (Union, UnionType) and any(map(takes_nothing, get_args(kind))))


@cache
def takes_one(kind: Any) -> bool:
    """Tell whether a single entry may stand for a list of one."""
    if any(isinstance(mark, OneOrMore) for mark in marks(kind)):
        return True
    return get_origin(kind) in (Union, UnionType) and any(takes_one(part) for part in get_args(kind))


@cache
def is_text(kind: Any) -> bool:
    """Tell whether only text stands here, so that ``12`` or ``true`` are meant as written."""
    return all(
        any(isinstance(mark, TextMark) for mark in marks(one))
        or one is str
        or (isinstance(one, type) and issubclass(one, str))
        or (get_origin(one) is Literal and all(isinstance(word, str) for word in get_args(one)))
        for one in choices(kind)
    )


def spec_text(kind: type[str], value: str) -> str:
    """Return text as its own type: ends and keys take their text apart."""
    reads = getattr(kind, "read", None)
    return value if reads is None else reads(value)


def inner_keys(kind: Any) -> frozenset[str]:
    """Return the keys of the record that stands here, alone or in a list."""
    items = listed(kind)
    inner = record(kind) or (record(items[0][0]) if items else None)
    return frozenset(keys(inner)) if inner else frozenset()


@cache
def record(kind: Any) -> type | None:
    """Return the record type among the alternatives, the first if there are several."""
    return next(
        (one for one in choices(kind) if is_dataclass(one) and one is not WireSize and isinstance(one, type)), None
    )


def mapped(kind: Any) -> Any | None:
    """Return the type of a mapping's values, or None for what is no mapping."""
    return next((get_args(one)[1] for one in choices(kind) if get_origin(one) is Mapping), None)


def listed(kind: Any) -> tuple[tuple[Any, ...], bool] | None:
    """Return the types of a list's items and whether there may be any number of them; None for what is no list."""
    for one in choices(kind):
        if get_origin(one) is tuple:
            items = get_args(one)
            return (items[:1], True) if items[-1] is Ellipsis else (items, False)
    return None


def spec_words(kind: Any) -> tuple[str, ...]:
    """Return the words that may stand here, empty if there is no fixed list."""
    found: list[str] = []
    for one in choices(kind):
        if get_origin(one) is Literal:
            found.extend(str(word) for word in get_args(one))
        elif isinstance(one, type) and issubclass(one, Enum):
            found.extend(str(member.value) for member in one)
    return tuple(found)


def expected(kind: Any) -> str:
    """Say in words what may stand here."""
    parts = dict.fromkeys(_one_expected(one) for one in choices(kind))
    return ", or ".join(parts)


def _one_expected(one: Any) -> str:
    mark = next((mark for mark in marks(one) if isinstance(mark, QuantityKind)), None)
    if mark is not None:
        return f"{article(mark.name)} {mark.name} like {EXAMPLES[mark.name]}"
    if any(isinstance(mark, Number | TextMark) for mark in marks(one)):
        return _one_expected(get_args(one)[0])
    if one is WireSize:
        return "a wire size like 2.5 mm2 or 14 AWG"
    if found := spec_words(one):
        return found[0] if len(found) == 1 else f"one of {', '.join(found)}"
    if is_dataclass(one) and isinstance(one, type):
        short = [f"{expected(keys(one)[key][1])} ({key})" for key in bare(one)]
        return ", or ".join((*short, _table_expected(one)))
    if get_origin(one) is Mapping:
        return "a table of named entries"
    if get_origin(one) is tuple:
        items = get_args(one)
        return "a list" if items[-1] is Ellipsis else f"a list of {len(items)} (each {expected(items[0])})"
    return {str: "text", bool: "true or false", int: "a whole number", float: "a number"}.get(one, "another value")


def _table_expected(one: type) -> str:
    return f"a table with {' and '.join(needed(one)) or 'keys such as ' + ', '.join(list(keys(one))[:3])}"


def article(word: str) -> str:
    """Return the indefinite article that goes with a word."""
    return "an" if word[:1] in "aeiou" else "a"
