"""Flowing documents: page frame with head and foot, "page x of y", bookmarks, overprint on faulty pages.

A document is built twice from the same recipe: the first pass counts pages and learns where headings landed, the second
prints both. Nothing in it depends on the clock.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from io import BytesIO
from typing import TYPE_CHECKING, Any

from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageTemplate
from reportlab.platypus.doctemplate import LayoutError

from layout.drawing.pdf import BOLD, POINTS_PER_MM, REGULAR, DocumentInfo, draw_scene, register_fonts, write_info
from layout.drawing.scene import Scene
from layout.drawing.stamp import overprint
from layout.handover.styles import ALARM, GREY, INK, LINE, points

if TYPE_CHECKING:
    from layout.drawing.sheets import Sheet
    from layout.project.model.project import Project

MARGIN_MM = 12.0
_HEAD_MM, _FOOT_MM = 11.0, 12.0


@dataclass(frozen=True, slots=True)
class Facts:
    """What the first pass learnt: count of pages, and page of each mark."""

    pages: int = 0
    marks: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """What stands on every page."""

    project: str
    document: str
    number: str = ""
    revision: str = ""
    date: str = ""
    caution: str = ""
    invented: bool = False

    @classmethod
    def of(cls, project: Project, document: str, *, caution: str = "") -> Head:
        """Return the head of a document of a project."""
        block = project.project
        return cls(
            project=block.name, document=document, number=block.number, revision=block.revision, date=block.date,
            caution=caution, invented=block.invented,
        )  # fmt: skip


Story = Callable[[Facts], list[Flowable]]


class Mark(Flowable):  # type: ignore[misc]  # reportlab is untyped
    """A heading's anchor: a bookmark in the outline at ``level`` and a page number for the contents."""

    def __init__(self, title: str, *, level: int = 0, key: str = "") -> None:
        super().__init__()
        self.width = self.height = 0
        self._title, self._level, self._key = title, level, key or title

    def wrap(self, *_: float) -> tuple[float, float]:
        """Take no room."""
        return 0, 0

    def draw(self) -> None:
        """Set the bookmark at the current page."""
        name = f"mark-{len(self.canv.spile_marks)}"
        self.canv.bookmarkPage(name)
        self.canv.addOutlineEntry(self._title, name, level=self._level, closed=self._level > 0)
        self.canv.spile_marks.setdefault(self._key, self.canv.getPageNumber())


class Faulty(Flowable):  # type: ignore[misc]
    """Takes no room; the page it lands on is overprinted."""

    def __init__(self, words: str = "NOT FOR WIRING") -> None:
        super().__init__()
        self.width = self.height = 0
        self._words = words

    def wrap(self, *_: float) -> tuple[float, float]:
        """Take no room."""
        return 0, 0

    def draw(self) -> None:
        """Note the words for this page."""
        self.canv.spile_overprint = self._words


class PageScene(Flowable):  # type: ignore[misc]
    """A scene that fills a page of its own at full size; use with :func:`full_page`."""

    def __init__(self, scene: Scene) -> None:
        super().__init__()
        self._scene = scene

    def wrap(self, *_: float) -> tuple[float, float]:
        """Return a speck: the scene is drawn from the page's corner, whatever the frame."""
        return 1, 1

    def draw(self) -> None:
        """Draw the scene on the whole page."""
        canvas = self.canv
        canvas.saveState()
        x, y = canvas.absolutePosition(0, 0)
        canvas.translate(-x, -y)
        draw_scene(canvas, self._scene)
        canvas.restoreState()


def pdf_document(story: Story, head: Head, page: Sheet, *, extra: Mapping[str, Sheet] | None = None) -> bytes:
    """Return a document as PDF.

    Parameters
    ----------
    story
        Makes the flowables anew for each pass, given what is known of the pages.
    page
        Sheet of the flowing pages.
    extra
        Sheets of pages that a single scene fills, by the name given to ``NextPageTemplate``.

    Raises
    ------
    ValueError
        A text has a character the font lacks, or something does not fit on a page.
    """
    first, _ = _pass(story, Facts(), head, page, extra or {})
    _, raw = _pass(story, first, head, page, extra or {})
    return raw


