"""An as-found list: the wires that are aboard already, one a row of a CSV file that the project includes."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

from layout.findings import Finding, Place
from layout.project.reading.spelling import meant
from layout.project.reading.tree import FileSpot, Items, Leaf, Member, TableNode

if TYPE_CHECKING:
    from collections.abc import Iterator

_SECTION = "as_found"
_COLUMNS = ("label", "from", "to", "colour", "size", "note")
"""Columns by their heading; only ``label`` is needed, and their order is free."""


def found_list(text: str, name: str) -> tuple[TableNode | None, list[Finding]]:
    """Return the rows as the section ``as_found`` of a project, each cell with its place.

    Commas or semicolons part the cells, whichever the first line has more of; empty cells and rows are left out.

    Parameters
    ----------
    text, name
        Of the file; its first line holds the headings.
    """
    first = text.partition("\n")[0]
    delimiter = ";" if first.count(";") > first.count(",") else ","
    lines = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    heads = [head.strip().lower().lstrip("#").strip() for head in next(lines, [])]
    faults = _head_faults(heads, name)
    if "label" not in heads:
        return None, faults
    rows = []
    for cells in _rows(lines, name, faults):
        at = FileSpot(name, lines.line_num, 1)
        members = {
            head: Member(at, Leaf(at, cell.strip(), cell.strip()))
            for head, cell in zip(heads, cells, strict=False)
            if head in _COLUMNS and cell.strip()
        }
        if members:
            rows.append(TableNode(at, members))
    start = FileSpot(name, 1, 1)
    return TableNode(start, {_SECTION: Member(start, Items(start, tuple(rows)))}), faults


def _rows(lines: Iterator[list[str]], name: str, faults: list[Finding]) -> Iterator[list[str]]:
    """Yield the rows; a row that no table can have ends them and is a fault."""
    try:
        yield from lines
    except csv.Error as error:
        message = f"'{name}' can't be read as a list: {error}"
        faults.append(Finding(rule="file 6", message=message, at=Place(name), remedy="save it as CSV once more"))


def _head_faults(heads: list[str], name: str) -> list[Finding]:
    faults = []
    if "label" not in heads:
        message = f"the first line of '{name}' has no heading 'label'"
        remedy = f"name the columns in the first line: {', '.join(_COLUMNS)}"
        faults.append(Finding(rule="file 31", message=message, at=Place(name, 1, 1), remedy=remedy))
    for at, head in enumerate(heads):
        if head and (head not in _COLUMNS or head in heads[:at]):
            message = f"unknown column '{head}' in '{name}'"
            rule, remedy = "file 30", meant(head, _COLUMNS, what="known columns")
            if head in _COLUMNS:
                rule, message, remedy = "file 9", f"column '{head}' stands twice in '{name}'", "keep one of them"
            faults.append(Finding(rule=rule, message=message, at=Place(name, 1, 1), remedy=remedy))
    return faults
