"""Paragraph styles and table rules that every document shares; lettering is the shipped font."""

from __future__ import annotations

from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any
from xml.sax.saxutils import escape

from reportlab.lib.colors import HexColor
from reportlab.lib.enums import TA_CENTER, TA_LEFT, TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase.pdfmetrics import getAscentDescent, stringWidth
from reportlab.platypus import KeepTogether, Paragraph, Spacer, Table

from layout.drawing.elements import colours
from layout.drawing.elements.metrics import CAP_HEIGHT_PER_EM
from layout.drawing.writers.pdf import BOLD, POINTS_PER_MM, REGULAR, register_fonts
from layout.languages import in_language

if TYPE_CHECKING:
    from collections.abc import Sequence

    from reportlab.platypus import Flowable

PAPER_INK = HexColor(colours.INK)
PAPER_GREY = HexColor(colours.GREY)
PAPER_ALARM = HexColor(colours.ALARM)
PAPER_LEAD = HexColor(colours.LEAD)
LINE = HexColor(colours.RULE)
HEAD_FILL = HexColor(colours.HEAD_TINT)
FAULT_FILL = HexColor(colours.FAULT_TINT)
MARKUP = frozenset("<>&")
"""Signs that the PDF library would read as markup."""
_SIDES = {"left": TA_LEFT, "right": TA_RIGHT, "centre": TA_CENTER}


def points(cap_height_mm: float) -> float:
    """Return the font size in points that gives capitals of a height in mm."""
    return cap_height_mm / CAP_HEIGHT_PER_EM * POINTS_PER_MM


@cache
def style(
    cap_height_mm: float = 1.8,
    *,
    bold: bool = False,
    align: str = "left",
    colour: str = colours.INK,
    before_mm: float = 0.0,
    after_mm: float = 0.0,
) -> ParagraphStyle:
    """Return a paragraph style; lines stand 1.5 capital heights apart (ISO 3098 asks for 1.4 at least)."""
    register_fonts()
    size = points(cap_height_mm)
    return ParagraphStyle(
        name=f"h{cap_height_mm:g}{'b' if bold else ''}{align}{colour}",
        fontName=BOLD if bold else REGULAR,
        fontSize=size,
        leading=cap_height_mm * 1.5 * POINTS_PER_MM,
        alignment=_SIDES[align],
        textColor=HexColor(colour),
        spaceBefore=before_mm * POINTS_PER_MM,
        spaceAfter=after_mm * POINTS_PER_MM,
        splitLongWords=True,
        allowWidows=0,
        allowOrphans=0,
    )


class Words(Paragraph):  # type: ignore[misc]  # the PDF library says no types
    """A paragraph that is broken into lines once for a width: a table asks for its height three times.

    Attributes
    ----------
    is_plain
        Whether it is one piece of words with blanks between them. Such a text is broken here, as the library does it,
        and once for all places where it stands.
    """

    is_plain = False

    def wrap(self, avail_width: float, avail_height: float) -> tuple[float, float]:
        """Return width and height in points."""
        if getattr(self, "_broken", (None,))[0] != avail_width or not hasattr(self, "blPara"):
            self._broken = (avail_width, super().wrap(avail_width, avail_height))
        size: tuple[float, float] = self._broken[1]
        return size

    def breakLines(self, width: Sequence[float]) -> Any:  # noqa: N802  # the library's name
        """Return the lines as the library wants them."""
        if not self.is_plain:
            return super().breakLines(width)
        (piece,) = self.frags
        shrinkage = self.style.spaceShrinkage
        known = _plain_lines(piece.text, piece.fontName, piece.fontSize, tuple(width), shrinkage)
        if known is None:
            return super().breakLines(width)
        self.height = self._splitLongWordCount = self._hyphenations = 0
        self._width_max = known[0]
        ascent, descent = getAscentDescent(piece.fontName, piece.fontSize)
        lines = [(spare, list(words)) for spare, words in known[1]]
        return piece.clone(kind=0, lines=lines, ascent=ascent, descent=descent, fontSize=piece.fontSize)


@lru_cache(maxsize=20_000)
def _plain_lines(
    content: str, font: str, size: float, widths: tuple[float, ...], shrinkage: float
) -> tuple[float, tuple[tuple[float, tuple[str, ...]], ...]] | None:
    """Return the widest line, and of each line the width that is left and its words; None where a word is too long."""
    gap = _wide(" ", font, size)
    lines: list[tuple[float, tuple[str, ...]]] = []
    line: list[str] = []
    now, widest, most = -gap, 0.0, widths[0]
    for word in content.split():
        wide = _wide(word, font, size)
        then = now + gap + wide
        fits = then <= most + shrinkage * gap * len(line)
        if not fits and wide > widths[min(len(lines), len(widths) - 1)]:
            return None
        if fits or not line:
            line.append(word)
            now = then
            continue
        widest = max(widest, now)
        lines.append((most - now, tuple(line)))
        line, now, most = [word], wide, widths[min(len(lines), len(widths) - 1)]
    return max(widest, now), (*lines, (most - now, tuple(line)))


@lru_cache(maxsize=50_000)
def _wide(word: str, font: str, size: float) -> float:
    return float(stringWidth(word, font, size))


