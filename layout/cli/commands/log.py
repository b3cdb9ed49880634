"""``spile log``: feed back what was measured aboard, and compare."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from layout.cli.options import AsJson, ProjectPath, Quiet
from layout.cli.session import open_project, read_csv, written
from layout.cli.voice import Voice

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.handover.files.measured_values import MeasuredRun

_WireNumber = Annotated[
    str, typer.Argument(metavar="WIRE", help="Number on the wire's label, such as 005.", show_default=False)
]
Values = Annotated[
    list[str] | None, typer.Argument(metavar="VALUE", help="Length, drop, amperes: 4.2m 0.31V 6A.", show_default=False)
]
Csv = Annotated[Path | None, typer.Option("--csv", metavar="CSV", help="The filled CSV of the test sheet.")]


def log(
    file: ProjectPath,
    wire: _WireNumber = "",
    values: Values = None,
    csv: Csv = None,
    as_json: AsJson = False,
    quiet: Quiet = False,
) -> None:
    """Take in what was measured, and compare.

    Lengths and drops are kept beside the project, and held against what was worked out.

    Example: spile log panel.yaml 005 0.31V 6A
    """
    from layout import flow
    from layout.handover.files.measured_file import measured_path, merged_rows, save_measured
    from layout.handover.files.measured_values import compare_measured

    voice = Voice(as_json=as_json, quiet=quiet)
    session = open_project(file, voice, writes="measured")
    path = measured_path(file)
    known = _rows(path, voice) if path.exists() else ()
    new = (*_typed_in(wire, values or (), voice), *(_rows(csv, voice) if csv else ()))
    plan = flow.plan(session.project, session.register.arrangement, register=session.register)
    strangers = [one for one in compare_measured(plan.wiring, new) if one.rule == "paper 3"]
    if strangers:
        voice.stop(strangers)
    everything = merged_rows(known, new)
    if new:
        written(lambda: save_measured(path, everything), path, voice)
    voice.data["measured"] = len(everything)
    voice.line(f"Wires measured so far: {len(everything)}" + (f", kept in {path.name}." if everything else "."))
    voice.finish(compare_measured(plan.wiring, everything))


def _typed_in(wire: str, values: Sequence[str], voice: Voice) -> tuple[MeasuredRun, ...]:
    from layout.handover.files.measured_file import from_words
    from layout.quantity import QuantityError

    if not wire:
        return ()
    if not values:
        voice.refuse(f"nothing is said to be measured on '{wire}'", remedy="add a length, a drop or amperes: 0.31V 6A")
    try:
        return (from_words(wire, values),)
    except QuantityError as error:
        voice.refuse(str(error))


def _rows(csv: Path, voice: Voice) -> tuple[MeasuredRun, ...]:
    from layout.handover.files.measured_values import read_measured

    rows, faults = read_measured(read_csv(csv, voice), name=csv.name)
    if faults:
        voice.stop(faults)
    return rows
