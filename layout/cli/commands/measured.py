"""``spile measured``: feed back what was measured aboard, and compare."""

from __future__ import annotations

from pathlib import Path  # noqa: TC003  (typer reads the annotations at run time)
from typing import Annotated

import typer

from layout.cli.options import AsJson, ProjectFile, Quiet
from layout.cli.session import open_project
from layout.cli.voice import Voice


def measured(
    file: ProjectFile,
    wire: Annotated[str, typer.Argument(metavar="[WIRE]", help="Number on the wire's label.")] = "",
    values: Annotated[list[str] | None, typer.Argument(metavar="[VALUE]...", help="4.2m, 0.31V, 6A.")] = None,
    csv: Annotated[Path | None, typer.Option("--csv", help="The filled CSV of the test sheet.")] = None,
    as_json: AsJson = False,
    quiet: Quiet = False,
) -> None:
    """Take in measured lengths and drops, keep them beside the project, and compare them with the calculated ones.

    Example: spile measured panel.yaml 005 0.31V 6A
    """
    from layout import flow  # noqa: PLC0415
    from layout.handover.commission import compare, read_measured  # noqa: PLC0415
    from layout.handover.measured_file import (  # noqa: PLC0415
        from_words, load_measured, measured_path, merged, save_measured,
    )  # fmt: skip
    from layout.quantity import QuantityError  # noqa: PLC0415

    voice = Voice(as_json=as_json, quiet=quiet)
    session = open_project(file, voice)
    path = measured_path(file)
    known, faults = load_measured(path)
    new = ()
    if wire:
        try:
            new = (from_words(wire, values or ()),)
        except QuantityError as error:
            raise typer.BadParameter(str(error), param_hint="VALUE") from None
    if csv is not None:
        try:
            text = csv.read_text(encoding="utf-8-sig")
        except (OSError, UnicodeDecodeError) as error:
            raise typer.BadParameter(f"'{csv}' can't be read: {error}", param_hint="--csv") from None
        rows, more = read_measured(text, name=csv.name)
        new, faults = (*new, *rows), (*faults, *more)
    everything = merged(known, new)
    if new and not faults:
        save_measured(path, everything)
    plan = flow.planned(session.project, session.register, session.register.arrangement)
    voice.data["measured"] = len(everything)
    voice.line(f"{len(everything)} wires measured, kept in {path.name}.")
    code = voice.findings((*faults, *compare(plan.wiring, everything)))
    voice.done()
    raise typer.Exit(code)
