"""Write a file whole or not at all."""

from __future__ import annotations

import os
import tempfile
from contextlib import suppress
from pathlib import Path


def write_atomically(path: Path, text: str) -> None:
    """Replace a file's content in one step, so that a crash leaves the old or the new text and nothing between.

    Raises
    ------
    OSError
        If the folder or the file can't be written; the old file is then untouched.
    """
    path = path.resolve()  # of a link, the file it leads to: the link stays
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
    part = Path(name)
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as stream:
            stream.write(text)
            stream.flush()
            os.fsync(stream.fileno())
        part.chmod(path.stat().st_mode & 0o777 if path.exists() else 0o666 & ~_umask())
        part.replace(path)
    except BaseException:
        with suppress(OSError):
            part.unlink()
        raise


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
