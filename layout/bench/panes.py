"""Lists of the books beside the panels on the page: the day's energy, the networks; and two sides compared."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from layout.bench.comparing import PRACTICES, REVISION, as_data, compare_sides, side
from layout.bench.picture import panels

if TYPE_CHECKING:
    from layout.handover.lists.table import Table
    from layout.handover.plan import Plan
    from layout.project.model.project import Project
    from layout.project.register import Register

PANES = {"energy": ("energy",), "network": ("network", "network-figures")}
"""Which documents a pane shows, by its name."""


def pane_data(plan: Plan, name: str) -> dict[str, Any]:
    """Return the lists of a pane, each cell as paper shows it, with the columns that hold anything.

    Raises
    ------
    KeyError
        If there is no pane of that name.
    """
    from layout.handover.documents import DOCUMENTS

    wanted = PANES[name]
    documents = [document for document in DOCUMENTS if document.name in wanted and document.tables is not None]
    return {"tables": [_table(table) for document in documents for table in document.tables(plan) if table.rows]}  # type: ignore[misc]


def _table(table: Table) -> dict[str, Any]:
    from layout.handover.lists.table import shown

    columns = [column for column in table.columns if any(row[column.key] != "" for row in table.rows)]
    return {
        "title": table.title,
        "columns": [column.heading for column in columns],
        "rows": [[shown(row[column.key], column) for column in columns] for row in table.rows],
        "faulty": sorted(table.faulty),
        "notes": list(table.notes),
    }


def sides_of(register: Register) -> list[dict[str, str]]:
    """Return what can be compared: the name of each side, and what it is in words."""
    known = [("now", "as it stands now")]
    if register.previous:
        known.append(("before", "the arrangement before"))
    known += [(str(n), f"arrangement {n} of the last placing") for n, _ in enumerate(register.proposals, start=1)]
    known += [(practice, f"wired to {practice.upper()}") for practice in PRACTICES]
    known += [(f"{REVISION}{name}", f"revision {name}") for name in register.issued]
    return [{"name": name, "words": words} for name, words in known]


def comparison_data(project: Project, register: Register, first: str, second: str) -> dict[str, Any]:
    """Return what differs from the first side to the second, with the panels of each as the page draws them.

    Raises
    ------
    RefusedError
        If there is no side of a name.
    """
    sides = [side(project, register, name) for name in (first, second)]
    return {
        **as_data(compare_sides(*sides)),
        "pictures": [None if one.arrangement is None else panels(project, one.arrangement) for one in sides],
    }
