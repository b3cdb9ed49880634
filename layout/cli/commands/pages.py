"""Commands that write one kind of document: template, schedule, printcheck, overlay."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn

import typer

from layout.cli.document_lines import tell_withheld, tell_written
from layout.cli.options import AsJson, DeviceId, Fresh, OutDir, ProjectPath, Quiet
from layout.cli.session import device_of, open_project, usable_folder, written
from layout.cli.voice import Voice

if TYPE_CHECKING:
    from collections.abc import Sequence

TEMPLATES = ("workshop", "drawing", "template", "machine")
NOT_LISTS = (*TEMPLATES, "shopping", "reckoning")
"""What the schedule and its lists leave out."""

_Paper = Annotated[str, typer.Option("--paper", help="A4, A3, Letter, Legal or Tabloid.")]
Bars = Annotated[
    str,
    typer.Option("--bars", metavar="AxB", help="What the 100 mm bars measured: across the sheet x along its length."),
]

Marks = Annotated[bool, typer.Option("--marks", help="Sheets with marks, to lay beside what is photographed.")]


def template(
    file: ProjectPath,
    measured: Bars = "",
    out: OutDir = Path("out"),
    fresh: Fresh = False,
    as_json: AsJson = False,
    quiet: Quiet = False,
) -> None:
    """Write drawings, templates and machine files.

    Example: spile template panel.yaml --bars 99.4x99.7
    """
    voice = Voice(as_json=as_json, quiet=quiet)
    _documents(file, TEMPLATES, out, voice, command="template", fresh=fresh, measured=_bars(measured, voice))


def schedule(
    file: ProjectPath,
    out: OutDir = Path("out"),
    fresh: Fresh = False,
    as_json: AsJson = False,
    quiet: Quiet = False,
) -> None:
    """Write the wire-run schedule and its lists.

    Before anything is placed, lengths on panels are left blank.

    Example: spile schedule panel.yaml
    """
    from layout.handover.documents import DOCUMENT_NAMES

    names = [name for name in DOCUMENT_NAMES if name not in NOT_LISTS]
    _documents(file, names, out, Voice(as_json=as_json, quiet=quiet), command="schedule", fresh=fresh)


def _documents(
    file: Path,
    names: Sequence[str],
    out: Path,
    voice: Voice,
    *,
    command: str,
    fresh: bool,
    measured: tuple[float, float] | None = None,
) -> None:
    from layout import flow

    session = open_project(file, voice, writes=command)
    usable_folder(out, voice)
    register = session.register
    voice.progress("wiring and drawing")
    plan = flow.plan(
        session.project, register.arrangement, register=register, found=session.findings, measured=measured
    )
    plan = flow.with_photographs(plan, file.parent)
    if register.arrangement is None:
        voice.line("Nothing is placed yet: lengths on panels are blank. spile arrange finds an arrangement.")
    session.save(flow.remember(register, plan), voice)
    tell_written(voice, written(lambda: flow.hand_over(plan, out, only=names, fresh=fresh), out, voice))
    tell_withheld(voice, plan, names)
    voice.finish(plan.findings, session.sources)


def _bars(measured: str, voice: Voice) -> tuple[float, float] | None:
    from layout.drawing.template.true_scale import MeasuredPrinter

    if not measured:
        return None
    try:
        across, up = (float(part) for part in measured.lower().replace("mm", "").split("x"))
    except ValueError:
        voice.refuse(f"'{measured}' is not two lengths", remedy="write --bars 99.4x99.7, short side before long side")
    try:
        MeasuredPrinter(across_mm=across, up_mm=up)
    except ValueError:
        voice.refuse(
            f"bars of 100 mm measured as {across:g} x {up:g} mm: that print was scaled",
            remedy="print at 100 %, without fitting to the page, and measure again",
        )
    return across, up


def printcheck(
    out: OutDir = Path("out"), paper: _Paper = "A4", marks: Marks = False, as_json: AsJson = False, quiet: Quiet = False
) -> None:
    """Write a page to measure the printer's scale.

    Example: spile printcheck --paper Letter
    """
    if marks:
        _marks(paper, out, Voice(as_json=as_json, quiet=quiet))
    from layout.handover.books.single_sheets import printcheck_sheet

    voice = Voice(as_json=as_json, quiet=quiet)
    usable_folder(out, voice)
    try:
        file = written(lambda: printcheck_sheet(paper, out), out, voice)
    except ValueError as error:
        voice.refuse(str(error))
    voice.files([file])
    voice.line("Print it at 100 %, measure the bars, then: spile template FILE --bars ACROSSxUP")
    voice.finish()


def _marks(paper: str, out: Path, voice: Voice) -> NoReturn:
    from layout.handover.books.single_sheets import mark_sheets as pages
    from layout.trace.needs import missing_libraries

    if lacking := missing_libraries():
        voice.refuse(
            f"marks need {', '.join(lacking)}", remedy="install them with: pip install 'spile[trace]'", rule="file 95"
        )
    usable_folder(out, voice)
    try:
        file = written(lambda: pages(paper, out), out, voice)
    except ValueError as error:
        voice.refuse(str(error))
    voice.files([file])
    voice.line("Print it at 100 %, lay four sheets round the thing, photograph it, then: spile trace PICTURE")
    voice.finish()


def overlay(
    file: ProjectPath, device: DeviceId, out: OutDir = Path("out"), as_json: AsJson = False, quiet: Quiet = False
) -> None:
    """Write one device's own template.

    It is laid over the maker's paper before anything is cut.

    Example: spile overlay panel.yaml radio
    """
    from layout.handover.books.single_sheets import overlay_sheet

    voice = Voice(as_json=as_json, quiet=quiet)
    session = open_project(file, voice)
    usable_folder(out, voice)
    device_of(session, device, voice)
    voice.files([written(lambda: overlay_sheet(session.project, device, out), out, voice)])
    voice.finish(session.findings, session.sources)
