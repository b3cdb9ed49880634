"""The cover of a book: what it is, whether it is ready, what was assumed, what is not written, and its contents."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from reportlab.platypus import Spacer

from layout.drawing.elements import colours
from layout.drawing.writers.pdf import POINTS_PER_MM
from layout.findings import Severity
from layout.handover.lists.findings_list import of_book
from layout.handover.lists.open_questions.assumptions import assumptions
from layout.handover.lists.open_questions.still_to_find_out import find_out_table
from layout.handover.paper.page_frame import Bookmark, PageOf
from layout.handover.paper.styles import LINE, grid, heading, text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from reportlab.platypus import Flowable

    from layout.findings import Finding
    from layout.handover.document import Book
    from layout.handover.plan import Plan

READING = {
    "electrician": (
        "A wire's number is its circuit, a letter for the piece, and its pole; it stands on both ends.",
        "? means not known yet. It was not taken for zero: find it out first.",
        "Positions are in mm from the panel's datum, lower left, seen from the front.",
    ),
    "workshop": (
        "Only what is drawn heavy and black is cut. Grey is what stands before or behind the sheet.",
        "Positions are in mm from the panel's datum, lower left, seen from the front.",
        "Templates at full size lie in the folder templates, files for machines in the folder machine.",
    ),
    "shopping": ("Counts come from the design. What is aboard already and stays is not listed.",),
    "reckoning": ("Every figure behind a size, so that each can be worked again by hand.",),
}


def cover(plan: Plan, book: Book, titles: Sequence[str], withheld: Sequence[tuple[str, Finding]]) -> list[Flowable]:
    """Return the cover's flowables.

    Parameters
    ----------
    titles
        Of the chapters, as their marks name them.
    withheld
        What is not written, and why.
    """
    block = plan.project.project
    about = [
        ("Number", block.number), ("Revision", block.revision), ("Date", block.date), ("Owner", block.owner),
        ("Drawn by", block.drawn_by), ("Approved by", block.approved_by),
    ]  # fmt: skip
    story: list[Flowable] = [
        Bookmark("Cover"),
        Spacer(0, 6 * POINTS_PER_MM),
        heading(block.name or "Panel and wiring", 1),
    ]
    story += [text(f"{book.title}: {book.subtitle}", 3.0), Spacer(0, 4 * POINTS_PER_MM)]
    rows = [[text(label, 2.2, colour=colours.GREY), text(value or "–", 2.2)] for label, value in about]
    left: list[Flowable] = [grid(rows, [28.0, 90.0]), Spacer(0, 4 * POINTS_PER_MM)]
    left += _ready(plan, book)
    for name, finding in withheld:
        words = f"Not written: {name}, because {finding.rule}: {finding.message}"
        left.append(text(words, 2.2, colour=colours.ALARM))
    left += [Spacer(0, 2 * POINTS_PER_MM), text("How to read it", 2.5, bold=True)]
    left += [text(line, 2.2) for line in READING[book.name]]
    if book.name in ("electrician", "reckoning") and plan.is_wired:
        left += [Spacer(0, 2 * POINTS_PER_MM), text("Assumed, not known", 2.5, bold=True)]
        left += [text(line, 2.2) for line in assumptions(plan)]
    cells = [[text(title, 2.2), PageOf(title, 2.2)] for title in titles]
    contents = grid(cells, [105.0, 15.0], ("LINEBELOW", (0, 0), (-1, -1), 0.25, LINE))
    right: list[Flowable] = [text("Contents", 2.5, bold=True), Spacer(0, 1.5 * POINTS_PER_MM), contents]
    return [*story, grid([[left, right]], [138.0, 125.0], ("RIGHTPADDING", (0, 0), (0, 0), 20))]


def cover_values(plan: Plan, book: Book) -> object:
    """Return the values a book's cover is made from, besides its chapters and what is not written."""
    assumed = assumptions(plan) if plan.is_wired else ()
    return plan.project.project, of_book(plan.found, book.name), _open_questions(plan), assumed


def _open_questions(plan: Plan) -> int:
    return len(find_out_table(plan.project, plan.found, plan.wiring).rows)


def _ready(plan: Plan, book: Book) -> list[Flowable]:
    """Return how much was found, by severity, and how many questions are open."""
    counts = Counter(finding.weight for finding in of_book(plan.found, book.name))
    lines: list[Flowable] = []
    stops = counts[Severity.STOP]
    if stops:
        words = f"Not ready: {stops} stop. Sheets that show one are overprinted."
        lines.append(text(words, 2.5, bold=True, colour=colours.ALARM))
    else:
        lines.append(text("Nothing was found that stops the work.", 2.5, bold=True))
    open_questions = _open_questions(plan)
    told = [f"{counts[weight]} {weight.value}" for weight in (Severity.WATCH, Severity.NOTE) if counts[weight]]
    if told:
        lines.append(text(f"{' and '.join(told)} to be read: see the chapter of findings.", 2.2))
    if open_questions:
        lines.append(text(f"{open_questions} question{'s are' if open_questions > 1 else ' is'} open.", 2.2))
    return lines
