"""``spile check``: read and judge, without solving."""

from __future__ import annotations

import typer

from layout.cli.options import AsJson, ProjectFile, Quiet
from layout.cli.session import open_project
from layout.cli.voice import Voice


def check(file: ProjectFile, as_json: AsJson = False, quiet: Quiet = False) -> None:
    """Read a project and judge it without solving: the chosen arrangement, the wiring, the networks, the energy.

    Example: spile check panel.yaml
    """
    from layout import flow  # noqa: PLC0415

    voice = Voice(as_json=as_json, quiet=quiet)
    session = open_project(file, voice)
    project, arrangement = session.project, session.register.arrangement
    plan = flow.planned(project, session.register, arrangement)
    voice.line(
        f"{project.project.name}: {len(project.panels)} panels, {len(project.devices)} devices, "
        f"{len(project.circuits)} circuits, {len(project.wireways)} wireways."
    )
    if arrangement is None and project.panels:
        voice.line("Nothing is placed yet: spile place finds an arrangement.")
    code = voice.findings((*session.findings, *plan.findings), session.sources)
    if code == 0:
        voice.line("No errors.")
    voice.done()
    raise typer.Exit(code)
