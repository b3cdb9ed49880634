"""What the docstrings of the model say about each field, for editors that show it beside the key."""

from __future__ import annotations

import inspect
import re
from functools import cache

_ROW = re.compile(r"[a-z_]\w*(?:, [a-z_]\w*)*")


@cache
def attribute_texts(record: type) -> dict[str, str]:
    """Return the text of each field that the class docstring's section Attributes tells about (numpydoc)."""
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
    return {name: text.replace("``", "'") for name, text in found.items()}
