"""Write the documents: every one whole or not at all, same bytes for the same project, stable names."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from layout.handover.files.file_names import plain_name
from layout.handover.files.folder_contents import CONTENTS_NAME, BuildStep, FolderContents, clean, content_marks
from layout.languages import spoken
from layout.light_dataclass import dataclass
from layout.project.editing.lock import held_lock
from layout.project.editing.writing import drop_leftovers, replace_file

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable, Iterator, Sequence

    from layout.findings import Finding
    from layout.handover.document import Book, Document, File
    from layout.handover.lists.table import Table
    from layout.handover.plan import Plan

    Making = tuple[str, Callable[[], object] | None, Callable[[], Iterable[File]]]


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
    from layout.handover.documents import DOCUMENT_NAMES  # loads every document's libraries
    from layout.handover.files.made_from import facts_digest, program

    folder = Path(out_dir)
    wanted = frozenset(DOCUMENT_NAMES if only is None else only)
    unknown = sorted(wanted.difference(DOCUMENT_NAMES))
    if unknown:
        raise ValueError(f"there is no document '{unknown[0]}'; there are {', '.join(DOCUMENT_NAMES)}")
    before = FolderContents.read(folder)
    made: dict[str, BuildStep] = {}
    contents: dict[str, bytes] = {}
    whole = facts_digest(program(), plan)
    with spoken(plan.language):
        for name, values, make in _steps(plan, wanted):
            known = before.steps.get(name)
            if values is None or fresh or known is None or known.whole != whole:
                made_from = whole if values is None else facts_digest(program(), plan.language, values())
            else:
                made_from = known.made_from
            files = None if fresh else before.as_made(name, made_from, folder)
            if files is None:
                new = dict(make())
                contents.update(new)
                files = content_marks(new.items())
            made[name] = BuildStep(made_from, files, whole)
    after = before.after(made, folder)
    with held_lock(folder, "spile"):
        drop_leftovers(folder / name for name in {CONTENTS_NAME, *before.names, *after.names})
        if contents.keys() - before.names:  # listed before it is there, so that nothing of an ended build is forgotten
            folder.mkdir(parents=True, exist_ok=True)
            replace_file(
                folder / CONTENTS_NAME, before.with_more(content_marks(contents.items())).text().encode("utf-8")
            )
        for name, content in contents.items():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            replace_file(folder / name, content)
        if remove_stale:
            after = clean(after, folder)
        if after != before:
            folder.mkdir(parents=True, exist_ok=True)
            replace_file(folder / CONTENTS_NAME, after.text().encode("utf-8"))
    names = [name for step in made.values() for name in step.files]
    return Written(
        files=tuple(folder / name for name in names),
        reused=frozenset(folder / name for name in names if name not in contents),
        stale=tuple(folder / name for name in sorted(after.stale)),
    )


def _steps(plan: Plan, wanted: Collection[str]) -> Iterator[Making]:
    """Yield each step: its name, what gives the values it reads (None for the whole plan), and what makes its files."""
    from layout.handover.documents import BOOKS, DOCUMENTS

    for book in BOOKS:
        if book.name in wanted:
            yield f"book {book.name}", _values_of(plan, book), partial(_book, plan, book)
    for one in DOCUMENTS:
        if one.name in wanted:
            yield f"lists of {one.name}", partial(_list_values, plan, one), partial(_lists, plan, one)
            if one.files is not None:
                yield f"files of {one.name}", partial(_file_values, plan, one), partial(one.files, plan)
    if "workbook" in wanted:
        yield "workbook", partial(_workbook_values, plan), partial(_workbook, plan)


def _list_values(plan: Plan, document: Document) -> object:
    return plan.project.project, document.tables_of(plan)


def _file_values(plan: Plan, document: Document) -> object:
    if document.reads is not None:
        return document.reads(plan)
    return plan.project.project, document.sheets_of(plan)


def _workbook_values(plan: Plan) -> object:
    return plan.project.project, plan.project.workshop.paper, *_workbook_parts(plan)


def _workbook_parts(plan: Plan) -> tuple[Sequence[str], Sequence[Table]]:
    """Return the cautions and the tables of the workbook."""
    from layout.handover.documents import DOCUMENTS
    from layout.handover.paper.cautions import cautions

    return cautions(plan.project, "electrician"), [table for one in DOCUMENTS for table in one.tables_of(plan)]


def _values_of(plan: Plan, book: Book) -> Callable[[], object] | None:
    """Return what gives the values a book is made from; None where one of its chapters reads the whole plan."""
    from layout.handover.books.cover import cover_values
    from layout.handover.documents import DOCUMENTS

    chapters = [one for one in DOCUMENTS if one.book == book.name]
    if any(one.reads_whole_plan for one in chapters):
        return None

    def values() -> object:
        parts = [one.values_of(plan) for one in chapters]
        return cover_values(plan, book), plan.project.workshop.paper, _withheld(plan, book), parts

    return values


def _withheld(plan: Plan, book: Book) -> list[tuple[str, Finding]]:
    """Return what the book's cover names as not written, and why."""
    from layout.handover.documents import DOCUMENTS

    return [pair for one in DOCUMENTS if (one.told_in or one.book) == book.name for pair in one.withheld_of(plan)]


def _book(plan: Plan, book: Book) -> Iterator[File]:
    from layout.handover.books.book import book_pdf
    from layout.handover.documents import DOCUMENTS

    chapters = [one for one in DOCUMENTS if one.book == book.name]
    raw = book_pdf(plan, book, chapters, _withheld(plan, book))
    if raw is not None:
        yield f"{book.name}.pdf", raw


def _lists(plan: Plan, document: Document) -> Iterator[File]:
    from layout.handover.files.csv_file import csv_bytes

    tables = document.tables_of(plan)
    for table in tables:
        name = document.name if len(tables) == 1 else f"{document.name}-{plain_name(table.name)}"
        yield f"csv/{name}.csv", csv_bytes(table, invented=plan.project.project.example)


def _workbook(plan: Plan) -> Iterator[File]:
    from layout.drawing.paper.stamp import INVENTED
    from layout.handover.files.xlsx import xlsx_bytes

    block = plan.project.project
    cautions, tables = _workbook_parts(plan)
    lines = (*((INVENTED,) if block.example else ()), *cautions)
    title = f"{block.name}: lists" if block.name else "Lists"
    if tables:
        yield (
            "csv/lists.xlsx",
            xlsx_bytes(tables, title=title, revision=block.revision, paper=plan.project.workshop.paper, lines=lines),
        )
