"""Read a PDF back with libraries that did not write it."""

from __future__ import annotations

from io import BytesIO

from pypdf import PdfReader

from layout.handover.paper.cautions import FOOT
from layout.handover.paper.page_frame import Head, body_width_mm, pdf_document
from layout.handover.paper.paper_choice import paper_of
from tests.printed import Drawn, pages


def on_pages(project, story) -> bytes:
    """Return a chapter set on pages of its own: what ``story`` makes for a width in mm."""
    page = paper_of(project, landscape=True)
    return pdf_document(story(body_width_mm(page)), Head.of(project, "Chapter", caution=FOOT), page)


def texts(raw: bytes) -> list[str]:
    """Return the words of each page, in reading order."""
    return [page.text for page in pages(raw)]


def everything(raw: bytes) -> str:
    """Return the words of the whole document on one line."""
    return " ".join(" ".join(texts(raw)).split())


def outline(raw: bytes) -> list[tuple[str, int]]:
    """Return the bookmarks with their pages, from 1, nested ones after their owner."""
    reader = PdfReader(BytesIO(raw))

    def flat(items):
        for item in items:
            if isinstance(item, list):
                yield from flat(item)
            else:
                yield str(item.title), reader.get_destination_page_number(item) + 1

    return list(flat(reader.outline))


def outside(raw: bytes, *, margin_pt: float = 0.0) -> list[str]:
    """Return the letters that leave their page."""
    return [
        letter.text
        for page in pages(raw)
        for letter in page.letters
        if letter.x0 < margin_pt
        or letter.x1 > page.width - margin_pt
        or letter.y0 < margin_pt
        or letter.y1 > page.height - margin_pt
    ]


def overprinted(raw: bytes, *, least: int = 10) -> list[int]:
    """Return the pages with large hollow letters in the colour of alarm: many curves stroked, none filled."""
    return [number for number, page in enumerate(pages(raw), start=1) if sum(map(_alarm, page.paths)) >= least]


def _alarm(path: Drawn) -> bool:
    colour = path.colour
    return len(path.points) > 5 and colour is not None and colour[0] > 0.6 and colour[1] < 0.2 and path.height > 20


def fonts(raw: bytes) -> set[str]:
    """Return the fonts that letters are set in."""
    return {name for page in pages(raw) for name in page.fonts}


def column(raw: bytes, title: str, beyond: str) -> str:
    """Return what stands in one column of a table, from its heading to that of the next column, over all pages."""
    below = []
    for page in pages(raw):
        left = next((word for word in page.words if word.text == title), None)
        right = next((word for word in page.words if word.text == beyond), None)
        if left and right:
            below += [word.text for word in page.words if left.x0 - 2 <= word.x0 < right.x0 - 2 and word.y0 < left.y1]
    return " ".join(below)
