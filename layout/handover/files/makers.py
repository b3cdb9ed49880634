"""What each document is made of: from the work done to files with their names."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.writers.pdf import DocumentInfo, pdf_bytes
from layout.drawing.writers.svg import svg_text
from layout.handover.books.electricians_pack import chapter_pdf, pack_pdf
from layout.handover.books.list_documents import list_tables
from layout.handover.books.pdf_schedule import pdf_schedule
from layout.handover.books.test_sheets import blank_tests_pdf, run_tests_table
from layout.handover.books.wireway_sheets import wireway_sheets
from layout.handover.files.csv_file import csv_bytes
from layout.handover.files.panel_files import File, drawings, machine_files, plain, templates
from layout.handover.files.xlsx import xlsx_bytes
from layout.handover.lists.label_list import label_pdf
from layout.handover.lists.revisions import revision_table, snapshot
from layout.handover.lists.schedule_columns import schedule_table
from layout.handover.lists.still_to_find_out import find_out_pdf, find_out_table
from layout.handover.paper.cautions import FOOT
from layout.handover.paper.diagram_sheets import one_line_sheet
from layout.handover.paper.flow_table import flow_table
from layout.handover.paper.marked_rows import wiring_errors
from layout.handover.paper.page_frame import Head, body_width_mm, pdf_document
from layout.handover.paper.paper_choice import paper_of
from layout.handover.paper.picture_story import block_story, legend_story

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from layout.handover.handed import Work


def _one_line(work: Work) -> Iterator[File]:
    if not work.project.supplies:
        return
    block = work.project.project
    scene = one_line_sheet(work.project, work.wiring, faulty=bool(wiring_errors(work.everything_found)))
    info = DocumentInfo(title=f"{block.name}: one-line diagram", revision=block.revision, subject="one-line diagram")
    yield "one-line.pdf", pdf_bytes([scene], info)
    yield "one-line.svg", svg_text(scene).encode("utf-8")


def _schedule(work: Work) -> Iterator[File]:
    if work.wiring is None:
        return
    found, block = work.everything_found, work.project.project
    table = schedule_table(work.project, work.wiring, found)
    yield "schedule.pdf", pdf_schedule(work.project, work.wiring, found)
    yield "schedule.csv", csv_bytes(table)
    tables = [table, *list_tables(work).values()]
    yield (
        "schedule.xlsx",
        xlsx_bytes(tables, title=f"{block.name}: schedule", revision=block.revision, paper=work.project.workshop.paper),
    )


def _list(name: str) -> Callable[[Work], Iterator[File]]:
    def make(work: Work) -> Iterator[File]:
        table = list_tables(work).get(name)
        if table is not None:
            page = paper_of(work.project, landscape=True)
            head = Head.of(work.project, table.title, caution=FOOT)
            yield f"{name}.pdf", pdf_document(flow_table(table, body_width_mm(page)), head, page)
            yield f"{name}.csv", csv_bytes(table)

    return make


def _wireways(work: Work) -> Iterator[File]:
    if work.wiring is not None and work.wiring.wireways:
        yield "wireways.pdf", wireway_sheets(work.project, work.wiring, work.everything_found)


def _blocks(work: Work) -> Iterator[File]:
    wiring, project = work.wiring, work.project
    if wiring is not None and wiring.studs:
        page = paper_of(project, landscape=True)
        head = Head.of(project, "Terminal blocks", caution=FOOT)
        yield (
            "terminal-blocks.pdf",
            pdf_document(block_story(project, wiring, work.everything_found), head, page),
        )


def _legends(work: Work) -> Iterator[File]:
    project = work.project
    if any(panel.ways for panel in project.distribution.values()):
        page = paper_of(project, landscape=True)
        head = Head.of(project, "Legends of the distribution panels")
        yield "legends.pdf", pdf_document(legend_story(project, work.wiring, work.everything_found), head, page)


def _labels(work: Work) -> Iterator[File]:
    if work.wiring is not None and any(run.wires for run in work.wiring.runs):
        yield "labels.pdf", label_pdf(work.project, work.wiring, work.label, findings=work.everything_found)


def _tests(work: Work) -> Iterator[File]:
    if work.wiring is not None:
        yield "tests.pdf", blank_tests_pdf(work.project, work.wiring, work.everything_found)
        yield "tests.csv", csv_bytes(run_tests_table(work.wiring))


def _find_out(work: Work) -> Iterator[File]:
    yield "still-to-find-out.pdf", find_out_pdf(work.project, work.everything_found)
    yield "still-to-find-out.csv", csv_bytes(find_out_table(work.project, work.everything_found))


def _revisions(work: Work) -> Iterator[File]:
    if work.issued is not None:
        page = paper_of(work.project, landscape=True)
        table = revision_table(work.issued, snapshot(work.project, work.arrangement, work.wiring))
        head = Head.of(work.project, "Revision list")
        yield "revisions.pdf", pdf_document(flow_table(table, body_width_mm(page)), head, page)


def _chapters(work: Work) -> Iterator[File]:
    for chapter in work.chapters:
        yield f"{plain(chapter.name)}.pdf", chapter_pdf(work.project, chapter)
        for table in chapter.tables:
            yield f"{plain(chapter.name)}-{plain(table.name)}.csv", csv_bytes(table)


def _pack(work: Work) -> Iterator[File]:
    yield "electricians-pack.pdf", pack_pdf(work)


DOCUMENTS: dict[str, Callable[[Work], Iterator[File]]] = {
    "drawing": drawings,
    "template": templates,
    "machine": machine_files,
    "one-line": _one_line,
    "schedule": _schedule,
    "wireways": _wireways,
    "terminal-blocks": _blocks,
    "legends": _legends,
    "feeders": _list("feeders"),
    "cut-list": _list("cut-list"),
    "parts": _list("parts"),
    "ends": _list("ends"),
    "label-list": _list("label-list"),
    "labels": _labels,
    "tests": _tests,
    "sizing": _list("sizing"),
    "as-found": _list("as-found"),
    "chapters": _chapters,
    "revisions": _revisions,
    "still-to-find-out": _find_out,
    "pack": _pack,
}
"""Every document by name, in the order they are written."""
