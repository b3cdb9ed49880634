"""``spile new``: start a project."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from layout.cli.options import AsJson, Quiet
from layout.cli.voice import SAFETY, Voice

Folder = Annotated[
    Path, typer.Argument(metavar="DIR", help="Folder to write it into; made if need be.", show_default=False)
]


def new(folder: Folder, as_json: AsJson = False, quiet: Quiet = False) -> None:
    """Write a small project that builds as it is.

    Example: spile new my-panel && spile build my-panel/panel.yaml
    """
    from layout.project.editing.new_project import write_new

    voice = Voice(as_json=as_json, quiet=quiet)
    try:
        file = write_new(folder)
    except FileExistsError:
        there = "a project is there already" if folder.is_dir() else "it is a file"
        voice.refuse(f"no new project in '{folder}': {there}", remedy="name another folder", rule="file 91")
    except OSError as error:
        reason = (error.strerror or "it can't be written").lower()
        voice.refuse(f"no new project in '{folder}': {reason}", remedy="name another folder", rule="file 92")
    voice.line("A new project, ready to change:")
    voice.files([file])
    voice.line(f"Build it with: spile build {file}")
    voice.line(SAFETY)
    voice.finish()
