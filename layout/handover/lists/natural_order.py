"""The order in which people count: way 2 before way 10."""

from __future__ import annotations

import re

_PARTS = re.compile(r"(\d+)")


def natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """Return a key that sorts numbers within a text by their value.

    >>> sorted(["10", "2", "in"], key=natural)
    ['2', '10', 'in']
    """
    return tuple((0, int(part), "") if part.isdigit() else (1, 0, part) for part in _PARTS.split(text) if part)
