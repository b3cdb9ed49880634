"""One book as PDF: cover with contents, then its chapters; each page in full size or flowing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import NextPageTemplate, PageBreak

from layout.drawing.paper.drawing_sheets import Sheet
from layout.handover.books.cover import cover
from layout.handover.paper.flow_table import flow_table
from layout.handover.paper.page_frame import Bookmark, Head, PageScene, body_width_mm, pdf_document
from layout.handover.paper.paper_choice import paper_of
from layout.handover.paper.styles import heading

if TYPE_CHECKING:
    from collections.abc import Sequence

    from reportlab.platypus import Flowable

    from layout.drawing.elements.scene import Scene
    from layout.findings import Finding
    from layout.handover.document import Book, Document
    from layout.handover.plan import Plan


def book_pdf(
    plan: Plan, book: Book, documents: Sequence[Document], withheld: Sequence[tuple[str, Finding]] = ()
) -> bytes | None:
    """Return a book as PDF; None where none of its chapters has anything to say.

    Parameters
    ----------
    withheld
        What its cover has to name as not written, with the finding that says why.

    Raises
    ------
    ValueError
        A text has a character that the font lacks.
    """
    page = paper_of(plan.project, landscape=True)
    width = body_width_mm(page)
    chapters = [(one, one.sheets_of(plan), _story(one, plan, width)) for one in documents]
    chapters = [(one, sheets, story) for one, sheets, story in chapters if sheets or story]
    if not chapters:
        return None
    story = cover(plan, book, [one.title for one, *_ in chapters], withheld)
    extra: dict[str, Sheet] = {}
    flows = True
    for one, sheets, flow in chapters:
        mark: list[Flowable] = [Bookmark(one.title)]
        for scene in sheets:
            paper = _sheet(scene)
            extra[paper.name] = paper
            story += [NextPageTemplate(paper.name), PageBreak(), *mark, PageScene(scene)]
            mark, flows = [], False
        if flow:
            if not (flows and one.follows):
                story += [NextPageTemplate("flow"), PageBreak()]
            story += [heading(one.title, 2), *mark, *flow]
            flows = True
    head = Head.of(plan.project, book.title, caution=book.caution)
    return pdf_document(story, head, page, extra=extra)


def _story(document: Document, plan: Plan, width_mm: float) -> list[Flowable]:
    if document.story is not None:
        return document.story(plan, width_mm)
    tables = document.tables_of(plan)
    found: list[Flowable] = []
    for table in tables:
        if len(tables) > 1:
            found.append(heading(table.title, 3))
        found += flow_table(table, width_mm)
    return found


def _sheet(scene: Scene) -> Sheet:
    name = f"sheet {scene.width_mm:g} x {scene.height_mm:g}"
    return Sheet(name=name, width_mm=scene.width_mm, height_mm=scene.height_mm)
