"""What documents are made from, and what other parts hand over as well."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from layout.drawing.diagrams.label_sheet import LabelSize
    from layout.drawing.elements.scene import Scene
    from layout.findings import Finding
    from layout.handover.lists.table import Table
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project
    from layout.wiring.result import Wiring


@dataclass(frozen=True, slots=True, kw_only=True)
class Chapter:
    """More to hand over: sheets of their own size, loose pictures and tables, under a title.

    Attributes
    ----------
    name
        Short name, for a file of its own.
    sheets
        Scenes that fill a page each at full size.
    pictures
        Scenes that are set between text, scaled down where they are too wide.
    faulty
        Whether something in it has an error.
    """

    name: str
    title: str
    sheets: tuple[Scene, ...] = ()
    pictures: tuple[Scene, ...] = ()
    tables: tuple[Table, ...] = ()
    faulty: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """What documents are made from; what is None is not known yet, and its documents are left out.

    Attributes
    ----------
    findings
        Everything found, by whatever part.
    issued
        State of the last issue (:func:`layout.handover.lists.revisions.snapshot`), for the revision list.
    chapters
        Results of other parts that are handed over as well: instrument bus, antennas, energy.
    saws
        Tools in words that the holes ask for.
    label
        Size of the wire labels; None takes the common size that fits.
    measured
        What the printer's 100 mm bars measured, across and up.
    drawn
        Drawings made so far, by panel: more than one document shows them.
    """

    project: Project
    arrangement: Arrangement | None = None
    wiring: Wiring | None = None
    findings: tuple[Finding, ...] = ()
    issued: dict[str, Any] | None = None
    chapters: tuple[Chapter, ...] = ()
    saws: tuple[str, ...] = ()
    label: LabelSize | None = None
    measured: tuple[float, float] | None = None
    drawn: dict[str, tuple[Scene, ...]] = field(default_factory=dict, init=False, compare=False, repr=False)

    @property
    def everything_found(self) -> tuple[Finding, ...]:
        """Findings of all parts, each once."""
        own = self.wiring.findings if self.wiring else ()
        return tuple(dict.fromkeys((*self.findings, *own)))
