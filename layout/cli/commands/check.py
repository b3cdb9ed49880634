"""``spile check``: read and judge, without solving."""

from __future__ import annotations

from layout.cli.options import AsJson, ProjectPath, Quiet
from layout.cli.session import open_project
from layout.cli.voice import Voice


def check(file: ProjectPath, as_json: AsJson = False, quiet: Quiet = False) -> None:
    """Read and judge, without solving or writing.

    Judged are the chosen arrangement, the wiring, the networks and the energy. While nothing is placed, lengths are
    reckoned as if each device stood in the middle of its panel.

    Example: spile check panel.yaml
    """
    from layout import flow
    from layout.findings import has_stops

    voice = Voice(as_json=as_json, quiet=quiet)
    session = open_project(file, voice)
    project, arrangement = session.project, session.register.arrangement
    voice.progress("checking")
    plan = flow.plan(project, arrangement, register=session.register, found=session.findings, rough=True)
    counts = [(name, len(getattr(project, f"{name}s"))) for name in ("panel", "device", "circuit", "wireway")]
    said = ", ".join(f"{many} {name}{'' if many == 1 else 's'}" for name, many in counts)
    voice.line(f"{project.project.name}: {said}.")
    if arrangement is None and project.panels:
        voice.line("Nothing is placed yet: lengths are reckoned from the middle of each panel.")
        voice.line("spile arrange finds an arrangement.")
    if not has_stops(plan.findings):
        voice.line("Nothing stops it." if plan.findings else "Nothing is found.")
    voice.finish(plan.findings, session.sources)