def text(
    content: str, cap_height_mm: float = 1.8, *, bold: bool = False, align: str = "left", colour: str = colours.INK
) -> Paragraph:
    """Return plain text as a paragraph; nothing in it is read as markup."""
    look = style(cap_height_mm, bold=bold, align=align, colour=colour)
    content = in_language(content)
    if content.isprintable() and content == content.strip() != "" and not MARKUP.intersection(content):
        words = Words(content, look, frags=[_piece(look).clone(text=content)])  # to parse it takes ten times as long
        words.is_plain = True
        return words
    return Words(escape(content).replace("\n", "<br/>"), look)


@cache
def _piece(look: ParagraphStyle) -> Any:
    return Paragraph("x", look).frags[0]


def led(lead: str, content: str, cap_height_mm: float = 1.8) -> Paragraph:
    """Return a paragraph that begins with its heading, set off by weight and colour."""
    size = points(cap_height_mm + 0.5)
    head = f'<font name="{BOLD}" size="{size:.2f}" color="{colours.LEAD}">{escape(in_language(lead))}</font>'
    return Paragraph(f"{head}  {escape(in_language(content))}", style(cap_height_mm))


def coded(content: str, codes: Sequence[tuple[str, str]], cap_height_mm: float = 1.8) -> Paragraph:
    """Return a paragraph that ends with codes in bold, each with its colour."""
    ends = (f'<font name="{BOLD}" color="{ink}">{escape(code).replace(" ", "&nbsp;")}</font>' for code, ink in codes)
    return Words(" ".join((escape(in_language(content)), *ends)).strip(), style(cap_height_mm, colour=colours.BODY))


class Heading(Paragraph):  # type: ignore[misc]
    """A heading that never stands alone at a page's foot: it takes a page on which what follows can begin.

    Attributes
    ----------
    followed_by
        What stands below it, up to the first that takes room; the document's writer says so.
    """

    followed_by: Sequence[Flowable] = ()

    def wrap(self, avail_width: float, avail_height: float) -> tuple[float, float]:
        """Return its own size, or more than the room where what follows could not begin below it."""
        wide, tall = super().wrap(avail_width, avail_height)
        if getattr(getattr(self, "_frame", None), "_atTop", True):
            return wide, tall
        needed = tall + self.getSpaceAfter() + sum(least_height(part, avail_width) for part in self.followed_by)
        return wide, tall if needed <= avail_height else needed

    def split(self, _width: float, _height: float) -> list[Flowable]:
        """Go on to the next page whole."""
        return []


def least_height(part: Flowable, width: float) -> float:
    """Return the height with which a part can begin, in points: a table's headings and first row, two lines of text."""
    if isinstance(part, Table):
        part.wrap(width, 1e6)
        first = part.repeatRows
        last = max((end[1] for _, begin, end in part._nosplitCmds if begin[1] == first), default=first)  # noqa: SLF001
        return float(sum(part._rowHeights[: last + 1]))  # noqa: SLF001
    if isinstance(part, KeepTogether):
        return sum((least_height(one, width) for one in part._content), 0.0)  # noqa: SLF001
    tall = float(part.wrap(width, 1e6)[1])
    if isinstance(part, Heading):
        return float(tall + part.getSpaceBefore() + part.getSpaceAfter())
    if isinstance(part, Paragraph):
        return min(tall, 2 * float(part.style.leading))
    return min(tall, float(getattr(part, "least_points", tall)))


def heading(content: str, level: int = 1) -> Heading:
    """Return a heading; 1 opens a document or chapter, 2 a section, 3 a group."""
    size, before, after = {1: (5.0, 0.0, 4.0), 2: (3.5, 5.0, 2.0), 3: (2.5, 3.0, 1.5)}[level]
    return Heading(escape(in_language(content)), style(size, bold=True, before_mm=before, after_mm=after))


LEAD_PARTS = 5
"""A heading keeps with what it heads past so many parts of other headings and of lines that lead in."""


def keep_headings(story: Sequence[Flowable]) -> None:
    """Tell each heading what follows it, up to the first part that is no heading and no line that leads in."""
    for at, part in enumerate(story):
        if isinstance(part, Heading):
            end = at + 1
            while end < min(len(story), at + LEAD_PARTS) and (
                isinstance(story[end], (Paragraph, Spacer)) or _is_mark(story[end])
            ):
                end += 1
            part.followed_by = [one for one in story[at + 1 : end + 1] if not _is_mark(one)]


def _is_mark(part: Flowable) -> bool:
    return bool(getattr(part, "_ZEROSIZE", False))


def grid(rows: Sequence[Sequence[object]], widths_mm: Sequence[float], *rules: tuple[Any, ...]) -> Table:
    """Return a bare table that arranges flowables: no lines, cells at the top, nothing on the left.

    Parameters
    ----------
    rules
        Further style commands of the PDF library.
    """
    made = Table(rows, colWidths=[width * POINTS_PER_MM for width in widths_mm], hAlign="LEFT")
    made.setStyle([
        ("FONT", (0, 0), (-1, -1), REGULAR), ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0), ("TOPPADDING", (0, 0), (-1, -1), 1),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 1), *rules,
    ])  # fmt: skip
    return made
