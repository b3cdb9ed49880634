"""Look through a value for anything that could be written to."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from enum import Enum
from typing import TYPE_CHECKING, Any

from layout.frozen import FrozenMap

if TYPE_CHECKING:
    from collections.abc import Iterator

PLAIN = (str, int, float, bool, type(None), Enum)


def changeable(value: Any, path: str = "") -> Iterator[str]:
    """Give the path of everything within a value that is neither plain nor frozen."""
    if is_dataclass(value):
        if not type(value).__dataclass_params__.frozen:  # type: ignore[attr-defined]
            yield path
        for one in fields(value):
            if not one.compare and not one.init:
                continue  # what was made from the value already: it only spares work and takes no part in it
            yield from changeable(getattr(value, one.name), f"{path}.{one.name}")
    elif isinstance(value, FrozenMap):
        for key, entry in value.items():
            yield from changeable(key, f"{path}.{key}")
            yield from changeable(entry, f"{path}.{key}")
    elif isinstance(value, tuple | frozenset):
        for index, entry in enumerate(value):
            yield from changeable(entry, f"{path}.{index}")
    elif not isinstance(value, PLAIN):
        yield f"{path}: {type(value).__name__}"
