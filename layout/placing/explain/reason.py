"""Why a project does not fit: the reason in one sentence, then which single changes would help."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.findings.finding import Finding
from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass
from layout.placing.by_components import Effort
from layout.placing.explain.changes import SingleChange, single_changes
from layout.placing.explain.conflict import Blamed, conflict
from layout.placing.explain.leaving import panels_alone, panels_together
from layout.placing.explain.trial import FEW_DEVICES, Trying
from layout.placing.formulation import valued
from layout.placing.fullness import area_words, fullness_of, is_over_full

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project

STRENGTH = {Effort.QUICK: 0.5, Effort.NORMAL: 1.0, Effort.THOROUGH: 6.0}
"""How hard each try works, by the effort that the user allows."""

FIRST = 4.0
"""How much harder the first try is: where it finds an arrangement, nothing has to be explained."""

VAIN_ON_MANY = 4
"""Tries for a proof that end open, with many devices, before the conflict is left open."""

_MOST_NAMED = 6
"""Devices that a sentence names; of more it says how many."""


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
        Single changes that make it fit, each tried and judged, cheapest first.
    arrangement
        One that holds all rules, where one was found after all.
    lines, findings
        The same in words, the reason first, and as findings with places.
    """

    proven: bool = False
    conflict: tuple[Blamed, ...] = ()
    changes: tuple[SingleChange, ...] = ()
    arrangement: Arrangement | None = None
    lines: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()


def explain(
    project: Project,
    *,
    seed: int = 1,
    effort: Effort = Effort.NORMAL,
    chosen: Arrangement | None = None,
    proven: bool = False,
    stop: Callable[[], bool] | None = None,
) -> Explanation:
    """Say why a project does not fit, panel by panel.

    Areas come first; then a smallest set of devices and rules that conflict is looked for by proof. Each single change
    is tried at growing amounts in the problem that placing itself solves.

    Parameters
    ----------
    chosen
        The arrangement in the register, which says where cut holes without a pin are.
    proven
        Whether it is proven already that the project has no arrangement.
    stop
        Asked now and then; True ends the search for reasons, and what is known by then is told.
    """
    trying = Trying(seed=seed, strength=STRENGTH[effort], chosen=chosen, stop=stop)
    parts = [panels_alone(project, panels) for panels in panels_together(project)]
    harder = 1.0 if proven else FIRST
    fitting = [replace(trying, strength=trying.strength * harder).fits(part) for part in parts]
    if all(fitting):
        return Explanation(arrangement=_joined(project, [one for one in fitting if one is not None]))
    open_parts = [part for part, found in zip(parts, fitting, strict=True) if found is None]
    told = [_explained(project, part, trying, proven=proven and len(open_parts) == 1) for part in open_parts]
    return Explanation(
        proven=any(one.proven for one in told),
        conflict=tuple(blamed for one in told for blamed in one.conflict),
        changes=tuple(change for one in told for change in one.changes),
        lines=tuple(line for one in told for line in one.lines),
        findings=tuple(finding for one in told for finding in one.findings),
    )


def _joined(project: Project, parts: Sequence[Arrangement]) -> Arrangement:
    placed = {name: at for one in parts for name, at in one.placed.items()}
    rooms = {name: at for one in parts for name, at in one.rooms.items()}
    in_order = {name: placed[name] for name in project.devices if name in placed}
    return valued(project, replace(parts[0], placed=FrozenMap(in_order), rooms=FrozenMap(rooms)))


def _explained(project: Project, part: Project, trying: Trying, *, proven: bool) -> Explanation:
    """Explain one group of panels that share devices."""
    where = " and ".join(panel.name or key for key, panel in part.panels.items())
    over, found = is_over_full(part), None
    if not over:
        few = len(part.devices) <= FEW_DEVICES
        found = conflict(part, replace(trying) if few else replace(trying, patience=VAIN_ON_MANY))
    members = found.members if found else ()
    sure = over or proven or found is not None
    reason = _reason(where, part, members, over=over, sure=sure)
    made = single_changes(part, None if over else found, replace(trying), whole=project)
    lines = [reason]
    if made:
        lines += [f"Each of these alone makes {where} fit, cheapest first:", *(f"  {change}" for change in made)]
    else:
        lines.append(f"No single change was found that makes {where} fit.")
    return Explanation(
        proven=sure,
        conflict=members,
        changes=made,
        lines=tuple(lines),
        findings=(_finding(project, part, members, reason, sure=sure, helped=bool(made)),),
    )


def _reason(where: str, part: Project, members: Sequence[Blamed], *, over: bool, sure: bool) -> str:
    """Return why a group of panels does not hold its devices, with areas needed and free."""
    loads = fullness_of(part)
    fullest = max(loads, key=lambda load: load.share) if loads else None
    areas = area_words(fullest) if fullest else "nothing stands on it yet"
    if over and fullest is not None:
        short = (fullest.needed_mm2 - fullest.free_mm2) / 100
        return f"{where} is over-full by {short:.0f} cm2: {areas}."
    devices = [blamed.member.name for blamed in members if blamed.member.kind == "device"]
    rules = [blamed.member.name for blamed in members if blamed.member.kind == "rule"]
    if devices or rules:
        under = f" under {_listed(rules)}" if rules else ""
        cannot = "can't stand" if len(devices) == 1 else "can't all stand"
        return f"{_listed(devices) or 'The devices'} {cannot} on {where}{under}, which is proven; {areas}."
    if sure:
        return f"No arrangement on {where} holds all rules, which is proven; {areas}."
    return f"No arrangement on {where} was found, and none is ruled out; {areas}."


def _listed(names: Sequence[str]) -> str:
    shown = [*names[:_MOST_NAMED], *([f"{len(names) - _MOST_NAMED} more"] if len(names) > _MOST_NAMED else [])]
    return f"{', '.join(shown[:-1])} and {shown[-1]}" if len(shown) > 1 else "".join(shown)


def _finding(
    project: Project, part: Project, members: Sequence[Blamed], reason: str, *, sure: bool, helped: bool
) -> Finding:
    devices = [blamed.member for blamed in members if blamed.member.kind == "device"]
    keys = [member.key for member in devices] or [f"panels.{key}" for key in part.panels]
    places = [project.place_of(key) for key in keys]
    remedy = "one of the changes above" if helped else "leave more than one device out, or make the panel larger"
    if not sure:
        remedy += "; or look longer (--effort thorough)"
    return Finding(
        rule="fit 2" if sure else "fit 3",
        message=reason,
        at=places[0],
        related=tuple(places[1:]),
        remedy=remedy,
        subjects=tuple(keys),
    )
