"""``spile choose``: make a proposal the project's arrangement."""

from __future__ import annotations

from typing import Annotated

import typer

from layout.cli.commands.place import tell
from layout.cli.options import AsJson, ProjectFile, Quiet
from layout.cli.session import open_project
from layout.cli.voice import Voice


def choose(
    file: ProjectFile,
    number: Annotated[int, typer.Argument(metavar="NUMBER", help="Of the proposal, counted from 1.", min=1)],
    as_json: AsJson = False,
    quiet: Quiet = False,
) -> None:
    """Make a proposal of the last "spile place" the project's arrangement.

    Example: spile choose panel.yaml 3
    """
    from layout.placing.judge import judge  # noqa: PLC0415

    voice = Voice(as_json=as_json, quiet=quiet)
    session = open_project(file, voice)
    proposals = session.register.proposals
    if number > len(proposals):
        many = f"proposals 1 to {len(proposals)}" if proposals else "no proposals; run spile place first"
        raise typer.BadParameter(f"the register has {many}", param_hint="NUMBER")
    chosen = proposals[number - 1]
    findings = judge(session.project, chosen, chosen=session.register.arrangement)
    session.remember(session.register.with_arrangement(chosen), voice)
    tell(voice, session, chosen)
    voice.line(f"Proposal {number} is now the project's arrangement.")
    code = voice.findings((*session.findings, *findings), session.sources)
    voice.done()
    raise typer.Exit(code)
