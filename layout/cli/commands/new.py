"""``spile new``: start a project."""

from __future__ import annotations

from pathlib import Path  # noqa: TC003  (typer reads the annotations at run time)
from typing import Annotated

import typer

from layout.cli.options import FINE, UNUSABLE, AsJson, Quiet
from layout.cli.voice import Voice


def new(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="Folder to write it into; made if need be.")],
    as_json: AsJson = False,
    quiet: Quiet = False,
) -> None:
    """Write a small commented project that builds as it is.

    Example: spile new my-panel && spile build my-panel/panel.yaml
    """
    from layout.findings import Finding, Place  # noqa: PLC0415
    from layout.project.new import write_new  # noqa: PLC0415

    voice = Voice(as_json=as_json, quiet=quiet)
    code = FINE
    try:
        file = write_new(folder)
    except OSError as error:
        there = isinstance(error, FileExistsError)
        reason = "a project is there already" if there else (error.strerror or "it can't be written").lower()
        voice.findings([
            Finding(
                rule="DOC001",
                message=f"no new project in '{folder}': {reason}",
                at=Place(str(folder)),
                remedy="name another folder",
            )
        ])  # fmt: skip
        code = UNUSABLE
    else:
        voice.line("A new project, ready to change:")
        voice.files([file])
        voice.line(f"Build it with: spile build {file}")
    voice.done()
    raise typer.Exit(code)
