"""Start a project: a small commented file that builds as it is, with the schemas that an editor reads beside it."""

from __future__ import annotations

import os
from importlib import resources
from typing import TYPE_CHECKING

from layout.project.editing.writing import put_into

if TYPE_CHECKING:
    from pathlib import Path

FILE_NAME = "panel.yaml"
"""Name of the new project's file."""

SCHEMAS = ("project.schema.json", "part.schema.json", "shelf.schema.json")
"""Schemas of what people write: a project, a file that it includes, a shelf of devices."""


def new_text() -> str:
    """Return the text of the new project."""
    return resources.files("layout.project").joinpath("new_project.yaml").read_text(encoding="utf-8")


def write_new(folder: Path) -> Path:
    """Write the new project into a folder, which is made if need be, and ``schemas/`` for editors beside it.

    Returns
    -------
    Path
        The project's file.

    Raises
    ------
    FileExistsError
        If there is a project already; nothing is overwritten.
    OSError
        If the folder can't be written.
    """
    from layout.project.reading.schema import schemas

    folder.mkdir(parents=True, exist_ok=True)
    target = folder / FILE_NAME
    if os.path.lexists(target):
        raise FileExistsError(target)
    texts = schemas()
    put_into(folder / "schemas", [(name, texts[name].encode("utf-8")) for name in SCHEMAS])
    return put_into(folder, [(FILE_NAME, new_text().encode("utf-8"))])[0]  # last: it says that all is there
