"""What a document is: one entry of the table from which books, lists and files are made."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from reportlab.platypus import Flowable

    from layout.drawing.elements.scene import Scene
    from layout.findings import Finding
    from layout.handover.lists.table import Table
    from layout.handover.plan import Plan

File = tuple[str, bytes]
"""Path below the folder of documents, with ``/``, and content."""

BookName = Literal["electrician", "workshop", "shopping", "reckoning"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """One document: where it stands, and what it is made of. What gives nothing is not written.

    Attributes
    ----------
    name, title
        Short name, for files and the command line; what people read.
    book
        The book it is a chapter of; None where it is only a list or files.
    tables
        Lists, each one CSV file and one sheet of the workbook; a chapter without a story of its own shows them.
    sheets
        Scenes that fill a page of the book each.
    story
        Flowables of its chapter, for a width in mm; without it the tables are shown.
    files
        Drawings, templates and machine files, with their folder; made from its sheets and the title block, unless
        ``reads`` says from what.
    reads
        The values from which its files, sheets and story are made and from nothing besides; without it a story is made
        from the whole plan.
    withheld
        What is not written although it was asked for, with the finding that says why.
    told_in
        Book whose cover says so; left out, the one it is a chapter of.
    follows
        Whether it may begin on the page on which the chapter before it ends.
    """

    name: str
    title: str
    book: BookName | None = None
    tables: Callable[[Plan], Sequence[Table]] | None = None
    sheets: Callable[[Plan], Sequence[Scene]] | None = None
    story: Callable[[Plan, float], list[Flowable]] | None = None
    files: Callable[[Plan], Iterable[File]] | None = None
    reads: Callable[[Plan], object] | None = None
    withheld: Callable[[Plan], Iterable[tuple[str, Finding]]] | None = None
    told_in: BookName | None = None
    follows: bool = True

    def tables_of(self, plan: Plan) -> tuple[Table, ...]:
        """Return its lists that have a row."""
        make = self.tables
        if make is None:
            return ()
        return plan.once(f"tables {self.name}", lambda: tuple(table for table in make(plan) if table.rows))

    def sheets_of(self, plan: Plan) -> tuple[Scene, ...]:
        """Return its full pages."""
        return () if self.sheets is None else sheets_once(plan, self.name, self.sheets)

    @property
    def reads_whole_plan(self) -> bool:
        """Whether nothing says from which values its story is made."""
        return self.reads is None and self.story not in (None, sheets_alone)

    def values_of(self, plan: Plan) -> object:
        """Return the values its chapter is made from."""
        if self.reads is not None:
            return self.reads(plan)
        return plan if self.reads_whole_plan else (self.tables_of(plan), self.sheets_of(plan))

    def withheld_of(self, plan: Plan) -> tuple[tuple[str, Finding], ...]:
        """Return what is not written, and why."""
        return tuple(self.withheld(plan)) if self.withheld else ()


def sheets_once(plan: Plan, name: str, make: Callable[[Plan], Sequence[Scene]]) -> tuple[Scene, ...]:
    """Return the sheets of a document, made once for its book and its files."""
    return plan.once(f"sheets {name}", lambda: tuple(make(plan)))


def sheets_alone(_plan: Plan, _width_mm: float) -> list[Flowable]:
    """Return the story of a chapter whose sheets say all that its list says: nothing."""
    return []


@dataclass(frozen=True, slots=True, kw_only=True)
class Book:
    """A PDF that a person opens; its chapters are the documents that name it, in the table's order."""

    name: BookName
    title: str
    subtitle: str
    caution: str
    """What stands at the foot of its pages."""
