"""Two sides of one project laid beside each other: arrangements, revisions, or practices."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from layout.bench.open_files import RefusedError
from layout.handover.lists.revisions import Change, changes, snapshot
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.findings import Finding
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project
    from layout.project.register import Register

PRACTICES = ("iso", "abyc")
REVISION = "revision:"
_SIDES = "now, before, the number of a proposal, iso, abyc, or revision: with its name"
"""What a side may be called."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Side:
    """One side of a comparison.

    Attributes
    ----------
    state
        What a revision would issue, plain data.
    labels
        Label text of each wire by run and pole; None for a revision, which keeps no texts.
    findings
        What is found there; None for a revision, which is not judged again.
    arrangement
        Where the devices stand; None for a revision.
    """

    state: Mapping[str, Any]
    labels: Mapping[str, str] | None = None
    findings: tuple[Finding, ...] | None = None
    arrangement: Arrangement | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """What differs.

    Attributes
    ----------
    changes
        Devices, wires and ways, from the first side to the second.
    reprint
        Runs whose label texts differ, with both texts; None if one side keeps no texts.
    only_first, only_second
        Findings that one side alone has; None if one side is not judged.
    """

    changes: tuple[Change, ...]
    reprint: tuple[tuple[str, str, str], ...] | None
    only_first: tuple[Finding, ...] | None
    only_second: tuple[Finding, ...] | None


def side(project: Project, register: Register, name: str) -> _Side:
    """Return the side of that name, worked out by the same flow as every document.

    Raises
    ------
    RefusedError
        If there is none of that name.
    """
    if name.startswith(REVISION):
        revision = name.removeprefix(REVISION)
        if revision not in register.issued:
            known = ", ".join(register.issued) or "none yet; spile build issues one"
            raise RefusedError(f"no revision '{revision}' was issued; known: {known}")
        return _Side(state=json.loads(register.issued[revision]))
    arrangement = _arrangement(register, name)
    if name in PRACTICES:
        project = replace(project, wiring=replace(project.wiring, practice=name))  # type: ignore[arg-type]
    from layout import flow
    from layout.handover.plan import labels_of

    plan = flow.plan(project, arrangement, register=replace(register, arrangement=arrangement))
    return _Side(
        state=snapshot(project, arrangement, plan.wiring),
        labels=labels_of(plan.wiring),
        findings=plan.findings,
        arrangement=arrangement,
    )


def _arrangement(register: Register, name: str) -> Arrangement | None:
    if name == "now" or name in PRACTICES:
        return register.arrangement
    if name == "before":
        if not register.previous:
            raise RefusedError("no arrangement was chosen before this one")
        return register.previous[-1]
    if name.isascii() and name.isdigit() and len(name) <= 4:
        if 1 <= int(name) <= len(register.proposals):
            return register.proposals[int(name) - 1]
        raise RefusedError(f"there is no proposal {name}; {len(register.proposals)} are kept")
    raise RefusedError(f"'{name}' is no side to compare; write {_SIDES}")


def compare_sides(first: _Side, second: _Side) -> Comparison:
    """Return what differs from the first side to the second."""
    reprint: tuple[tuple[str, str, str], ...] | None = None
    if first.labels is not None and second.labels is not None:
        keys = sorted({*first.labels, *second.labels})
        texts = ((key, first.labels.get(key, ""), second.labels.get(key, "")) for key in keys)
        reprint = tuple((key, old, new) for key, old, new in texts if old != new)
    return Comparison(
        changes=changes(first.state, second.state),
        reprint=reprint,
        only_first=_only(first, second),
        only_second=_only(second, first),
    )


def _only(here: _Side, there: _Side) -> tuple[Finding, ...] | None:
    if here.findings is None or there.findings is None:
        return None
    known = {(finding.rule, finding.message) for finding in there.findings}
    return tuple(finding for finding in here.findings if (finding.rule, finding.message) not in known)


def as_data(comparison: Comparison) -> dict[str, Any]:
    """Return a comparison as JSON holds it, for ``--json`` and the page."""
    from layout.findings.render import as_json

    def told(findings: tuple[Finding, ...] | None) -> Any:
        return None if findings is None else as_json(findings)

    return {
        "changes": [
            {"what": c.what, "id": c.id, "change": c.change, "before": c.before, "now": c.now}
            for c in comparison.changes
        ],
        "labels_to_print_again": None
        if comparison.reprint is None
        else [{"wire": key, "before": old, "now": new} for key, old, new in comparison.reprint],
        "findings_of_the_first_alone": told(comparison.only_first),
        "findings_of_the_second_alone": told(comparison.only_second),
    }
