"""Write the documents: every one whole or not at all, same bytes for the same project, stable names."""

from __future__ import annotations

import os
import tempfile
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from layout.handover.files.file_names import plain

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Sequence

    from layout.handover.document import File
    from layout.handover.lists.table import Table
    from layout.handover.plan import Plan


def write_documents(plan: Plan, out_dir: Path | str, *, only: Iterable[str] | None = None) -> tuple[Path, ...]:
    """Make books, lists, drawings, templates and machine files, and write them.

    All are made before the first is written, and each replaces its older self in one step.

    Parameters
    ----------
    plan
        Project and results. What depends on something unknown is left out or says so.
    out_dir
        Folder, made if it is not there. Other files in it stay.
    only
        Names of :data:`layout.handover.documents.NAMES`; None makes all that can be made.

    Returns
    -------
    tuple of Path
        What was written: books, then the files of each document in the order of the table.

    Raises
    ------
    ValueError
        If ``only`` names no document, or a text has a character that the font lacks.
    OSError
        If the folder can't be written to; files written before are whole.
    """
    from layout.handover.documents import NAMES  # loads every document's libraries

    folder = Path(out_dir)
    wanted = frozenset(NAMES if only is None else only)
    unknown = sorted(wanted.difference(NAMES))
    if unknown:
        raise ValueError(f"there is no document '{unknown[0]}'; there are {', '.join(NAMES)}")
    made = list(_made(plan, wanted))
    written = []
    for name, content in made:
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        written.append(replace_file(path, content))
    return tuple(written)


def _made(plan: Plan, wanted: Collection[str]) -> Iterator[File]:
    from layout.handover.books.book import book_pdf
    from layout.handover.documents import BOOKS, DOCUMENTS
    from layout.handover.files.csv_file import csv_bytes

    for book in BOOKS:
        if book.name in wanted:
            raw = book_pdf(plan, book, [one for one in DOCUMENTS if one.book == book.name])
            if raw is not None:
                yield f"{book.name}.pdf", raw
    for one in DOCUMENTS:
        if one.name not in wanted:
            continue
        tables = one.tables_of(plan)
        for table in tables:
            name = one.name if len(tables) == 1 else f"{one.name}-{plain(table.name)}"
            yield f"csv/{name}.csv", csv_bytes(table, invented=plan.project.project.example)
        if one.files is not None:
            yield from one.files(plan)
    if "workbook" in wanted:
        yield from _workbook(plan, [table for one in DOCUMENTS for table in one.tables_of(plan)])


def _workbook(plan: Plan, tables: Sequence[Table]) -> Iterator[File]:
    from layout.drawing.paper.stamp import INVENTED
    from layout.handover.files.xlsx import xlsx_bytes
    from layout.handover.paper.cautions import cautions

    block = plan.project.project
    lines = (*((INVENTED,) if block.example else ()), *cautions(plan.project, "electrician"))
    title = f"{block.name}: lists" if block.name else "Lists"
    if tables:
        yield (
            "csv/lists.xlsx",
            xlsx_bytes(tables, title=title, revision=block.revision, paper=plan.project.workshop.paper, lines=lines),
        )


def replace_file(path: Path, content: bytes) -> Path:
    """Write a file in one step: whole, or as it was."""
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
        part.chmod(0o644)
        part.replace(path)
    except BaseException:
        with suppress(OSError):
            part.unlink()
        raise
    return path
