"""Flowing documents: page frame with head and foot, "page x of y", bookmarks, overprint on faulty pages.

Nothing in a document depends on the clock.
"""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING, Any

from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageTemplate
from reportlab.platypus.doctemplate import LayoutError

from layout.drawing.elements.scene import Scene
from layout.drawing.paper.stamp import INVENTED, overprint
from layout.drawing.writers.pdf import BOLD, POINTS_PER_MM, REGULAR, DocumentInfo, draw_scene, register_fonts
from layout.handover.paper.canvas import LateCanvas
from layout.handover.paper.styles import LINE, PAPER_ALARM, PAPER_GREY, PAPER_INK, keep_headings, points
from layout.languages import in_language, spoken_language
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from layout.drawing.paper.drawing_sheets import Sheet
    from layout.project.model.project import Project

_MARGIN_MM = 10.0
_HEAD_MM, _FOOT_MM = 7.8, 8.8


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
            caution=caution, invented=block.example,
        )  # fmt: skip


class Bookmark(Flowable):  # type: ignore[misc]  # reportlab is untyped
    """A heading's anchor: a bookmark in the outline at ``level`` and a page number for the contents."""

    _ZEROSIZE = True

    def __init__(self, title: str, *, level: int = 0) -> None:
        super().__init__()
        self.width = self.height = 0
        self._title, self._level = title, level

    def wrap(self, *_: float) -> tuple[float, float]:
        """Take no room."""
        return 0, 0

    def draw(self) -> None:
        """Set the bookmark at the current page."""
        self.canv.mark(self._title, level=self._level)


class PageOf(Flowable):  # type: ignore[misc]
    """The number of the page that a mark is on, for a list of contents; right-aligned."""

    def __init__(self, title: str, cap_height_mm: float) -> None:
        super().__init__()
        self._title, self._size = title, points(cap_height_mm)

    def wrap(self, available_width: float, _height: float) -> tuple[float, float]:
        """Take the cell's width and one line."""
        self.width, self.height = available_width, 1.3 * self._size
        return self.width, self.height

    def draw(self) -> None:
        """Have it drawn when all pages are known."""
        right, base = self.canv.absolutePosition(self.width, 0.3 * self._size)

        def write(canvas: LateCanvas) -> None:
            canvas.setFont(REGULAR, self._size)
            canvas.setFillColor(PAPER_INK)
            canvas.drawRightString(right, base, canvas.page_of(self._title))

        self.canv.later(write)


class Faulty(Flowable):  # type: ignore[misc]
    """Takes no room; the page it lands on is overprinted."""

    _ZEROSIZE = True

    def __init__(self, words: str = "NOT FOR WIRING") -> None:
        super().__init__()
        self.width = self.height = 0
        self._words = words

    def wrap(self, *_: float) -> tuple[float, float]:
        """Take no room."""
        return 0, 0

    def draw(self) -> None:
        """Note the words for this page."""
        self.canv.overprint = self._words


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


