"""A canvas that keeps its pages until all are known, so that each can say "page x of y" and name other pages.

Marks and page numbers are only noted while pages are laid out, and drawn when the document is closed.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from reportlab.pdfgen.canvas import Canvas

from layout.drawing.writers.pdf import DocumentInfo, write_info
from layout.languages import in_language

if TYPE_CHECKING:
    from collections.abc import Callable


class LateCanvas(Canvas):  # type: ignore[misc]  # reportlab is untyped
    """See the module.

    Attributes
    ----------
    furniture
        Draws head and foot of the current page, given the count of pages; set when a page begins.
    overprint
        Words across the current page; empty for none.
    """

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        self.furniture: Callable[[LateCanvas, int], None] | None = None
        self.overprint = ""
        self._info: DocumentInfo | None = None
        self._kept: list[dict[str, Any]] = []
        self._page_of: dict[str, int] = {}
        self._marks: list[tuple[str, int]] = []
        self._later: list[Callable[[LateCanvas], None]] = []

    def describe(self, info: DocumentInfo) -> None:
        """Say what the file says about itself."""
        self._info = info

    def begin(self, furniture: Callable[[LateCanvas, int], None]) -> None:
        """Start a page: no marks, no overprint, this furniture."""
        self.furniture, self.overprint, self._marks, self._later = furniture, "", [], []

    def mark(self, title: str, *, level: int) -> None:
        """Note that something begins on this page, for bookmarks and for :meth:`page_of`."""
        self._marks.append((title, level))
        self._page_of.setdefault(title, self.getPageNumber())

    def later(self, draw: Callable[[LateCanvas], None]) -> None:
        """Draw on this page once all pages are known."""
        self._later.append(draw)

    def page_of(self, title: str) -> str:
        """Return the number of the page that a mark is on; empty where there is none."""
        return str(self._page_of.get(title, ""))

    def showPage(self) -> None:  # noqa: N802  (reportlab's name)
        """Keep the page for later."""
        self._kept.append(dict(self.__dict__))
        self._startPage()

    def save(self) -> None:
        """Draw what waited, write all pages."""
        if self._info is not None:
            write_info(self, self._info)
        kept, total = self._kept, len(self._kept)
        names = 0
        for number, state in enumerate(kept, start=1):
            self.__dict__.update(state)
            self._pageNumber = number
            for title, level in self._marks:
                name = f"mark-{names}"
                names += 1
                self.bookmarkPage(name)
                self.addOutlineEntry(in_language(title), name, level=level, closed=level > 0)
            for draw in self._later:
                draw(self)
            if self.furniture is not None:
                self.furniture(self, total)
            super().showPage()
        self.showOutline()
        super().save()
