"""``spile report``: one page to share."""

from __future__ import annotations

from pathlib import Path

from layout.cli.options import AsJson, OutDir, ProjectPath, Quiet
from layout.cli.session import open_project, usable_folder, written
from layout.cli.voice import Voice


def report(file: ProjectPath, out: OutDir = Path("out"), as_json: AsJson = False, quiet: Quiet = False) -> None:
    """Write one page to share, for reading anywhere.

    It opens from disk, on a telephone too, and asks for nothing: alternatives side by side, the panels, drawings with
    wires that light up, findings, lists that sort and filter. Nothing is placed anew, and the register stays as it is.

    Example: spile report panel.yaml --out out/panel
    """
    from layout import flow
    from layout.drawing.panel.page_photograph import photographs

    voice = Voice(as_json=as_json, quiet=quiet)
    session = open_project(file, voice)
    usable_folder(out, voice)
    register = session.register
    voice.progress("wiring and drawing")
    plan = flow.plan(session.project, register.arrangement, register=register, found=session.findings)
    pictures, faults = photographs(session.project, file.parent)
    page = written(lambda: flow.report(plan, out, proposals=register.proposals, photographs=pictures), out, voice)
    voice.files([page])
    voice.line("Send it as it is: everything is inside.")
    voice.finish((*plan.findings, *faults), session.sources)
