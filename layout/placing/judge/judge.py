"""The judge: decides, with exact shapes, whether an arrangement keeps every hard rule of a project."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.findings.finding import Severity, in_order
from layout.placing.judge.apart import apart
from layout.placing.judge.compass import compass
from layout.placing.judge.limits import limits_of
from layout.placing.judge.old_holes_and_reserved import kept
from layout.placing.judge.pins_and_cut_holes import held
from layout.placing.judge.rear import rear
from layout.placing.judge.relations import relations
from layout.placing.judge.sheet_layer import holes_in_the_sheet
from layout.placing.judge.standing import panels_standing
from layout.placing.judge.swing import swing
from layout.placing.judge.zones import zones

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from layout.findings.finding import Finding
    from layout.placing.judge.limits import JudgeLimits
    from layout.placing.judge.standing import PanelStanding
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project

NOT_BY_PLACE = frozenset({"panel 7", "panel 8", "panel 10", "panel 16", "panel 18", "panel 21", "panel 36"})
"""Findings about what is declared or unknown, which no other arrangement would cure by itself."""

OF_ALL = frozenset(f"panel {number}" for number in range(22, 40))
"""Findings that may concern devices far from each other: old holes, reserved room, relations, pins and cut holes."""


def judge(project: Project, arrangement: Arrangement, *, chosen: Arrangement | None = None) -> tuple[Finding, ...]:
    """Return everything that is wrong with an arrangement, in a fixed order; nothing when it holds every rule.

    Parameters
    ----------
    project, arrangement
        What was declared, and where each device stands.
    chosen
        The arrangement in the register, which says where cut holes are that have no pin.

    Returns
    -------
    tuple of Finding
        Sorted by severity, place and code. Distances to a limit are exact to 1e-6 mm: lines and
        circles by formula, other arcs by formula where polygons outside them leave it open.

    Notes
    -----
    The rules are those of the table ``placing/rules.yaml``, the only thing shared with the solver.
    """
    limits = limits_of(project)
    panels = panels_standing(project, arrangement)
    findings = [*held(project, arrangement, chosen), *relations(panels, limits)]
    for here in panels:
        findings += kept(here, limits)
        findings += _of_panel(here, limits)
    return in_order(findings)


def judge_moved(
    project: Project,
    arrangement: Arrangement,
    moved: Iterable[str],
    known: Iterable[Finding],
    *,
    chosen: Arrangement | None = None,
) -> tuple[Finding, ...]:
    """Return what ``judge`` returns, judging only what some moved devices touch.

    Parameters
    ----------
    moved
        Ids of the devices, or ``room_key`` of reserved room, that stand elsewhere or turned otherwise than when
        ``known`` was found. All else of project and arrangement is as it was then.
    known
        What ``judge`` said before.
    """
    limits = limits_of(project)
    panels = panels_standing(project, arrangement)
    asked = frozenset(moved)
    keys = {key if "." in key else f"devices.{key}" for key in asked}
    findings = [*held(project, arrangement, chosen), *relations(panels, limits)]
    for here in panels:
        findings += kept(here, limits)
        near = here.around(asked, limits.widest())
        if near is not None:
            findings += (finding for finding in _of_panel(near, limits) if keys.intersection(finding.subjects))
    findings += (one for one in known if one.rule not in OF_ALL and not keys.intersection(one.subjects))
    return in_order(findings)


def _of_panel(here: PanelStanding, limits: JudgeLimits) -> Iterator[Finding]:
    """Find what one device alone, or two that are near each other, do wrong on a panel."""
    yield from holes_in_the_sheet(here, limits)
    yield from apart(here, limits)
    yield from rear(here, limits)
    yield from zones(here)
    yield from compass(here)
    yield from swing(here)


def refusals(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the errors that another arrangement might cure: what a solver must answer for."""
    return tuple(f for f in findings if f.weight is Severity.STOP and f.rule not in NOT_BY_PLACE)
