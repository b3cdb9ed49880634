"""``spile arrange``: solve, show, remember."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from layout.cli.arrangement_lines import tell
from layout.cli.options import AsJson, EffortOption, EffortWord, OutDir, ProjectPath, Quiet, Seed
from layout.cli.session import device_of, open_project, usable_folder, written
from layout.cli.solving import solve
from layout.cli.voice import Voice

if TYPE_CHECKING:
    from layout.cli.session import Session
    from layout.flow import Arranged
    from layout.project.model.arrangement import Arrangement

Keep = Annotated[str, typer.Option("--keep", metavar="IDS", help="Devices that stay: radio,plotter; or all.")]
_Free = Annotated[str, typer.Option("--free", metavar="IDS", help="Devices that may move; all others stay.")]
Loss = Annotated[float, typer.Option("--loss", min=0, help="How many % worse than the best one may be.")]
Seconds = Annotated[
    float, typer.Option("--seconds", min=0, help="End after so long; without it only work is counted, and runs repeat.")
]
_Alternatives = Annotated[
    int, typer.Option("--alternatives", "-n", min=1, max=20, help="How many that differ in kind.")
]


def arrange(
    file: ProjectPath,
    alternatives: _Alternatives = 1,
    loss: Loss = 15,
    keep: Keep = "",
    free: _Free = "",
    seed: Seed = 1,
    seconds: Seconds = 0,
    effort: EffortOption = EffortWord.NORMAL,
    out: OutDir = Path("out"),
    as_json: AsJson = False,
    quiet: Quiet = False,
) -> None:
    """Place the devices and show the result.

    Shown are positions, score by wish, and what is proven. The first arrangement of a project is kept in its register;
    later ones are proposals for "spile choose". With more than one, a contact sheet goes to the folder of --out.
    Ctrl-C keeps the best so far.

    Example: spile arrange panel.yaml --alternatives 6
    """
    voice = Voice(as_json=as_json, quiet=quiet)
    session = open_project(file, voice, writes="place")
    if not session.has_devices_to_place:
        voice.refuse("no device stands on a panel", remedy="write panels and devices first")
    if alternatives > 1:
        usable_folder(out, voice)
    kept = _kept(session, keep, free, voice)
    result = solve(
        voice, session, seed=seed, effort=effort, keep=kept, alternatives=alternatives, loss=loss / 100, seconds=seconds
    )
    many = len(result.arrangements) > 1
    for number, arrangement in enumerate(result.arrangements, 1):
        tell(voice, session.project, arrangement, number=number if many else None)
    voice.explain(result.lines)
    session.save(result.register, voice)
    if many:
        _contact_sheet(voice, session, result, out)
    if result.is_first:
        voice.line(f"Kept as the project's arrangement, in {file.stem}.register.yaml.")
    elif result.arrangements and session.register.arrangement is not None:
        _proposed(voice, session, result, session.register.arrangement)
    voice.finish((*session.findings, *result.findings), session.sources)


def _proposed(voice: Voice, session: Session, result: Arranged, chosen: Arrangement) -> None:
    """Say what each proposal has otherwise than the chosen arrangement, and whether that one still holds."""
    from layout.placing.chosen import changed_since, differs_in
    from layout.placing.judge import judge, refusals

    broken = refusals(judge(session.project, chosen, chosen=chosen))
    voice.data["chosen_holds"] = not broken
    for number, proposal in enumerate(result.arrangements, 1):
        differs = differs_in(session.project, chosen, proposal)
        told = f"is new. Against the chosen one: {differs}" if differs else "is the chosen arrangement again"
        voice.line(f"Proposal {number} {told}.")
    take = f"spile choose {session.path} {'1' if len(result.arrangements) == 1 else 'NUMBER'}"
    if not broken:
        voice.line(f"The chosen arrangement holds all rules and stays. To take a proposal: {take}")
        return
    since = ", ".join(changed_since(session.project, chosen))
    rules = "a rule" if len(broken) == 1 else f"{len(broken)} rules"
    voice.line(f"The chosen arrangement no longer holds: it breaks {rules}{f' since {since}' if since else ''}.")
    voice.line(f"To take a proposal in its place: {take}")


def _kept(session: Session, keep: str, free: str, voice: Voice) -> tuple[str, ...]:
    """Return what stays: the devices that are named, or all that the chosen arrangement has but those to be free."""
    named, freed = (tuple(name.strip() for name in text.split(",") if name.strip()) for text in (keep, free))
    if not freed and named != ("all",):
        return named
    if freed and named not in ((), ("all",)):
        voice.refuse("both what stays and what is free are named", remedy="--keep or --free")
    chosen = session.register.arrangement
    if chosen is None:
        voice.refuse("no arrangement is chosen, so nothing can stay", remedy=f"run: spile arrange {session.path}")
    rooms = {name.rpartition(".")[2]: name for name in chosen.rooms}
    for name in freed:
        if name not in rooms:
            device_of(session, name, voice)
    there = [name for name, device in session.project.devices.items() if device.panel and name in chosen.placed]
    return (
        *(name for name in there if name not in freed),
        *(path for name, path in rooms.items() if name not in freed),
    )


def _contact_sheet(voice: Voice, session: Session, result: Arranged, out: Path) -> None:
    from layout.handover.files.contact_file import contact_pages

    voice.line("Contact sheet:")
    made = written(lambda: contact_pages(session.project, result.arrangements, out, lines=result.lines), out, voice)
    voice.files(made)
