"""``spile place``: solve, show, remember."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from layout.cli.options import AsJson, EffortOption, EffortWord, OutDir, ProjectFile, Quiet, Seed
from layout.cli.report import tell
from layout.cli.session import open_project, usable_folder, written
from layout.cli.solving import solve
from layout.cli.voice import Voice

if TYPE_CHECKING:
    from layout.cli.session import Session
    from layout.flow import Arranged

Keep = Annotated[str, typer.Option("--keep", metavar="IDS", help="Devices that stay where they are: radio,plotter.")]
Alternatives = Annotated[int, typer.Option("--alternatives", "-n", min=1, max=20, help="How many that differ in kind.")]


def place(
    file: ProjectFile,
    alternatives: Alternatives = 1,
    keep: Keep = "",
    seed: Seed = 1,
    effort: EffortOption = EffortWord.NORMAL,
    out: OutDir = Path("out"),
    as_json: AsJson = False,
    quiet: Quiet = False,
) -> None:
    """Place the devices and show the result.

    Shown are positions, score by wish, and what is proven. The first arrangement of a project is kept in its register;
    later ones are proposals for "spile choose". With more than one, a contact sheet goes to the folder of --out.
    Ctrl-C keeps the best so far.

    Example: spile place panel.yaml --alternatives 6
    """
    voice = Voice(as_json=as_json, quiet=quiet)
    session = open_project(file, voice)
    if not session.has_devices_to_place:
        voice.refuse("no device stands on a panel", remedy="write panels and devices first")
    if alternatives > 1:
        usable_folder(out, voice)
    kept = tuple(name.strip() for name in keep.split(",") if name.strip())
    result = solve(voice, session, seed=seed, effort=effort, keep=kept, alternatives=alternatives)
    many = len(result.arrangements) > 1
    for number, arrangement in enumerate(result.arrangements, 1):
        tell(voice, session.project, arrangement, number=number if many else None)
    voice.explain(result.lines)
    session.save(result.register, voice)
    if many:
        _contact_sheet(voice, session, result, out)
    if result.is_first:
        voice.line(f"Kept as the project's arrangement, in {file.stem}.register.yaml.")
    elif result.register != session.register:
        voice.line(f"The chosen arrangement stays. To take one of these: spile choose {file} NUMBER")
    voice.finish((*session.findings, *result.findings), session.sources)


def _contact_sheet(voice: Voice, session: Session, result: Arranged, out: Path) -> None:
    from layout.handover.files.contact_file import contact_sheet  # noqa: PLC0415

    voice.line("Contact sheet:")
    made = written(lambda: contact_sheet(session.project, result.arrangements, out, lines=result.lines), out, voice)
    voice.files(made)