def pdf_document(story: list[Flowable], head: Head, page: Sheet, *, extra: Mapping[str, Sheet] | None = None) -> bytes:
    """Return a document as PDF.

    Parameters
    ----------
    story
        Its flowables, used up by this.
    page
        Sheet of the flowing pages.
    extra
        Sheets of pages that a single scene fills, by the name given to ``NextPageTemplate``.

    Raises
    ------
    ValueError
        A text has a character the font lacks, or something does not fit on a page.
    """
    register_fonts()
    title = f"{head.project}: {head.document}" if head.project else head.document
    info = DocumentInfo(title=title, revision=head.revision, subject=head.document)
    frame = Frame(
        _MARGIN_MM * POINTS_PER_MM, (_MARGIN_MM + _FOOT_MM) * POINTS_PER_MM,
        (page.width_mm - 2 * _MARGIN_MM) * POINTS_PER_MM,
        (page.height_mm - 2 * _MARGIN_MM - _HEAD_MM - _FOOT_MM) * POINTS_PER_MM,
        leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0, id="body",
    )  # fmt: skip

    def begin(furniture: Callable[[LateCanvas, int], None]) -> Callable[[LateCanvas, Any], None]:
        def start(canvas: LateCanvas, _document: Any) -> None:
            canvas.describe(info)
            canvas.begin(furniture)

        return start

    templates = [PageTemplate("flow", [frame], pagesize=_size(page), onPage=begin(_furniture(head, page)))]
    for name, sheet in (extra or {}).items():
        whole = Frame(0, 0, *_size(sheet), leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0, id=name)
        furniture = _whole(sheet, invented=head.invented)
        templates.append(PageTemplate(name, [whole], pagesize=_size(sheet), onPage=begin(furniture)))
    out = BytesIO()
    document = BaseDocTemplate(
        out, pagesize=_size(page), invariant=1, pageCompression=1, lang=spoken_language().code, initialFontName=REGULAR
    )  # fmt: skip
    document.addPageTemplates(templates)
    keep_headings(story)
    try:
        document.build(story, canvasmaker=LateCanvas)
    except LayoutError as error:
        raise ValueError(f"'{head.document}' does not fit on {page.name}: {error}") from error
    return out.getvalue()


def _whole(sheet: Sheet, *, invented: bool) -> Callable[[LateCanvas, int], None]:
    def draw(canvas: LateCanvas, pages: int) -> None:
        canvas.saveState()
        canvas.setFillColor(PAPER_GREY)
        canvas.setFont(REGULAR, points(1.8))
        number = in_language(f"page {canvas.getPageNumber()} of {pages}")
        words = "  ·  ".join(filter(None, (in_language(INVENTED) if invented else "", number)))
        canvas.drawRightString((sheet.width_mm - 10) * POINTS_PER_MM, 2 * POINTS_PER_MM, words)
        canvas.restoreState()
        _over(canvas, sheet)

    return draw


def _furniture(head: Head, page: Sheet) -> Callable[[LateCanvas, int], None]:
    def draw(canvas: LateCanvas, pages: int) -> None:
        mm = POINTS_PER_MM
        left, right = _MARGIN_MM * mm, (page.width_mm - _MARGIN_MM) * mm
        top, foot = (page.height_mm - _MARGIN_MM) * mm, _MARGIN_MM * mm
        canvas.saveState()
        canvas.setFillColor(PAPER_INK)
        canvas.setFont(BOLD, points(2.5))
        canvas.drawString(left, top - 3 * mm, in_language(head.document))
        canvas.setFont(REGULAR, points(2.0))
        revision = in_language(f"rev. {head.revision}") if head.revision else ""
        about = "   ".join(filter(None, (head.project, head.number, revision, head.date)))
        canvas.drawRightString(right, top - 3 * mm, about)
        canvas.setStrokeColor(LINE)
        canvas.setLineWidth(0.35 * mm)
        canvas.line(left, top - 6 * mm, right, top - 6 * mm)
        canvas.line(left, foot + 7 * mm, right, foot + 7 * mm)
        canvas.setFillColor(PAPER_GREY)
        canvas.setFont(REGULAR, points(1.8))
        canvas.drawRightString(right, foot + 3 * mm, in_language(f"page {canvas.getPageNumber()} of {pages}"))
        if head.invented:
            canvas.drawString(left, foot - 0.6 * mm, in_language(INVENTED))
        canvas.setFillColor(PAPER_ALARM)
        canvas.drawString(left, foot + 3 * mm, in_language(head.caution))
        canvas.restoreState()
        _over(canvas, page)

    return draw


def _over(canvas: LateCanvas, page: Sheet) -> None:
    if canvas.overprint:
        items = (overprint(page.box, canvas.overprint),)
        draw_scene(canvas, Scene(width_mm=page.width_mm, height_mm=page.height_mm, items=items))


def _size(page: Sheet) -> tuple[float, float]:
    return (page.width_mm * POINTS_PER_MM, page.height_mm * POINTS_PER_MM)


def body_width_mm(page: Sheet) -> float:
    """Return the width that flowing content has on a sheet."""
    return page.width_mm - 2 * _MARGIN_MM
