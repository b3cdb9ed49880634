"""``spile place``: solve, show, remember."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from layout.cli.options import AsJson, Effort, OutDir, ProjectFile, Quiet, Seed
from layout.cli.session import open_project
from layout.cli.voice import Voice

if TYPE_CHECKING:
    from collections.abc import Callable

    from layout.cli.session import Session
    from layout.placing.engine.result import Progress
    from layout.project.model.arrangement import Arrangement

Keep = Annotated[str, typer.Option("--keep", metavar="IDS", help="Devices that stay where they are: radio,plotter.")]
Alternatives = Annotated[int, typer.Option("--alternatives", "-n", min=1, max=20, help="How many that differ in kind.")]


def place(
    file: ProjectFile,
    alternatives: Alternatives = 1,
    keep: Keep = "",
    seed: Seed = 1,
    effort: Effort = "normal",
    out: OutDir = Path("out"),
    as_json: AsJson = False,
    quiet: Quiet = False,
) -> None:
    """Place the devices and show the result: positions, score by wish, what is proven.

    The first arrangement of a project goes into its register; later ones are proposals for "spile choose".

    Example: spile place panel.yaml --alternatives 6
    """
    from layout import flow  # noqa: PLC0415

    voice = Voice(as_json=as_json, quiet=quiet)
    session = open_project(file, voice)
    kept = tuple(name.strip() for name in keep.split(",") if name.strip())
    work = flow.effort(effort)
    if work is None:
        raise typer.BadParameter(f"'{effort}' is not quick, normal or thorough", param_hint="--effort")
    unknown = [name for name in kept if name not in session.project.devices]
    if unknown:
        raise typer.BadParameter(f"the project has no device '{unknown[0]}'", param_hint="--keep")
    result = flow.place(
        session.project, session.register, seed=seed, work=work, keep=kept, alternatives=alternatives,
        progress=progress_line(voice),
    )  # fmt: skip
    for number, arrangement in enumerate(result.arrangements, 1):
        tell(voice, session, arrangement, number if len(result.arrangements) > 1 else None)
    for line in result.said:
        voice.line(line)
    if result.register != session.register:
        session.remember(result.register, voice)
    files = flow.contact_sheet(session.project, result.arrangements, out) if len(result.arrangements) > 1 else ()
    if files:
        voice.line("Contact sheet:")
        voice.files(files)
    if result.is_first:
        voice.line(f"Kept as the project's arrangement in {session.path.stem}.register.yaml.")
    elif result.arrangements:
        voice.line(f"The chosen arrangement stays. To take one of these: spile choose {file} NUMBER")
    code = voice.findings((*session.findings, *result.findings), session.sources)
    voice.done()
    raise typer.Exit(code)


def tell(voice: Voice, session: Session, arrangement: Arrangement, number: int | None = None) -> None:
    """Say one arrangement: table of devices, score by wish, what is proven."""
    from layout.cli.picture import picture  # noqa: PLC0415
    from layout.placing.words import proof_words  # noqa: PLC0415

    devices = session.project.devices
    voice.data.setdefault("arrangements", []).append(_as_data(arrangement))
    if number is not None:
        voice.line(f"--- {number} " + "-" * 70)
    for key, panel in session.project.panels.items():
        standing = [placed for placed in arrangement.placed.values() if placed.panel == key]
        voice.line(f"{panel.name or key}: datum at the lower left corner, seen from the front, mm")
        rows = [(devices[p.device].name, p.device, p.x, p.y, p.turn) for p in standing]
        voice.table(("device", "id", "x", "y", "turn"), rows)
        for line in picture(session.project, arrangement, key):
            voice.line(line)
        voice.line()
    voice.table(("wish", "cost"), [*arrangement.by_wish.items(), ("all wishes", arrangement.value)])
    voice.line(f"Proven: {proof_words(arrangement)}.")


def _as_data(arrangement: Arrangement) -> dict[str, object]:
    from dataclasses import asdict  # noqa: PLC0415

    return {**asdict(arrangement), "by_wish": dict(arrangement.by_wish)}


def progress_line(voice: Voice) -> Callable[[Progress], bool]:
    """Return what shows the search's progress: stage, score, bound and gap."""
    from layout.placing.words import progress_words  # noqa: PLC0415

    def watch(now: Progress) -> bool:
        voice.progress(f"placing: {progress_words(now)}")
        return False

    return watch
