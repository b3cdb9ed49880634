"""Write a file whole or not at all."""

from __future__ import annotations

import os
import re
import tempfile
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from layout.project.editing.lock import held_lock

if TYPE_CHECKING:
    from collections.abc import Iterable

_PART = re.compile(r"\.(.+)\.[A-Za-z0-9_]{8}\.part")
"""Name of what will replace a file: a dot, its name, and eight letters of the system's choice."""


def write_atomically(path: Path, text: str) -> None:
    """Replace a text file of the user's in one step; of a link, the file it leads to: the link stays.

    Raises
    ------
    OSError
        If the folder or the file can't be written; the old file is then untouched.
    """
    replace_file(path.resolve(), text.encode("utf-8"), sure=True)


def replace_file(path: Path, content: bytes, *, sure: bool = False) -> Path:
    """Replace a file in one step, so that a crash leaves the old or the new content and nothing between.

    Parameters
    ----------
    sure
        Wait until the disk has it.

    Raises
    ------
    OSError
        If the folder or the file can't be written; the old file is then untouched.
    """
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
            if sure:
                stream.flush()
                os.fsync(stream.fileno())
        part.chmod(path.stat().st_mode & 0o777 if path.exists() else 0o666 & ~_umask())
        part.replace(path)
    except BaseException:
        with suppress(OSError):
            part.unlink()
        raise
    return path


def put_into(folder: Path | str, files: Iterable[tuple[str, bytes]]) -> tuple[Path, ...]:
    """Write files into a folder, which is made if need be; each replaces its older self in one step.

    Raises
    ------
    OSError
        If the folder can't be written; what was written before is whole.
    HeldError
        If another process is writing into the folder for too long.
    """
    paths = [(Path(folder) / name, content) for name, content in files]
    Path(folder).mkdir(parents=True, exist_ok=True)
    with held_lock(Path(folder), "spile"):
        drop_leftovers(path for path, _ in paths)
        return tuple(replace_file(path, content) for path, content in paths)


def drop_leftovers(paths: Iterable[Path]) -> None:
    """Remove what processes left half written that were ended while they replaced one of these files.

    Only for who holds the files for writing: what another process is writing just now looks the same.
    """
    names: dict[Path, set[str]] = {}
    for path in paths:
        names.setdefault(path.parent, set()).add(path.name)
    for folder, known in names.items():
        with suppress(OSError):
            for path in folder.iterdir():
                part = _PART.fullmatch(path.name)
                if part is not None and part[1] in known:
                    with suppress(OSError):
                        path.unlink()


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
