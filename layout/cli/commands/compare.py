"""``spile compare``: two arrangements, revisions or practices, and what differs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from layout.cli.options import AsJson, ProjectPath, Quiet
from layout.cli.session import open_project
from layout.cli.voice import Voice

if TYPE_CHECKING:
    from layout.findings import Finding

First = Annotated[str, typer.Argument(metavar="A", help="now, before, a proposal's number, iso, abyc, revision:NAME.")]
Second = Annotated[str, typer.Argument(metavar="B", help="The other side, called likewise.")]


def compare(file: ProjectPath, a: First, b: Second, as_json: AsJson = False, quiet: Quiet = False) -> None:
    """Say how two sides of a project differ.

    Told are positions, wires, labels to print again, and findings. A side is the chosen arrangement (now), the one
    before it (before), a proposal by its number, the project by another practice (iso, abyc), or what a revision
    handed over (revision:NAME). Nothing is written.

    Example: spile compare panel.yaml iso abyc
    """
    from layout.bench.comparing import as_data, compare_sides, side
    from layout.bench.open_files import RefusedError

    voice = Voice(as_json=as_json, quiet=quiet)
    session = open_project(file, voice)
    voice.progress("comparing")
    try:
        first, second = (side(session.project, session.register, name) for name in (a, b))
    except RefusedError as error:
        voice.refuse(str(error))
    differing = compare_sides(first, second)
    voice.data.update(as_data(differing))
    if differing.changes:
        voice.table(
            ("what", "which", "change", a, b), [(c.what, c.id, c.change, c.before, c.now) for c in differing.changes]
        )
    else:
        voice.line("Positions, wires and ways are the same.")
    if differing.reprint is None:
        voice.line("A revision keeps no label texts: which labels differ is not known.")
    else:
        many = len(differing.reprint)
        voice.line("No label is to be printed again." if not many else f"Labels to print again, wires: {many}.")
        for _, old, new in differing.reprint:
            voice.line(f"  {old or '-'}  ->  {new or '-'}")
    _alone(voice, a, differing.only_first)
    _alone(voice, b, differing.only_second)
    voice.finish((), session.sources)


def _alone(voice: Voice, name: str, findings: tuple[Finding, ...] | None) -> None:
    if findings is None:
        voice.line(f"Findings of {name}: not compared, as a revision is not judged again.")
        return
    voice.line(f"Findings of {name} alone: {len(findings) or 'none'}.")
    for finding in findings:
        voice.line(f"  {finding.weight.value} {finding.rule}: {finding.message}")
