"""What a revision handed over, as the register keeps it: JSON text whose form is checked before anything is written."""

from __future__ import annotations

import json
from typing import Any

_TEXT, _NUMBER, _LIST = (str,), (int, float), (list,)
_NONE = type(None)

ISSUED_FORM: dict[str, dict[str, tuple[type, ...]]] = {
    "devices": {"name": _TEXT, "panel": _TEXT, "x": _NUMBER, "y": _NUMBER, "turn": (int,)},
    "wires": {
        "number": _TEXT, "name": _TEXT, "from": _TEXT, "to": _TEXT, "size": _TEXT, "colours": _LIST,
        "length_m": (*_NUMBER, _NONE), "fuse": _TEXT, "route": _LIST,
    },
    "ways": {"name": _TEXT, "rating": (*_NUMBER, _NONE)},
}  # fmt: skip
"""Keys of each entry by part, and the types they may have."""


def issued_fault(state: str) -> str | None:
    """Say what is wrong with an issued state, or None if it can be compared with a later one."""
    try:
        data: Any = json.loads(state, parse_constant=_refuse)
    except (ValueError, RecursionError):
        return "it is no JSON text"
    if not isinstance(data, dict):
        return "it holds no table"
    for part, keys in ISSUED_FORM.items():
        entries = data.get(part)
        if not isinstance(entries, dict):
            return f"it has no table '{part}'"
        for name, entry in entries.items():
            if not isinstance(entry, dict):
                return f"{part} '{name}' is no table"
            for key, kinds in keys.items():
                value = entry.get(key, ...)
                if not isinstance(value, kinds) or isinstance(value, bool):
                    return f"'{key}' of {part} '{name}' is missing or of another kind"
    return None


def _refuse(word: str) -> None:
    raise ValueError(f"{word} is no number")
