"""Findings with the file and line of the entry that their key names."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.findings import in_order

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layout.findings import Finding
    from layout.project.model.project import Project


def located(project: Project, findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the findings in their order, each with file and line of the entry that its key names."""
    return in_order(
        replace(
            finding,
            at=project.place_of(finding.at.key),
            related=tuple(project.place_of(place.key) for place in finding.related),
        )
        for finding in findings
    )
