"""A sentence about each key of the file: the model's docstrings, and a table where those speak of several at once."""

from __future__ import annotations

import inspect
import re
from functools import cache
from importlib import resources
from typing import Any

_ROW = re.compile(r"[a-z_]\w*(?:, [a-z_]\w*)*")


@cache
def attribute_texts(record: Any) -> dict[str, str]:
    """Return the text of each field: its own of the table, else that of the docstring's Attributes (numpydoc)."""
    table = key_texts()
    own = {**table["every record"], **table.get(record.__name__, {})}
    _, _, section = inspect.cleandoc(record.__doc__ or "").partition("Attributes\n----------\n")
    found: dict[str, str] = {}
    names: list[str] = []
    for line in section.splitlines():
        if _ROW.fullmatch(line):
            names = line.split(", ")
        elif line.startswith("    "):
            for name in names:
                found[name] = f"{found.get(name, '')} {line.strip()}".strip()
        elif line.strip():
            break
    for field in (*getattr(record, "__dataclass_fields__", ()), *getattr(record, "SHORT", ())):
        if field.rstrip("_") in table.get(record.__name__, {}) or field not in found:
            found[field] = own.get(field.rstrip("_"), found.get(field, ""))
    return {name: re.sub("`+", "'", text) for name, text in found.items() if text}


@cache
def key_texts() -> dict[str, dict[str, str]]:
    """Return the table of sentences: by record, then by key as the file writes it."""
    from layout.shipped import shipped_yaml

    text = resources.files("layout.project.reading").joinpath("key_texts.yaml").read_text(encoding="utf-8")
    return {record: dict(rows) for record, rows in shipped_yaml(text).items()}
