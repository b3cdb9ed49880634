"""``spile build``: everything at once."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn

import typer

from layout.cli.arrangement_lines import tell
from layout.cli.document_lines import tell_withheld, tell_written
from layout.cli.options import UNUSABLE, AsJson, EffortOption, EffortWord, Fresh, OutDir, Quiet, Seed
from layout.cli.session import open_project, read_csv, usable_folder, written
from layout.cli.solving import solve
from layout.cli.voice import SAFETY, Voice
from layout.frozen import FrozenMap

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.many import Made

ProjectFiles = Annotated[
    list[Path],
    typer.Argument(metavar="FILE...", help="The project's YAML file; several, or a folder.", show_default=False),
]
Prices = Annotated[
    Path | None,
    typer.Option(metavar="CSV", help="Your prices: csv/parts.csv with a column price.", show_default=False),
]
Clean = Annotated[bool, typer.Option("--clean", help="Remove documents of earlier builds that nothing makes any more.")]


def build(
    file: ProjectFiles,
    out: OutDir = Path("out"),
    seed: Seed = 1,
    effort: EffortOption = EffortWord.NORMAL,
    prices: Prices = None,
    fresh: Fresh = False,
    clean: Clean = False,
    as_json: AsJson = False,
    quiet: Quiet = False,
) -> None:
    """Do it all and write the documents.

    Devices are placed only if nothing is chosen yet. While facts are missing it gives what can be given, and a list of
    what is still to find out. A document that no change reaches stays as it is. Several projects, or all of a folder,
    are built over all cores, each into a folder of its own name; one that is bad loses no other.

    Example: spile build panel.yaml --out out/panel
    """
    from layout import flow

    voice = Voice(as_json=as_json, quiet=quiet)
    if len(file) > 1 or file[0].is_dir():
        if prices is not None:
            voice.refuse("prices go with one project", remedy="build them one by one")
        _many(file, out, voice, seed=seed, effort=effort)
    session = open_project(file[0], voice, writes="build")
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
    plan = flow.with_photographs(replace(plan, prices=FrozenMap(paid)), file[0].parent)
    session.save(flow.remember(register, plan), voice)
    made = written(lambda: flow.hand_over(plan, out, fresh=fresh, remove_stale=clean), out, voice)
    voice.line(f"{project.project.name}, revision {project.project.revision}: {len(made.files)} documents")
    tell_written(voice, made)
    tell_withheld(voice, plan)
    voice.line(SAFETY)
    voice.finish(plan.findings, session.sources)


def _prices(file: Path, voice: Voice) -> dict[str, float]:
    from layout.handover.lists.prices import read_prices

    prices, faults = read_prices(read_csv(file, voice), name=file.name)
    if faults:
        voice.stop(faults)
    return prices


def _many(files: Sequence[Path], out: Path, voice: Voice, *, seed: int, effort: EffortWord) -> NoReturn:
    """Build several projects, and end with the worst of their codes."""
    from layout.many import jobs_of, make_all, projects_in

    usable_folder(out, voice)
    try:
        wanted = [path for file in files for path in (projects_in(file) if file.is_dir() else (file,))]
        jobs = jobs_of(wanted, out, seed=seed, effort=effort.value)
    except OSError as error:
        voice.refuse(f"'{error.filename}' can't be read: {(error.strerror or 'unknown reason').lower()}")
    except ValueError as error:
        voice.refuse(str(error), remedy="give one of them another name", rule="file 92")
    if not jobs:
        voice.refuse(f"there is no project in '{files[0]}'", remedy="a project's file begins with: spile: 2")
    ended: list[Made] = []

    def told(made: Made) -> None:
        ended.append(made)
        voice.progress(f"{len(ended)} of {len(jobs)} projects, last {made.file.name}")

    voice.progress(f"0 of {len(jobs)} projects")
    every = make_all(jobs, told=told)
    voice.data["projects"] = [_as_data(made) for made in every]
    rows = [(str(made.out.relative_to(out)), made.code, made.documents, _stops(made), made.said) for made in every]
    voice.table(("project", "exit", "documents", "stops", "why not"), rows)
    bad = [made for made in every if made.code >= UNUSABLE]
    documents = sum(made.documents for made in every)
    voice.line(f"{len(every) - len(bad)} of {len(every)} projects built, {documents} documents")
    voice.line(SAFETY)
    if voice.quiet:
        for made in bad:
            typer.echo(f"{made.file}: {made.said}", err=True)
    voice.end(max(made.code for made in every))


def _stops(made: Made) -> int:
    return sum(finding.weight == "stop" for finding in made.findings)


def _as_data(made: Made) -> dict[str, object]:
    from layout.findings import as_json

    return {
        "file": str(made.file), "out": str(made.out), "exit": made.code, "documents": made.documents,
        "said": made.said, "findings": as_json(made.findings),
    }  # fmt: skip
