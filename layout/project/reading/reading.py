"""What reading a project gives."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass, field

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.findings import Finding
    from layout.project.model.project import Project


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A project as far as it could be read.

    Attributes
    ----------
    project
        The typed project; None if a fault leaves it without meaning (exit code 2).
    findings
        All faults of all its files, in order.
    sources
        Text of each file by the name that places use, the project's own file first.
    """

    project: Project | None
    findings: tuple[Finding, ...] = ()
    sources: Mapping[str, str] = field(default_factory=FrozenMap)

    def __repr__(self) -> str:
        return f"<Reading of {', '.join(self.sources) or 'nothing'}, {len(self.findings)} findings>"
