"""What placing gives back: an arrangement or none, what is proven, and what is to be said of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from layout.findings.finding import Finding
    from layout.placing.engine.stages import StageLine
    from layout.project.model.arrangement import Arrangement, Placed


@dataclass(frozen=True, slots=True, kw_only=True)
class Placing:
    """Outcome of placing.

    Attributes
    ----------
    arrangement
        None when none was found; one that breaks rules has the proof ``not usable``.
    findings
        The judge's about the arrangement, and what placing itself has to say.
    proven
        What is proven, in words; or what is not.
    infeasible
        Whether it is proven that no arrangement holds all rules.
    log
        What each stage reached, in order.
    rooms
        Places found for reserved room and for wished blanks that are left, each under its name.
    """

    arrangement: Arrangement | None
    findings: tuple[Finding, ...]
    proven: str
    infeasible: bool = False
    log: tuple[StageLine, ...] = ()
    rooms: tuple[Placed, ...] = ()

    def __repr__(self) -> str:
        placed = len(self.arrangement.placed) if self.arrangement is not None else 0
        return f"<Placing of {placed} devices, {self.proven}, {len(self.findings)} findings>"