def _pass(story: Story, facts: Facts, head: Head, page: Sheet, extra: Mapping[str, Sheet]) -> tuple[Facts, bytes]:
    register_fonts()
    out = BytesIO()
    document = BaseDocTemplate(out, pagesize=_size(page), invariant=1, pageCompression=1, lang="en")
    frame = Frame(
        MARGIN_MM * POINTS_PER_MM, (MARGIN_MM + _FOOT_MM) * POINTS_PER_MM,
        (page.width_mm - 2 * MARGIN_MM) * POINTS_PER_MM,
        (page.height_mm - 2 * MARGIN_MM - _HEAD_MM - _FOOT_MM) * POINTS_PER_MM,
        leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0, id="body",
    )  # fmt: skip
    templates = [PageTemplate("flow", [frame], pagesize=_size(page), onPageEnd=_furniture(head, facts, page))]
    for name, sheet in extra.items():
        whole = Frame(0, 0, *_size(sheet), leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0, id=name)
        templates.append(PageTemplate(name, [whole], pagesize=_size(sheet), onPageEnd=_whole(sheet, facts)))
    document.addPageTemplates(templates)
    kept: list[Any] = []

    def begin(canvas: Any, _document: Any) -> None:
        if not kept:
            kept.append(canvas)
            canvas.spile_marks = {}
            title = f"{head.project}: {head.document}" if head.project else head.document
            write_info(canvas, DocumentInfo(title=title, revision=head.revision, subject=head.document))
            canvas.showOutline()
        canvas.spile_overprint = ""

    for template in templates:
        template.onPage = begin
    try:
        document.build(story(facts))
    except LayoutError as error:
        raise ValueError(f"'{head.document}' does not fit on {page.name}: {error}") from error
    return Facts(document.page, dict(kept[0].spile_marks)), out.getvalue()


def _whole(sheet: Sheet, facts: Facts) -> Callable[[Any, Any], None]:
    def end(canvas: Any, _document: Any) -> None:
        canvas.saveState()
        canvas.setFillColor(GREY)
        canvas.setFont(REGULAR, points(1.8))
        canvas.drawRightString((sheet.width_mm - 10) * POINTS_PER_MM, 2 * POINTS_PER_MM, _page_words(canvas, facts))
        canvas.restoreState()
        _over(canvas, sheet)

    return end


def _furniture(head: Head, facts: Facts, page: Sheet) -> Callable[[Any, Any], None]:
    def end(canvas: Any, _document: Any) -> None:
        mm = POINTS_PER_MM
        left, right = MARGIN_MM * mm, (page.width_mm - MARGIN_MM) * mm
        top, foot = (page.height_mm - MARGIN_MM) * mm, MARGIN_MM * mm
        canvas.saveState()
        canvas.setFillColor(INK)
        canvas.setFont(BOLD, points(2.5))
        canvas.drawString(left, top - 3 * mm, head.document)
        canvas.setFont(REGULAR, points(2.0))
        about = "   ".join(
            filter(None, (head.project, head.number, f"rev. {head.revision}" if head.revision else "", head.date))
        )
        canvas.drawRightString(right, top - 3 * mm, about)
        canvas.setStrokeColor(LINE)
        canvas.setLineWidth(0.35 * mm)
        canvas.line(left, top - 6 * mm, right, top - 6 * mm)
        canvas.line(left, foot + 7 * mm, right, foot + 7 * mm)
        canvas.setFillColor(GREY)
        canvas.setFont(REGULAR, points(1.8))
        canvas.drawRightString(right, foot + 3 * mm, _page_words(canvas, facts))
        if head.invented:
            canvas.drawString(left, foot - 0.6 * mm, "Invented data: nothing here exists.")
        canvas.setFillColor(ALARM)
        canvas.drawString(left, foot + 3 * mm, head.caution)
        canvas.restoreState()
        _over(canvas, page)

    return end


def _page_words(canvas: Any, facts: Facts) -> str:
    return f"page {canvas.getPageNumber()} of {facts.pages or '?'}"


def _over(canvas: Any, page: Sheet) -> None:
    words = canvas.spile_overprint
    if words:
        scene = Scene(width_mm=page.width_mm, height_mm=page.height_mm, items=(overprint(page.box, words),))
        draw_scene(canvas, scene)


def _size(page: Sheet) -> tuple[float, float]:
    return (page.width_mm * POINTS_PER_MM, page.height_mm * POINTS_PER_MM)


def body_width_mm(page: Sheet) -> float:
    """Return the width that flowing content has on a sheet."""
    return page.width_mm - 2 * MARGIN_MM
