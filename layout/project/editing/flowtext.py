"""Plain data as YAML text that our own scalar rules read back unchanged, in one line."""

from __future__ import annotations

import json
import math
import re
from decimal import Decimal

from layout.project.reading.nodes import scalar

_PLAIN = re.compile(r"[A-Za-z_][\w.+-]*(?: [\w.+-]+)*|\d[\w.]*(?: [\w./-]+)+", re.ASCII)
_RESERVED = frozenset({"null", "true", "false", "yes", "no", "on", "off"})


def flow(value: object) -> str:
    """Write a value in flow style: ``{x: 120, y: 40}``, ``[a, b]``, ``12 mm``.

    Raises
    ------
    TypeError
        If it holds anything but tables, lists, text, finite numbers, truth values and None.
    """
    if isinstance(value, dict):
        return "{" + ", ".join(f"{flow_text(str(key))}: {flow(entry)}" for key, entry in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(flow(entry) for entry in value) + "]"
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float) and math.isfinite(value):
        return number(value)
    if isinstance(value, str):
        return flow_text(value)
    raise TypeError(f"can't write {value!r} into a project file")


def flow_text(value: str) -> str:
    """Write text, in double quotes wherever it could be read as something else."""
    if _PLAIN.fullmatch(value) and value.lower() not in _RESERVED and scalar(value, plain=True) == value:
        return value
    quoted = json.dumps(value, ensure_ascii=False)
    return re.sub("[\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff]", lambda odd: f"\\u{ord(odd[0]):04x}", quoted)


def number(value: float) -> str:
    """Write a number as a plain decimal, without exponent, and without ``.0``."""
    if value == int(value) and abs(value) < 1e15:
        return str(int(value))
    return format(Decimal(repr(value)), "f")
