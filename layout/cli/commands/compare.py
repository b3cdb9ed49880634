"""``spile compare``: two arrangements, revisions or practices of one project, and what differs between them."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING, Annotated, Any, Literal

import typer

from layout.cli.options import AsJson, ProjectFile, Quiet
from layout.cli.session import open_project
from layout.cli.voice import Voice

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.cli.session import Session
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project

PRACTICES: tuple[Literal["iso", "abyc"], ...] = ("iso", "abyc")
LABELLED = ("numbered anew", "resized", "recoloured", "starts elsewhere", "ends elsewhere", "added")
"""Changes of a wire that stand on its labels."""

This = Annotated[str, typer.Argument(metavar="A", help="now, before, a proposal's number, a revision, iso or abyc.")]
That = Annotated[str, typer.Argument(metavar="B", help="Likewise; what is new against A.")]


def compare(
    file: ProjectFile, this: This = "before", that: That = "now", as_json: AsJson = False, quiet: Quiet = False
) -> None:
    """Say how two arrangements, revisions or practices differ.

    ``now`` is the project with its chosen arrangement, ``before`` with the one chosen before; a number is a proposal of
    the last placing, a revision what was issued with it, ``iso`` and ``abyc`` the project by that practice.

    Example: spile compare panel.yaml 1 2
    """
    from layout.handover.lists.revisions import changes

    voice = Voice(as_json=as_json, quiet=quiet)
    session = open_project(file, voice)
    voice.progress("comparing")
    first, second = (_state(session, name, voice) for name in (this, that))
    found = changes(first, second)
    again = sorted({change.id for change in found if change.what == "wire" and change.change in LABELLED})
    voice.data["changes"] = [
        {"what": c.what, "id": c.id, "change": c.change, "before": c.before, "now": c.now} for c in found
    ]
    voice.data["labels_again"] = again
    voice.line(f"{this} against {that}: " + ("nothing differs." if not found else f"{len(found)} differences."))
    for change in found:
        between = " -> ".join(text for text in (change.before, change.now) if text)
        voice.line(f"{change.what:<7}{change.id}: {change.change}" + (f", {between}" if between else ""))
    if again:
        voice.line(f"Labels to print again: {len(again)}.")
    voice.finish((), session.sources)


def _state(session: Session, name: str, voice: Voice) -> Mapping[str, Any]:
    """Return what a name stands for, as a revision would issue it."""
    project, register = session.project, session.register
    if name in register.issued:
        return dict(json.loads(register.issued[name]))
    for practice in PRACTICES:
        if name == practice:
            other = replace(project, wiring=replace(project.wiring, practice=practice))
            return _planned(session, other, register.arrangement)
    if name == "now":
        return _planned(session, project, register.arrangement)
    if name == "before" and register.previous:
        return _planned(session, project, register.previous[-1])
    if name.isdigit() and 1 <= int(name) <= len(register.proposals):
        return _planned(session, project, register.proposals[int(name) - 1])
    known = [
        "now", *(["before"] if register.previous else []), *(str(n + 1) for n in range(len(register.proposals))),
        *register.issued, *PRACTICES,
    ]  # fmt: skip
    return voice.refuse(f"there is no '{name}' to compare", remedy=f"one of {', '.join(known)}")


def _planned(session: Session, project: Project, arrangement: Arrangement | None) -> Mapping[str, Any]:
    from layout import flow
    from layout.handover.lists.revisions import snapshot

    plan = flow.plan(project, arrangement, register=session.register, rough=True)
    return snapshot(project, plan.arrangement, plan.wiring)
