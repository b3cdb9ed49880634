"""Files made from a document's sheets: each as SVG, or all as one PDF that is printed on its own."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.writers.pdf import DocumentInfo, pdf_bytes
from layout.drawing.writers.svg import svg_text
from layout.handover.document import sheets_once

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from layout.drawing.elements.scene import Scene
    from layout.handover.document import File
    from layout.handover.plan import Plan

    Sheets = Callable[[Plan], Sequence[Scene]]


def svg_files(name: str, document: str, sheets: Sheets) -> Callable[[Plan], Iterator[File]]:
    """Return what makes each sheet of a document as SVG; the sheets are those of its book, made once."""

    def make(plan: Plan) -> Iterator[File]:
        for number, scene in enumerate(sheets_once(plan, document, sheets), start=1):
            yield f"drawings/{name}-{number}.svg", svg_text(scene).encode("utf-8")

    return make


def print_files(name: str, title: str, sheets: Sheets) -> Callable[[Plan], Iterator[File]]:
    """Return what makes a PDF of the sheets of the document ``name``, for printing without scaling."""

    def make(plan: Plan) -> Iterator[File]:
        made, block = sheets_once(plan, name, sheets), plan.project.project
        if made:
            info = DocumentInfo(title=f"{block.name}: {title}", revision=block.revision, subject=title)
            yield f"templates/{name}.pdf", pdf_bytes(made, info)

    return make
