"""The form of project files: the number behind ``spile:``. A file of an older form is told so, and nothing else."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.findings import Finding
from layout.project.reading.tree import Leaf, TableNode, file_place, find

if TYPE_CHECKING:
    from layout.project.reading.tree import Tree

FILE_FORM = 2
"""The form that is read now."""


def older_form(tree: Tree) -> Finding | None:
    """Return what is to be said of a project's own file if it is of an older form; None if it is not."""
    said = find(tree, ("spile",)) if isinstance(tree, TableNode) else None
    if not (isinstance(said, Leaf) and isinstance(said.value, int) and 0 < said.value < FILE_FORM):
        return None
    at, _ = file_place(tree, ("spile",))
    message = f"'{at.file}' is written in the words of form {said.value}; this program reads form {FILE_FORM}"
    return Finding(
        rule="file 46", message=message, at=at, remedy=f"run: spile renew {at.file}; comments and order stay"
    )
