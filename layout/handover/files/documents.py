"""Write the documents: every one whole or not at all, same bytes for the same project, stable names."""

from __future__ import annotations

import os
import tempfile
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layout.handover.handed import Work


def write_documents(work: Work, out_dir: Path | str, *, only: Iterable[str] | None = None) -> tuple[Path, ...]:
    """Make documents and write them.

    All are made before the first is written, and each replaces its older self in one step.

    Parameters
    ----------
    work
        Project and results. What depends on something unknown is left out or says so.
    out_dir
        Folder, made if it is not there. Other files in it stay.
    only
        Names of :data:`layout.handover.files.makers.DOCUMENTS`; None makes all that can be made.

    Returns
    -------
    tuple of Path
        What was written, in the order of that table.

    Raises
    ------
    ValueError
        If ``only`` names no document, or a text has a character that the font lacks.
    OSError
        If the folder can't be written to; files written before are whole.
    """
    from layout.handover.files.makers import DOCUMENTS  # noqa: PLC0415  (loads every document's libraries)

    folder = Path(out_dir)
    wanted = tuple(DOCUMENTS) if only is None else tuple(dict.fromkeys(only))
    unknown = [name for name in wanted if name not in DOCUMENTS]
    if unknown:
        raise ValueError(f"there is no document '{unknown[0]}'; there are {', '.join(DOCUMENTS)}")
    made = [file for name in DOCUMENTS if name in wanted for file in DOCUMENTS[name](work)]
    folder.mkdir(parents=True, exist_ok=True)
    return tuple(replace_file(folder / name, content) for name, content in made)


def replace_file(path: Path, content: bytes) -> Path:
    """Write a file in one step: whole, or as it was."""
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
        part.chmod(0o644)
        part.replace(path)
    except BaseException:
        with suppress(OSError):
            part.unlink()
        raise
    return path
