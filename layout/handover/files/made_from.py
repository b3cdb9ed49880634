"""The digest of what a document is made from: the values it reads, and the program that reads them."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from functools import cache
from hashlib import sha256
from importlib.metadata import PackageNotFoundError, version
from importlib.resources import files
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable
    from importlib.resources.abc import Traversable

_LIBRARIES = ("reportlab", "svgwrite", "ezdxf", "openpyxl", "fonttools", "shapely", "numpy")
"""What draws and writes beside this program: another version of one may give other bytes."""

_PLAIN = frozenset({float, int, bool, str, type(None)})
"""What stands for itself in a digest."""

_SOURCES = (".py", ".yaml", ".txt", ".ttf")


def facts_digest(*values: object) -> str:
    """Return a digest of values made of frozen records, mappings, tuples and plain values.

    Two values with the same digest are equal: it covers each field that their equality compares, and the types.

    Raises
    ------
    TypeError
        If a value holds something of another kind, which has no digest.
    """
    parts: list[str] = []
    for value in values:
        _gather(value, parts.append)
    return sha256("\0".join(parts).encode("utf-8", "surrogatepass")).hexdigest()


@cache
def program() -> str:
    """Return the digest of this program's own files, of Python and of the libraries that draw and write."""
    parts = [sha256(sys.version.encode())]
    parts += [sha256(f"{name} {_version(name)}".encode()) for name in _LIBRARIES]
    parts += [sha256(content) for content in _contents(files("layout"))]
    return sha256(b"".join(part.digest() for part in parts)).hexdigest()


def _gather(value: Any, add: Callable[[str], None]) -> None:
    kind = type(value)
    if kind in _PLAIN:  # most are
        add(f"{kind.__name__} {value!r}")
    elif (names := _compared(kind)) is not None:  # type: ignore[arg-type]  # a class has a hash
        add(f"{kind.__qualname__} {len(names)}")
        for name in names:
            inner = getattr(value, name)
            if type(inner) in _PLAIN:
                add(f"{type(inner).__name__} {inner!r}")
            else:
                _gather(inner, add)
    elif isinstance(value, Enum | int | float):
        add(f"{kind.__qualname__} {value!r}")
    elif isinstance(value, str):
        add(f"str {str(value)!r}")
    elif isinstance(value, tuple | list):
        add(f"row {len(value)}")
        for entry in value:
            _gather(entry, add)
    elif isinstance(value, Mapping):
        add("mapping")
        _gather(tuple(value.items()), add)
    elif isinstance(value, frozenset | set):
        add(f"set {len(value)} {sorted(map(facts_digest, value))}")
    else:
        raise TypeError(f"{kind.__qualname__} has no digest")


@cache
def _compared(kind: type) -> tuple[str, ...] | None:
    """Return the fields that a record's equality looks at; None for another kind."""
    return tuple(one.name for one in fields(kind) if one.compare) if is_dataclass(kind) else None


def _version(library: str) -> str:
    try:
        return version(library)
    except PackageNotFoundError:
        return "none"


def _contents(folder: Traversable) -> list[bytes]:
    found: list[bytes] = []
    for entry in sorted(folder.iterdir(), key=lambda entry: entry.name):
        if entry.is_dir():
            found += _contents(entry)
        elif entry.name.endswith(_SOURCES):
            found.append(entry.read_bytes())
    return found
