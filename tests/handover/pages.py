"""Read a PDF back with libraries that did not write it."""

from __future__ import annotations

from io import BytesIO

import pdfplumber
from pypdf import PdfReader

from layout.handover.paper.cautions import FOOT
from layout.handover.paper.page_frame import Head, body_width_mm, pdf_document
from layout.handover.paper.paper_choice import paper_of


def on_pages(project, story) -> bytes:
    """Return a chapter set on pages of its own: what ``story`` makes for a width in mm."""
    page = paper_of(project, landscape=True)
    return pdf_document(story(body_width_mm(page)), Head.of(project, "Chapter", caution=FOOT), page)


def texts(raw: bytes) -> list[str]:
    """Return the words of each page, in reading order."""
    with pdfplumber.open(BytesIO(raw)) as document:
        return [page.extract_text() or "" for page in document.pages]


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
    with pdfplumber.open(BytesIO(raw)) as document:
        return [
            char["text"]
            for page in document.pages
            for char in page.chars
            if char["x0"] < margin_pt
            or char["x1"] > float(page.width) - margin_pt
            or char["top"] < margin_pt
            or char["bottom"] > float(page.height) - margin_pt
        ]


def overprinted(raw: bytes, *, least: int = 10) -> list[int]:
    """Return the pages with large hollow letters in the colour of alarm: many curves stroked, none filled."""
    with pdfplumber.open(BytesIO(raw)) as document:
        return [
            number
            for number, page in enumerate(document.pages, start=1)
            if sum(1 for curve in page.curves if _alarm(curve)) >= least
        ]


def _alarm(curve) -> bool:
    colour = curve.get("stroking_color") or ()
    return (
        len(colour) == 3 and colour[0] > 0.6 and colour[1] < 0.2 and bool(curve.get("stroke")) and curve["height"] > 20
    )


def fonts(raw: bytes) -> set[str]:
    """Return the fonts that letters are set in."""
    with pdfplumber.open(BytesIO(raw)) as document:
        return {char["fontname"] for page in document.pages for char in page.chars}


def column(raw: bytes, title: str, beyond: str) -> str:
    """Return what stands in one column of a table, from its heading to that of the next column, over all pages."""
    found = []
    with pdfplumber.open(BytesIO(raw)) as document:
        for page in document.pages:
            words = page.extract_words()
            left = next((word for word in words if word["text"] == title), None)
            right = next((word for word in words if word["text"] == beyond), None)
            if left and right:
                box = (left["x0"] - 2, left["top"], right["x0"] - 2, page.height)
                found.append(page.crop(box).extract_text() or "")
    return " ".join(" ".join(found).split())
