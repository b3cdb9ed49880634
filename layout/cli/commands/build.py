"""``spile build``: everything at once."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Annotated

import typer

from layout.cli.options import AsJson, EffortOption, EffortWord, OutDir, ProjectFile, Quiet, Seed
from layout.cli.report import tell, tell_withheld
from layout.cli.session import open_project, read_csv, usable_folder, written
from layout.cli.solving import solve
from layout.cli.voice import SAFETY, Voice
from layout.frozen import FrozenMap

Prices = Annotated[
    Path | None,
    typer.Option(metavar="CSV", help="Your prices: csv/parts.csv with a column price.", show_default=False),
]


def build(
    file: ProjectFile,
    out: OutDir = Path("out"),
    seed: Seed = 1,
    effort: EffortOption = EffortWord.NORMAL,
    prices: Prices = None,
    as_json: AsJson = False,
    quiet: Quiet = False,
) -> None:
    """Do it all and write the documents.

    Devices are placed only if nothing is chosen yet. While facts are missing it gives what can be given, and a list of
    what is still to find out.

    Example: spile build panel.yaml --out out/panel
    """
    from layout import flow

    voice = Voice(as_json=as_json, quiet=quiet)
    session = open_project(file, voice, writes="build")
    usable_folder(out, voice)
    paid = {} if prices is None else _prices(prices, voice)
    project, register, findings = session.project, session.register, session.findings
    if register.arrangement is None and session.has_devices_to_place:
        result = solve(voice, session, seed=seed, effort=effort)
        register, findings = result.register, (*findings, *result.findings)
        for arrangement in result.arrangements:
            tell(voice, project, arrangement)
        voice.explain(result.lines)
    voice.progress("wiring and drawing")
    plan = flow.plan(project, register.arrangement, register=register, found=findings)
    plan = replace(plan, prices=FrozenMap(paid))
    session.save(flow.remember(register, plan), voice)
    files = written(lambda: flow.hand_over(plan, out), out, voice)
    voice.line(f"{project.project.name}, revision {project.project.revision}: {len(files)} documents")
    voice.files(files)
    tell_withheld(voice, plan)
    voice.line(SAFETY)
    voice.finish(plan.findings, session.sources)


def _prices(file: Path, voice: Voice) -> dict[str, float]:
    from layout.handover.lists.prices import read_prices

    prices, faults = read_prices(read_csv(file, voice), name=file.name)
    if faults:
        voice.stop(faults)
    return prices
