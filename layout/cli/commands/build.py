"""``spile build``: everything at once."""

from __future__ import annotations

from pathlib import Path

import typer

from layout.cli.commands.place import progress_line, tell
from layout.cli.options import AsJson, Effort, OutDir, ProjectFile, Quiet, Seed
from layout.cli.session import open_project
from layout.cli.voice import Voice


def build(
    file: ProjectFile,
    out: OutDir = Path("out"),
    seed: Seed = 1,
    effort: Effort = "normal",
    as_json: AsJson = False,
    quiet: Quiet = False,
) -> None:
    """Do it all and write the documents; places only if nothing is chosen yet.

    While facts are missing it gives what can be given, and a list of what is still to find out.

    Example: spile build panel.yaml --out out/panel
    """
    from layout import flow  # noqa: PLC0415

    voice = Voice(as_json=as_json, quiet=quiet)
    session = open_project(file, voice)
    project, register = session.project, session.register
    findings = list(session.findings)
    if register.arrangement is None and project.panels:
        work = flow.effort(effort)
        if work is None:
            raise typer.BadParameter(f"'{effort}' is not quick, normal or thorough", param_hint="--effort")
        result = flow.place(project, register, seed=seed, work=work, progress=progress_line(voice))
        register = result.register
        findings += result.findings
        for arrangement in result.arrangements:
            tell(voice, session, arrangement)
    voice.progress("wiring and drawing")
    plan = flow.planned(project, register, register.arrangement)
    findings += plan.findings
    files = flow.documents(plan, register, findings, out)
    session.remember(flow.remembered(register, plan), voice)
    voice.line(f"{project.project.name}, revision {project.project.revision}: {len(files)} documents")
    voice.files(files)
    code = voice.findings(findings, session.sources)
    voice.done()
    raise typer.Exit(code)
