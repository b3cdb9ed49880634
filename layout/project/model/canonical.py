"""A short digest of a part of the model that stays the same while what it says stays the same.

The text behind it holds what differs from the model's own defaults, under the keys of the file, sorted; so a key that
is added to the model later, or an order of keys in the file, leaves no trace. What people only read does not count.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import MISSING, Field, fields, is_dataclass
from enum import Enum
from typing import Any

CANONICAL_FORM = 1
"""Version of the text; raised when it changes, so that digests of an older form are known not to compare."""

ONLY_READ = frozenset({"id", "name", "note", "why", "legend"})
"""Keys that people read and no rule looks at; an id is the key that its entry stands under."""


def digest(value: object) -> str:
    """Return the digest of a value of the model, behind the version of its form: ``1-9f2c41a07be3``."""
    return f"{CANONICAL_FORM}-{hashlib.sha256(canonical(value).encode()).hexdigest()[:12]}"


def is_of_this_form(mark: str) -> bool:
    """Tell whether a digest can be compared with one made now."""
    return mark.startswith(f"{CANONICAL_FORM}-")


def canonical(value: object) -> str:
    """Return the text that is digested."""
    return json.dumps(plain_data(value, left_out=ONLY_READ), ensure_ascii=True, sort_keys=True, separators=(",", ":"))


def plain_data(value: Any, *, left_out: frozenset[str]) -> Any:
    """Return a value of the model as tables, lists and scalars under the keys of the file, without what is as default.

    Parameters
    ----------
    left_out
        Names of fields that do not count.
    """
    if is_dataclass(value):
        said = {one.name: getattr(value, one.name) for one in fields(value) if one.name not in left_out}
        return {
            one.name.rstrip("_"): plain_data(said[one.name], left_out=left_out)
            for one in fields(value)
            if one.name in said and said[one.name] != default_of(one)
        }
    if isinstance(value, Mapping):
        return {str(key): plain_data(entry, left_out=left_out) for key, entry in value.items()}
    if isinstance(value, tuple):
        return [plain_data(entry, left_out=left_out) for entry in value]
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, float):
        return int(value) if value.is_integer() else value
    return value


def default_of(field: Field[Any]) -> Any:
    """Return what a field is where nothing is said; ``MISSING`` where something must be."""
    return field.default_factory() if field.default_factory is not MISSING else field.default
