"""What tells that a file was written since: its time and size, as the system keeps them."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

Stamp = tuple[str, int, int]
"""Name, time of the last change in nanoseconds, and bytes; a file that is not there has 0 and -1."""


def stamps(folder: Path, names: Iterable[str]) -> tuple[Stamp, ...]:
    """Return the stamps of files of a folder, in their order."""
    found = []
    for name in names:
        try:
            told = (folder / name).stat()
            found.append((name, told.st_mtime_ns, told.st_size))
        except OSError:
            found.append((name, 0, -1))
    return tuple(found)
