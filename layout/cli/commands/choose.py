"""``spile choose``: make a proposal the project's arrangement."""

from __future__ import annotations

from typing import Annotated

import typer

from layout.cli.arrangement_lines import tell
from layout.cli.options import AsJson, ProjectPath, Quiet
from layout.cli.session import open_project
from layout.cli.voice import Voice

_Number = Annotated[
    int, typer.Argument(metavar="NUMBER", help="Of the proposal, counted from 1.", min=1, show_default=False)
]


def choose(file: ProjectPath, number: _Number, as_json: AsJson = False, quiet: Quiet = False) -> None:
    """Make a proposal of "spile arrange" the arrangement.

    A proposal that no longer holds the project's rules is not taken.

    Example: spile choose panel.yaml 3
    """
    from layout.placing.chosen import no_longer_fits
    from layout.placing.judge import judge, refusals

    voice = Voice(as_json=as_json, quiet=quiet)
    session = open_project(file, voice, writes="choose")
    proposals = session.register.proposals
    if number > len(proposals):
        there = f"proposals 1 to {len(proposals)}" if proposals else "no proposals"
        voice.refuse(f"there is no proposal {number}: the register has {there}", remedy=f"run: spile arrange {file}")
    chosen = proposals[number - 1]
    judged = judge(session.project, chosen, chosen=session.register.arrangement)
    faults = no_longer_fits(session.project, chosen, refusals(judged))
    tell(voice, session.project, chosen)
    if faults:
        voice.line(f"Proposal {number} is not taken; the project's arrangement stays.")
    else:
        session.save(session.register.with_arrangement(chosen), voice)
        voice.line(f"Proposal {number} is now the project's arrangement.")
    voice.finish((*session.findings, *judged, *faults), session.sources)
