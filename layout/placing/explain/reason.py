"""Why a project does not fit: what conflicts, and which single changes would help."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from layout.findings.finding import Finding
from layout.placing.by_components import Effort
from layout.placing.explain.changes import SingleChange, single_changes
from layout.placing.explain.conflict import Blamed, conflict
from layout.placing.explain.leaving import panels_alone, panels_together
from layout.placing.explain.trial import MOST_VAIN, Trying
from layout.placing.fullness import HIGH, fullness_of, fullness_words

if TYPE_CHECKING:
    from collections.abc import Callable

    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project

STRENGTH = {Effort.QUICK: 0.5, Effort.NORMAL: 1.0, Effort.THOROUGH: 6.0}
"""How hard each try works, by the effort that the user allows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Explanation:
    """Why a project does not fit.

    Attributes
    ----------
    proven
        Whether it is proven that it does not.
    conflict
        Devices and rules that can't all be met, each with whether it is shown to be needed for that.
    changes
        Single changes that make it fit, each tried and judged.
    lines, findings
        The same in words, and as findings with places.
    """

    proven: bool
    conflict: tuple[Blamed, ...]
    changes: tuple[SingleChange, ...]
    lines: tuple[str, ...]
    findings: tuple[Finding, ...]


def explain(
    project: Project,
    *,
    seed: int = 1,
    effort: Effort = Effort.NORMAL,
    chosen: Arrangement | None = None,
    stop: Callable[[], bool] | None = None,
) -> Explanation:
    """Say why a project does not fit, panel by panel.

    A smallest set of devices and rules that conflict is looked for by proof, and each single change is tried at
    growing amounts; what is neither found nor proven is said to be open.

    Parameters
    ----------
    chosen
        The arrangement in the register, which says where cut holes without a pin are.
    stop
        Asked now and then; True ends the search for reasons, and what is known by then is told.
    """
    trying = Trying(seed=seed, strength=STRENGTH[effort], chosen=chosen, stop=stop)
    parts = [panels_alone(project, panels) for panels in panels_together(project)]
    whole = _Whole()
    for part in parts:
        if trying.fits(part) is None:
            _one(project, part, trying, whole)
    if not whole.lines:
        whole.lines.append("an arrangement that holds all rules was found while looking for the reason: place again")
    return Explanation(
        proven=whole.proven,
        conflict=tuple(whole.conflict),
        changes=tuple(whole.changes),
        lines=tuple(whole.lines),
        findings=tuple(whole.findings),
    )


class _Whole:
    def __init__(self) -> None:
        self.proven = False
        self.conflict: list[Blamed] = []
        self.changes: list[SingleChange] = []
        self.lines: list[str] = []
        self.findings: list[Finding] = []


def _one(project: Project, part: Project, trying: Trying, whole: _Whole) -> None:
    where = " and ".join(panel.name or key for key, panel in part.panels.items())
    whole.lines += [fullness_words(part, load) for load in fullness_of(part) if load.share > HIGH]
    found = conflict(part, replace(trying, patience=MOST_VAIN))
    if found is None:
        whole.lines.append(f"{where}: neither an arrangement nor a proof that there is none was found")
    else:
        whole.proven = True
        whole.conflict += found.members
        whole.lines.append(f"{where}: these can't all be met together (faces inside the panel, none over another):")
        for blamed in found.members:
            needed = "" if blamed.needed else " - not shown to be needed"
            whole.lines.append(f"  {blamed.member.kind} {blamed.member.name}{needed}")
        whole.findings.append(_finding(project, where, found.members))
    made = single_changes(part, found, replace(trying, patience=MOST_VAIN))
    whole.changes += made
    if made:
        whole.lines.append(f"{where}: each of these alone makes it fit:")
        whole.lines += [f"  {change}" for change in made]
    else:
        whole.lines.append(f"{where}: no single change was found that makes it fit")


def _finding(project: Project, where: str, members: tuple[Blamed, ...]) -> Finding:
    devices = [blamed.member for blamed in members if blamed.member.kind == "device"]
    rules = [blamed.member.name for blamed in members if blamed.member.kind == "rule"]
    named = ", ".join(member.name for member in devices)
    under = f" under {'; '.join(rules)}" if rules else ""
    places = [project.place_of(member.key) for member in devices]
    return Finding(
        rule="fit 2",
        message=f"{named} can't all stand on {where}{under}: proven on the grid for these shapes",
        at=places[0] if places else project.place_of("panels"),
        related=tuple(places[1:]),
        remedy="see the single changes that make it fit",
        subjects=tuple(member.key for member in devices),
    )
