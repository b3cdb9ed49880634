"""Commands that write one kind of document: template, schedule, printcheck, overlay."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from layout.cli.options import FINE, AsJson, OutDir, ProjectFile, Quiet
from layout.cli.session import open_project
from layout.cli.voice import Voice

Paper = Annotated[str, typer.Option("--paper", help="A4, A3, Letter, Legal or Tabloid.")]
TEMPLATES = ("drawing", "template", "machine")
SCHEDULES = (
    "schedule", "one-line", "wireways", "terminal-blocks", "legends", "cut-list", "parts", "label-list", "labels",
    "tests", "sizing", "still-to-find-out",
)  # fmt: skip


def template(
    file: ProjectFile,
    out: OutDir = Path("out"),
    measured: Annotated[
        str, typer.Option(help="What the printer's 100 mm bars measured, across x up: 99.4x99.7.")
    ] = "",
    as_json: AsJson = False,
    quiet: Quiet = False,
) -> None:
    """Write the drawings, cutting templates and machine files of a placed project.

    Example: spile template panel.yaml --measured 99.4x99.7
    """
    _documents(file, TEMPLATES, out, Voice(as_json=as_json, quiet=quiet), measured=measured)


def schedule(file: ProjectFile, out: OutDir = Path("out"), as_json: AsJson = False, quiet: Quiet = False) -> None:
    """Write the wire-run schedule and all that goes with it; works before anything is placed, with blanks.

    Example: spile schedule panel.yaml
    """
    _documents(file, SCHEDULES, out, Voice(as_json=as_json, quiet=quiet))


def _documents(file: Path, names: tuple[str, ...], out: Path, voice: Voice, *, measured: str = "") -> None:
    from layout import flow  # noqa: PLC0415

    session = open_project(file, voice)
    register = session.register
    plan = flow.planned(session.project, register, register.arrangement)
    findings = (*session.findings, *plan.findings)
    if register.arrangement is None:
        voice.line("Nothing is placed yet: lengths on panels are blank. spile place finds an arrangement.")
    files = flow.documents(plan, register, findings, out, only=names, measured=_bars(measured))
    session.remember(flow.remembered(register, plan), voice)
    voice.files(files)
    code = voice.findings(findings, session.sources)
    voice.done()
    raise typer.Exit(code)


def _bars(measured: str) -> tuple[float, float] | None:
    if not measured:
        return None
    from layout.drawing.template.scale import parse_measured  # noqa: PLC0415

    try:
        bars = parse_measured(measured)
    except ValueError as error:
        raise typer.BadParameter(str(error), param_hint="--measured") from None
    return bars.across_mm, bars.up_mm


def printcheck(
    out: OutDir = Path("out"), paper: Paper = "A4", as_json: AsJson = False, quiet: Quiet = False
) -> None:
    """Write a test page to measure the printer's scale with a steel rule.

    Example: spile printcheck --paper Letter
    """
    from layout import flow  # noqa: PLC0415

    voice = Voice(as_json=as_json, quiet=quiet)
    try:
        written = flow.printcheck(paper, out)
    except ValueError as error:
        raise typer.BadParameter(str(error), param_hint="--paper") from None
    voice.files([written])
    voice.line("Print it at 100 %, measure the bars, then: spile template FILE --measured ACROSSxUP")
    voice.done()
    raise typer.Exit(FINE)


def overlay(
    file: ProjectFile,
    device: Annotated[str, typer.Argument(metavar="DEVICE", help="Id of the device.")],
    out: OutDir = Path("out"),
    as_json: AsJson = False,
    quiet: Quiet = False,
) -> None:
    """Write one device's own template, to lay over the maker's paper before cutting.

    Example: spile overlay panel.yaml radio
    """
    from layout import flow  # noqa: PLC0415

    voice = Voice(as_json=as_json, quiet=quiet)
    project = open_project(file, voice).project
    if device not in project.devices or project.devices[device].face is None:
        raise typer.BadParameter(f"the project has no device '{device}' on a panel", param_hint="DEVICE")
    voice.files([flow.overlay(project, device, out)])
    voice.done()
    raise typer.Exit(FINE)
