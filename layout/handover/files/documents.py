"""Write the documents: every one whole or not at all, same bytes for the same project, stable names."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from layout.handover.files.file_names import plain
from layout.handover.files.folder_contents import NAME, FolderContents, Step, clean, marks
from layout.languages import spoken
from layout.project.editing.lock import held
from layout.project.editing.writing import drop_leftovers, replace_file

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable, Iterator, Sequence

    from layout.handover.document import Book, Document, File
    from layout.handover.lists.table import Table
    from layout.handover.plan import Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """What a folder of documents holds after they were handed over.

    Attributes
    ----------
    files
        The documents that were asked for: books, then the files of each document in the order of the table.
    reused
        Those of them that were there already and are left as they are.
    stale
        Documents of earlier builds that nothing makes any more.
    """

    files: tuple[Path, ...]
    reused: frozenset[Path] = frozenset()
    stale: tuple[Path, ...] = ()


def write_documents(
    plan: Plan,
    out_dir: Path | str,
    *,
    only: Iterable[str] | None = None,
    fresh: bool = False,
    remove_stale: bool = False,
) -> Written:
    """Make books, lists, drawings, templates and machine files, and write them.

    All are made before the first is written, and each replaces its older self in one step. What the folder's list
    shows to be made from the same values is not made again; the bytes are the same either way.

    Parameters
    ----------
    plan
        Project and results. What depends on something unknown is left out or says so.
    out_dir
        Folder, made if it is not there. Other files in it stay.
    only
        Names of :data:`layout.handover.documents.NAMES`; None makes all that can be made.
    fresh
        Make everything again, whatever the list says.
    remove_stale
        Remove documents of earlier builds that nothing makes any more, unless somebody has changed them.

    Raises
    ------
    ValueError
        If ``only`` names no document, or a text has a character that the font lacks.
    OSError
        If the folder can't be written to; files written before are whole.
    HeldError
        If another process is writing into the folder for too long.
    """
    from layout.handover.documents import NAMES  # loads every document's libraries
    from layout.handover.files.made_from import digest, program

    folder = Path(out_dir)
    wanted = frozenset(NAMES if only is None else only)
    unknown = sorted(wanted.difference(NAMES))
    if unknown:
        raise ValueError(f"there is no document '{unknown[0]}'; there are {', '.join(NAMES)}")
    before = FolderContents.read(folder)
    made: dict[str, Step] = {}
    contents: dict[str, bytes] = {}
    whole = digest(program(), plan)
    with spoken(plan.language):
        for name, values, make in _steps(plan, wanted):
            made_from = whole if values is None else digest(program(), plan.language, values)
            files = None if fresh else before.as_made(name, made_from, folder)
            if files is None:
                new = dict(make())
                contents.update(new)
                files = marks(new.items())
            made[name] = Step(made_from, files)
    after = before.after(made, folder)
    with held(folder, "spile"):
        listed = (name for step in after.steps.values() for name in step.files)
        drop_leftovers(folder / name for name in (NAME, *listed, *after.stale))
        for name, content in contents.items():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            replace_file(folder / name, content)
        if remove_stale:
            after = clean(after, folder)
        if after != before:
            folder.mkdir(parents=True, exist_ok=True)
            replace_file(folder / NAME, after.text().encode("utf-8"))
    names = [name for step in made.values() for name in step.files]
    return Written(
        files=tuple(folder / name for name in names),
        reused=frozenset(folder / name for name in names if name not in contents),
        stale=tuple(folder / name for name in sorted(after.stale)),
    )


def _steps(plan: Plan, wanted: Collection[str]) -> Iterator[tuple[str, object | None, Callable[[], Iterable[File]]]]:
    """Yield each step: its name, the values it reads (None for the whole plan), and what makes its files."""
    from layout.handover.documents import BOOKS, DOCUMENTS

    for book in BOOKS:
        if book.name in wanted:
            yield f"book {book.name}", None, partial(_book, plan, book)
    for one in DOCUMENTS:
        if one.name in wanted:
            yield f"lists of {one.name}", None, partial(_lists, plan, one)
            if one.files is not None:
                values = None if one.reads is None else one.reads(plan)
                yield f"files of {one.name}", values, partial(one.files, plan)
    if "workbook" in wanted:
        yield "workbook", None, lambda: _workbook(plan, [table for one in DOCUMENTS for table in one.tables_of(plan)])


def _book(plan: Plan, book: Book) -> Iterator[File]:
    from layout.handover.books.book import book_pdf
    from layout.handover.documents import DOCUMENTS

    raw = book_pdf(plan, book, [one for one in DOCUMENTS if one.book == book.name])
    if raw is not None:
        yield f"{book.name}.pdf", raw


def _lists(plan: Plan, document: Document) -> Iterator[File]:
    from layout.handover.files.csv_file import csv_bytes

    tables = document.tables_of(plan)
    for table in tables:
        name = document.name if len(tables) == 1 else f"{document.name}-{plain(table.name)}"
        yield f"csv/{name}.csv", csv_bytes(table, invented=plan.project.project.example)


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
