"""The electrician's pack: everything on paper in one PDF, with cover, contents and bookmarks.

An electrician who was never aboard works from it alone. Templates at full size are not in it: they are printed apart.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from reportlab.platypus import Flowable, NextPageTemplate, PageBreak, Spacer

from layout.drawing.elements import colours
from layout.drawing.paper.drawing_sheets import Sheet
from layout.drawing.writers.pdf import POINTS_PER_MM
from layout.findings import Severity
from layout.handover.books.list_documents import list_tables
from layout.handover.books.pdf_schedule import schedule_story
from layout.handover.books.test_sheets import blank_tests_story
from layout.handover.books.wireway_sheets import wireway_story
from layout.handover.files.panel_files import panel_scenes
from layout.handover.lists.revisions import revision_table, snapshot
from layout.handover.lists.still_to_find_out import find_out_story
from layout.handover.paper.cautions import FOOT, cautions
from layout.handover.paper.diagram_sheets import one_line_sheet
from layout.handover.paper.flow_table import flow_table
from layout.handover.paper.marked_rows import wiring_errors
from layout.handover.paper.page_frame import Head, Mark, PageOf, PageScene, body_width_mm, pdf_document
from layout.handover.paper.paper_choice import paper_of
from layout.handover.paper.picture_story import block_story, chapter_story, legend_story
from layout.handover.paper.styles import LINE, grid, heading, text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.drawing.elements.scene import Scene
    from layout.handover.handed import Chapter, Work
    from layout.handover.lists.table import Table
    from layout.project.model.project import Project


Section = tuple[str, Callable[[float], list[Flowable]]]
"""Title of a chapter and what makes its flowables for a width in mm."""


def pack_pdf(work: Work) -> bytes:
    """Return the electrician's pack as PDF.

    Raises
    ------
    ValueError
        A text has a character that the font lacks.
    """
    page = paper_of(work.project, landscape=True)
    head = Head.of(work.project, "Electrician's pack", caution=FOOT)
    sheets = _sheets(work)
    extra = {_template(scene): _sheet(scene) for _, scene in sheets}
    return pdf_document(_story(work, body_width_mm(page), sheets), head, page, extra=extra)


def chapter_pdf(project: Project, chapter: Chapter) -> bytes:
    """Return one chapter as a document of its own."""
    page = paper_of(project, landscape=True)
    head = Head.of(project, chapter.title, caution=FOOT)
    sheets = [(chapter.title, scene) for scene in chapter.sheets]
    extra = {_template(scene): _sheet(scene) for _, scene in sheets}

    flow = chapter_story(chapter, body_width_mm(page)) or [text("The sheets follow.", 2.5)]
    return pdf_document([*flow, *_pages(sheets, level=1)], head, page, extra=extra)


def _sheets(work: Work) -> list[tuple[str, Scene]]:
    """Return the sheets that fill a page each: panel drawings, one-line diagram, those of other chapters."""
    project, found = work.project, work.everything_found
    sheets: list[tuple[str, Scene]] = []
    if work.arrangement is not None:
        for panel in project.panels.values():
            sheets += [(f"Drawing: {panel.name or panel.id}", scene) for scene in panel_scenes(work, panel)]
    if project.supplies:
        faulty = bool(wiring_errors(found))
        sheets.append(("One-line diagram", one_line_sheet(project, work.wiring, faulty=faulty)))
    sheets += [(f"Drawing: {chapter.title}", scene) for chapter in work.chapters for scene in chapter.sheets]
    return sheets


def _template(scene: Scene) -> str:
    return f"sheet {scene.width_mm:g} x {scene.height_mm:g}"


def _sheet(scene: Scene) -> Sheet:
    return Sheet(name=_template(scene), width_mm=scene.width_mm, height_mm=scene.height_mm)


def _pages(sheets: Sequence[tuple[str, Scene]], *, level: int = 0) -> list[Flowable]:
    """Return a page for each sheet, and the way back to flowing pages is the caller's."""
    story: list[Flowable] = []
    before = ""
    for title, scene in sheets:
        story += [NextPageTemplate(_template(scene)), PageBreak()]
        if title != before:
            story.append(Mark(title, level=level))
        before = title
        story.append(PageScene(scene))
    return story


