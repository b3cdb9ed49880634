"""Wires found aboard: each old label has a wire on the list, and each wire on the list a fate."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.project.reading.old_labels import old_labels

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.findings import Finding
    from layout.project.model.project import Project


def found_findings(project: Project) -> Iterator[Finding]:
    """Yield old labels that nobody found aboard, and wires that were found and that nobody mentions."""
    if not project.as_found:
        return
    taken = old_labels(project)
    known = {wire.label for wire in project.as_found}
    for label, claims in taken.items():
        if label not in known:
            text = f"{claims[0].name}: no wire on the as-found list carries its old label {label}"
            yield project.finding(
                "wire 55", claims[0].key, text, remedy="correct the label, or look for the wire again"
            )
    for at, wire in enumerate(project.as_found):
        if wire.label not in taken:
            way = " to ".join(end for end in (wire.from_, wire.to) if end)
            text = f"old wire {wire.label}{f' ({way})' if way else ''}: nothing says what becomes of it"
            remedy = "say its old_label where it is kept or reused, or on an entry with aboard: remove"
            yield project.finding("wire 56", f"as_found.{at}", text, remedy=remedy)
