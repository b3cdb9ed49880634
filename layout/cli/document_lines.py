"""What is said of documents: which were written, which stay as they were, which are stale, which are withheld."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Collection

    from layout.cli.voice import Voice
    from layout.handover.files.documents import Written
    from layout.handover.plan import Plan


def tell_written(voice: Voice, written: Written) -> None:
    """Say which documents are there now, how many nothing reached, and which belong to an earlier build."""
    voice.files(written.files)
    voice.data["reused"] = [str(file) for file in written.files if file in written.reused]
    voice.data["stale"] = [str(file) for file in written.stale]
    if written.reused:
        voice.line(f"{len(written.reused)} of them stay as they are, for nothing they show has changed.")
    for file in written.stale:
        voice.line(f"Of an earlier build: {file}")
    if written.stale:
        voice.line("spile build --clean removes them, unless you have changed them.")


def tell_withheld(voice: Voice, plan: Plan, names: Collection[str] | None = None) -> None:
    """Say which documents are not written although they were asked for, and why.

    Parameters
    ----------
    names
        Of the documents that were asked for; None for all.
    """
    from layout.handover.documents import DOCUMENTS

    withheld = [
        (name, f"{finding.rule}: {finding.message}")
        for one in DOCUMENTS
        if names is None or one.name in names
        for name, finding in one.withheld_of(plan)
    ]
    if plan.arrangement is None and plan.project.panels and (names is None or "template" in names):
        withheld.append(("drawings, templates and machine files", "nothing is placed"))
    voice.data["withheld"] = [{"document": name, "because": why} for name, why in withheld]
    for name, why in withheld:
        voice.line(f"Not written: {name}, because {why}")