def _sections(work: Work) -> list[Section]:
    project, wiring, found = work.project, work.wiring, work.everything_found
    lists = {name: partial(_listed, table) for name, table in list_tables(work).items()}
    sections: list[Section] = [("Cautions", lambda _: _caution_story(project))]
    sections.append(("Still to find out", lambda wide: find_out_story(project, found, wide)))
    if wiring is not None:
        sections.append(("Wire-run schedule", lambda wide: schedule_story(project, wiring, found, wide)))
        if wiring.feeders:
            sections.append(("Load of the feeders", lists["feeders"]))
        if "as-found" in lists:
            sections.append(("Wires found aboard", lists["as-found"]))
        if any(fill.cables for fill in wiring.wireways):
            sections.append(
                ("Wireways", lambda wide: [Mark("Wireways"), *wireway_story(project, wiring, found, wide, level=1)])
            )
        if wiring.studs:
            sections.append(("Terminal blocks", lambda _: block_story(project, wiring, found)))
        if any(panel.ways for panel in project.distribution.values()):
            sections.append(("Legends of the distribution panels", lambda _: legend_story(project, wiring, found)))
        sections.append(("Cut list by reel", lists["cut-list"]))
    sections.append(("Parts list", lists["parts"]))
    if wiring is not None:
        sections += [
            ("Ends, place by place", lists["ends"]),
            ("Label list", lists["label-list"]),
            ("Test sheet", lambda wide: blank_tests_story(project, wiring, found, wide)),
            ("How each size was found", lists["sizing"]),
        ]
    sections += [
        (chapter.title, partial(chapter_story, chapter))
        for chapter in work.chapters
        if chapter.tables or chapter.pictures
    ]
    changed = revision_table(work.issued, snapshot(project, work.arrangement, wiring))
    sections.append(("Revision list", partial(_listed, replace(changed, title="Revision list"))))
    return sections


def _listed(table: Table, width_mm: float) -> list[Flowable]:
    return [Mark(table.title), heading(table.title, 2), *flow_table(table, width_mm)]


def _story(work: Work, width_mm: float, sheets: Sequence[tuple[str, Scene]]) -> list[Flowable]:
    sections = _sections(work)
    titles = [*dict.fromkeys(title for title, _ in sheets), *(title for title, _ in sections)]
    story = _cover(work, titles)
    story += _pages(sheets)
    story.append(NextPageTemplate("flow"))
    for _, make in sections:
        story += [PageBreak(), *make(width_mm)]
    return story


def _cover(work: Work, titles: Sequence[str]) -> list[Flowable]:
    block = work.project.project
    found = work.everything_found
    errors = [finding for finding in found if finding.weight is Severity.STOP]
    about = [
        ("Number", block.number), ("Revision", block.revision), ("Date", block.date), ("Owner", block.owner),
        ("Drawn by", block.drawn_by), ("Approved by", block.approved_by),
    ]  # fmt: skip
    story: list[Flowable] = [Mark("Cover"), Spacer(0, 8 * POINTS_PER_MM), heading(block.name or "Electrical work", 1)]
    story.append(text("Electrician's pack: drawings, schedule, lists and test sheet", 3.0))
    story.append(Spacer(0, 5 * POINTS_PER_MM))
    left: list[Flowable] = [_pairs([(label, value or "–") for label, value in about])]
    left.append(Spacer(0, 5 * POINTS_PER_MM))
    if errors:
        count = f"{len(errors)} error{'s' if len(errors) > 1 else ''}"
        left.append(
            text(f"Not ready: {count}. Sheets that show one are overprinted.", 2.5, bold=True, colour=colours.ALARM)
        )
    else:
        left.append(text("No errors were found.", 2.5, bold=True))
    left += [
        Spacer(0, 3 * POINTS_PER_MM),
        text("How to read it", 2.5, bold=True),
        text("A wire's number is its circuit, a letter for the piece, and its pole; it stands on both ends.", 2.2),
        text("? means not known yet. It was not taken for zero: find it out first.", 2.2),
        text("Positions are in mm from the panel's datum, lower left, seen from the front.", 2.2),
    ]
    right: list[Flowable] = [text("Contents", 2.5, bold=True), Spacer(0, 1.5 * POINTS_PER_MM), _contents(titles)]
    return [*story, grid([[left, right]], [135.0, 125.0])]


def _pairs(rows: Sequence[tuple[str, str]]) -> Flowable:
    return grid([[text(label, 2.2, colour=colours.GREY), text(value, 2.2)] for label, value in rows], [28.0, 90.0])


def _contents(titles: Sequence[str]) -> Flowable:
    cells = [[text(title, 2.2), PageOf(title, 2.2)] for title in titles]
    return grid(cells, [105.0, 15.0], ("LINEBELOW", (0, 0), (-1, -1), 0.25, LINE))


def _caution_story(project: Project) -> list[Flowable]:
    story: list[Flowable] = [Mark("Cautions"), heading("Cautions", 2)]
    for title, kind in (("Wiring", "electrician"), ("Testing", "testing"), ("Cutting", "cutting")):
        story.append(heading(title, 3))
        for number, caution in enumerate(cautions(project, kind), start=1):
            number_text = text(str(number), 2.2, bold=True, colour=colours.ALARM)
            story.append(grid([[number_text, text(caution, 2.2)]], [9.0, 240.0]))
    return story
