"""The list "still to find out": open questions of the model and of the findings, grouped by what they hold up."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from reportlab.platypus import Spacer

from layout.drawing.writers.pdf import POINTS_PER_MM
from layout.findings import area, in_order, rule
from layout.handover.lists.open_questions.assumptions import assumed_names
from layout.handover.lists.open_questions.unknowns import ORDER, Holds, unknowns
from layout.handover.lists.open_questions.wire_questions import wire_questions
from layout.handover.lists.table import Column, Table
from layout.handover.paper.flow_table import flow_table
from layout.handover.paper.styles import text

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from reportlab.platypus import Flowable

    from layout.findings import Finding
    from layout.handover.lists.table import Cell
    from layout.project.model.project import Project
    from layout.wiring.result import Wiring

_COLUMNS = (
    Column(key="holds", title="Holds up", width_mm=24),
    Column(key="about", title="About", width_mm=68),
    Column(key="question", title="To find out", width_mm=90),
    Column(key="where", title="Where to look", width_mm=62),
    Column(key="at", title="Entry", width_mm=56),
    Column(key="answer", title="Answer", width_mm=36, blank=True),
)
_OPEN = re.compile(
    r"unknown|unverified|guessed|unconfirmed|not-(known|stated|listed|given|said|named|sure)|no-load|lacking"
)
_MISSPELT = re.compile(r"unknown-(alias|key|word|type|name|terminal|position)|measured-")
"""Rules whose name says unknown but that speak of a word nobody knows, not of a gap on board."""
_AREA: dict[str, Holds] = {
    "cut": "cutting",
    "panel": "placing",
    "fit": "placing",
    "file": "placing",
    "wire": "wire sizes",
    "fuse": "protection",
    "bus": "network",
    "day": "wire sizes",
    "paper": "handing over",
}


def open_findings(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the findings that speak of something not known, in their fixed order."""
    return tuple(
        finding
        for finding in in_order(findings)
        if _OPEN.search(rule(finding.rule).name) and not _MISSPELT.match(rule(finding.rule).name)
    )


def find_out_table(project: Project, findings: Iterable[Finding] = (), wiring: Wiring | None = None) -> Table:
    """Return the list, one row a question; a finding about an entry stands in place of the model's own question.

    Parameters
    ----------
    wiring
        Adds what its ends and rows leave open; None where nothing is wired yet.
    """
    asked = open_findings(findings)
    spoken = {finding.at.key for finding in asked if finding.at.key}
    of_model = [one for one in unknowns(project) if one.key not in spoken]
    told = {*spoken, *(one.key for one in of_model), *(subject for finding in asked for subject in finding.subjects)}
    of_wires = wire_questions(project, wiring, told) if wiring is not None else ()
    rows: list[dict[str, Cell]] = [
        {
            "holds": one.holds,
            "about": one.about,
            "question": one.question,
            "where": one.where,
            "at": one.key,
            "answer": "",
        }
        for one in (*of_model, *of_wires)
    ]
    rows += [_asked(project, same) for same in _gathered(asked)]
    rows.sort(key=lambda row: [str(holds) for holds in ORDER].index(str(row["holds"])))
    notes = () if rows else ("Nothing is open.",)
    return Table(
        name="still to find out", title="Still to find out", columns=_COLUMNS, rows=tuple(rows), notes=notes,
        group_by="holds",
    )  # fmt: skip


def _gathered(asked: Iterable[Finding]) -> list[list[Finding]]:
    """Return the findings with those together that ask the same of several things."""
    found: dict[tuple[str, str], list[Finding]] = {}
    for finding in asked:
        found.setdefault((finding.rule, finding.remedy or finding.message), []).append(finding)
    return list(found.values())


def _asked(project: Project, same: Sequence[Finding]) -> dict[str, Cell]:
    first = same[0]
    about = list(dict.fromkeys(_about(project, finding) for finding in same))
    question = first.message
    if len(same) > 1:
        row = rule(first.rule)
        question = f"{row.name.replace('-', ' ').capitalize()}, {len(same)} times. {row.why}"
    return {
        "holds": _AREA.get(area(first.rule), "handing over"),
        "about": assumed_names(about),
        "question": question,
        "where": first.remedy or "",
        "at": first.at.key or str(first.at) if len(same) == 1 else first.rule,
        "answer": "",
    }


def _about(project: Project, finding: Finding) -> str:
    for subject in (*finding.subjects, finding.at.key):
        section, _, rest = subject.partition(".")
        entries = getattr(project, section, None) if section else None
        key = rest.partition(".")[0]
        if isinstance(entries, dict) and key in entries:
            return str(getattr(entries[key], "name", "") or key)
    return finding.rule


def find_out_story(
    project: Project, findings: Sequence[Finding], width_mm: float, wiring: Wiring | None = None
) -> list[Flowable]:
    """Return the list as flowables."""
    table = find_out_table(project, findings, wiring)
    names: dict[str, str] = {holds: f"Holds up {holds}" for holds in ORDER}
    count = len(table.rows)
    lead = f"{count} question{' is' if count == 1 else 's are'} open. " if count else ""
    lead += "Nothing unknown was taken for zero: what depends on an open question is left out or marked."
    flow = flow_table(table, width_mm, lettering_mm=2.0, group_names=names)
    return [text(lead, 2.2), Spacer(0, 3 * POINTS_PER_MM), *flow]
