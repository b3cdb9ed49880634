"""The lists that are documents of their own and chapters of the pack, rows with an error marked."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.handover.books.test_sheets import run_tests_table
from layout.handover.lists.as_found import found_table
from layout.handover.lists.cut_list import cut_table
from layout.handover.lists.ends_list import ends_table
from layout.handover.lists.feeder_loads import feeder_table
from layout.handover.lists.label_list import label_table
from layout.handover.lists.parts_list import WIRED_GROUPS, parts_table
from layout.handover.lists.sizing_sheet import sizing_table
from layout.handover.paper.marked_rows import faulty_wires, marked

if TYPE_CHECKING:
    from layout.handover.handed import Work
    from layout.handover.lists.table import Table


def list_tables(work: Work) -> dict[str, Table]:
    """Return the lists that can be made, by file name."""
    project, wiring = work.project, work.wiring
    parts = parts_table(project, wiring, work.saws)
    if wiring is None:
        return {"parts": parts}
    bad = faulty_wires(project, wiring, work.everything_found)
    if bad:
        rows = frozenset(at for at, row in enumerate(parts.rows) if row["group"] in WIRED_GROUPS)
        parts = replace(parts, faulty=rows)
    aboard = found_table(project, wiring)
    return {
        "feeders": marked(feeder_table(project, wiring), bad),
        "cut-list": marked(cut_table(wiring), bad),
        "parts": parts,
        "ends": marked(ends_table(project, wiring), bad),
        "label-list": marked(label_table(wiring), bad),
        "tests": marked(run_tests_table(wiring), bad, "wire"),
        "sizing": marked(sizing_table(project, wiring), bad),
        **({} if aboard is None else {"as-found": aboard}),
    }
